"""A price book: what parts cost, by the piece, by the length and by the package."""

from __future__ import annotations

import re
from collections.abc import Iterator
from decimal import Decimal
from typing import Annotated, Any, Self

from pydantic import GetCoreSchemaHandler, GetJsonSchemaHandler, model_validator
from pydantic.json_schema import JsonSchemaValue
from pydantic_core import CoreSchema, PydanticCustomError, core_schema

from service.parts.listed import find_item, nearest_items
from service.schemas.money import NOUGHT_BY_DEFAULT, Currency, DecimalNumber, Price, Within
from service.units.lists import Items
from service.units.model import Maybe, Model, UnitModel
from service.units.refusal import Refusal, read_along, refuse
from service.units.sentence import Sentence
from service.units.text import Text

MOST_PRICES = 10_000

MOST_CLASSES = 50
"""Tax classes that prices may name, and that may have a rate. [-]"""

LONGEST_ID = 250
"""Characters of the id of a part, dripline having two ids in one. [-]"""

ListedId = Annotated[str, Text(r"^[a-z0-9.-]+$", LONGEST_ID, f"1 to {LONGEST_ID} small letters, digits, dots and -")]
"""Id of a part as lists of materials name it."""

_ID = re.compile(r"[a-z0-9.-]+")

NAMED_NEAREST = 20
"""Unknown ids for which the nearest ones are looked up. [-] A wrong file may hold thousands."""

PackageSize = Annotated[Decimal, DecimalNumber(0.01, 10_000, places=2)]
"""Pieces in a package, or its length in ft or m."""

TaxClassName = Annotated[str, Text(r"^[a-z][a-z0-9_]{0,39}$", 40, "1 to 40 small letters, digits and _")]
"""What a tax rate goes by."""


class PackagePrice(Model):
    """What one package costs."""

    size: PackageSize
    """Pieces in it; of what is sold by length, its length in ft or m."""

    price: Price
    """Price of the package."""


class PartPrice(Model):
    """What a part costs: by the piece or the foot or metre, by the package, or whichever is cheaper."""

    unit: Maybe[Price] = None
    """Price of one piece; of what is sold by length, of one ft or m, cut as long as one likes in whole ft or m."""

    packages: Annotated[tuple[PackagePrice, ...], Items(0, 10)] = ()
    """Packages it comes in. The cheapest mix that covers the need is bought."""

    uncertainty: Maybe[Within] = None
    """How far the price may be off either way, in percent; stands in for that of the book."""

    tax_class: Maybe[TaxClassName] = None
    """Class by which it is taxed. `materials` if left out, and `work` for work."""

    @model_validator(mode="after")
    def _has_a_price(self) -> Self:
        refuse("PartPrice", self._faults())
        return self

    def _faults(self) -> list[Refusal]:
        if self.unit is None and not self.packages:
            return [Refusal((), "The part has no price.", "unit, packages or both")]
        sizes = [package.size for package in self.packages]
        return [
            Refusal(("packages", row, "size"), "Another package has this size.", "each size once")
            for row, size in enumerate(sizes)
            if size in sizes[:row]
        ]


class _ByPart:
    """Annotation of prices by part: each id is that of a part, and packages of pieces hold whole pieces."""

    def __get_pydantic_core_schema__(self, source: Any, handler: GetCoreSchemaHandler) -> CoreSchema:
        return core_schema.no_info_wrap_validator_function(self._read, handler(source))

    def __get_pydantic_json_schema__(self, schema: CoreSchema, handler: GetJsonSchemaHandler) -> JsonSchemaValue:
        written = handler(schema)
        ((pattern, price),) = written.pop("patternProperties").items()
        names = {"type": "string", "maxLength": LONGEST_ID, "pattern": pattern}
        return {**written, "additionalProperties": price, "propertyNames": names, "maxProperties": MOST_PRICES}

    def _read(self, written: Any, read: core_schema.ValidatorFunctionWrapHandler) -> dict[str, PartPrice]:
        if isinstance(written, dict) and len(written) > MOST_PRICES:
            told = {"count": len(written), "accepted": f"at most {MOST_PRICES} prices"}
            raise PydanticCustomError("too_many_prices", "There are {count} prices.", told)
        strange = list(_strange(written)) if isinstance(written, dict) else []
        prices: dict[str, PartPrice] = read_along("Prices", lambda: read(written), strange)
        return prices


def _strange(written: dict[str, Any]) -> Iterator[Refusal]:
    """Refusals of well-written ids that no part has, and of packages that hold a piece and a half."""
    unknown = 0
    for part_id, price in written.items():
        if len(part_id) > LONGEST_ID or not _ID.fullmatch(part_id):
            continue  # told where the id is read
        item = find_item(part_id)
        if item is not None and not item.by_length:
            yield from _halves(part_id, price)
        elif item is None:
            near = nearest_items(part_id) if unknown < NAMED_NEAREST else ()
            accepted = ", ".join(near) or "an id of GET /v1/parts, or the part of a line of a takeoff"
            yield Refusal((part_id,), "No part has this id.", accepted)
            unknown += 1


def _halves(part_id: str, price: Any) -> Iterator[Refusal]:
    packages = price.get("packages") if isinstance(price, dict) else None
    for row, package in enumerate(packages if isinstance(packages, list) else ()):
        size = package.get("size") if isinstance(package, dict) else None
        if isinstance(size, float) and not size.is_integer():
            where = (part_id, "packages", row, "size")
            yield Refusal(where, "A package of pieces holds a whole number of them.", "a whole number")


PartPrices = Annotated[dict[ListedId, PartPrice], _ByPart()]
"""What each part costs, by its id."""


class PriceBook(UnitModel):
    """Prices of parts in one currency. `units` says whether lengths are in ft or m."""

    currency: Currency
    """Code of the currency of every amount, as USD."""

    parts: PartPrices
    """What each part costs, by its id: one of the catalogue, or the `part` of a line of a takeoff."""

    uncertainty: Annotated[Within, NOUGHT_BY_DEFAULT] = Decimal(0)
    """How far prices may be off either way, in percent."""

    @model_validator(mode="after")
    def _has_few_classes(self) -> Self:
        classes = {price.tax_class for price in self.parts.values() if price.tax_class is not None}
        if len(classes) > MOST_CLASSES:
            told = Sentence("The prices name {count} tax classes.", {"count": len(classes)})
            refuse("PriceBook", [Refusal(("parts",), told, f"at most {MOST_CLASSES} classes in all")])
        return self
