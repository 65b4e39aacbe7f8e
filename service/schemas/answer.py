"""The base of every answer."""

from typing import ClassVar

from pydantic import ConfigDict

from service.units.nothing_null import NothingNull


class Answer(NothingNull):
    """Base of everything the service answers."""

    main_table: ClassVar[str] = "summary"  # the table that stands for the answer where a format holds but one

    model_config = ConfigDict(frozen=True, use_attribute_docstrings=True, populate_by_name=True)
