"""The price book that the operator keeps in a file."""

from __future__ import annotations

import json
from pathlib import Path

from pydantic import ValidationError

from service.parts.catalogue import Catalogue, CatalogueFault, using
from service.schemas.takeoff_prices import PriceBook


class PriceFileFault(CatalogueFault):
    """A price file cannot be used. The message has a line for each fault: file, field and what is wrong."""


def house_prices(file: Path | None, catalogue: Catalogue) -> PriceBook | None:
    """The price book of the operator, for sundries and parts of his catalogue; None without a file.

    Raises
    ------
    PriceFileFault : if it cannot be used.
    """
    if file is None:
        return None
    with using(catalogue):
        return load_prices(file)


def load_prices(file: Path) -> PriceBook:
    """The price book of a file: JSON, written as `prices` of a request, with `units` of its own.

    Raises
    ------
    PriceFileFault : if the file cannot be read, or anything in it is faulty.
    """
    try:
        written = json.loads(file.read_text(encoding="utf-8"))
    except (OSError, UnicodeDecodeError) as error:
        raise PriceFileFault(f"{file}: the price file cannot be read ({error})") from error
    except json.JSONDecodeError as error:
        raise PriceFileFault(f"{file}: not valid JSON ({error})") from error
    try:
        return PriceBook.model_validate(written)
    except ValidationError as refused:
        raise PriceFileFault("\n".join(_lines(file, refused))) from None


def _lines(file: Path, refused: ValidationError) -> list[str]:
    lines = []
    for fault in refused.errors(include_url=False, include_input=False):
        field = ".".join(str(step) for step in fault["loc"]) or "the whole book"
        accepted = fault.get("ctx", {}).get("accepted")
        lines.append(f"{file}: {field}: {fault['msg']}" + (f" Accepted: {accepted}" if accepted else ""))
    return lines
