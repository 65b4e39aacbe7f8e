"""What every part of the catalogue has."""

from __future__ import annotations

from typing import Annotated, ClassVar, Self

from pydantic import Field

from service.units.model import Maybe, Model
from service.units.text import Name, PartId, Text

AS_DESCRIBED = "as described in the request"
"""Name and source of a part that a caller wrote out."""

Source = Annotated[
    str, Text(r"^[^\u0000-\u001f\u007f-\u009f]+$", 1000, "1 to 1000 characters saying where the figures are from")
]
"""Where the figures of a part come from: a standard, a handbook, `memory`, or `common practice, no source`."""


class Part(Model):
    """A part with what is known of it, in SI."""

    kind_of_part: ClassVar[str]

    id: Maybe[PartId] = None
    """Catalogue id; none for a part that a caller wrote out."""

    name: Name = Field(default=AS_DESCRIBED)
    """What to call it in lists."""

    source: Source = Field(default=AS_DESCRIBED)
    """Where its figures come from."""

    def in_full(self) -> Self:
        """The part with whatever follows from its other figures stated."""
        return self
