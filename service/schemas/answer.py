"""The base of every answer."""

from pydantic import ConfigDict

from service.schemas.nothing_null import NothingNull


class Answer(NothingNull):
    """Base of everything the service answers."""

    model_config = ConfigDict(frozen=True, use_attribute_docstrings=True, populate_by_name=True)
