"""The blocks of regulator and filter advice as answers of their own."""

from typing import Annotated

from pydantic import Field

from service.schemas.answer import Answer
from service.schemas.answers import LONGEST, Assumed, Caution, Method
from service.schemas.head_answers import FilterAnswer, RegulatorAnswer
from service.schemas.readings import Word


class Advised(Answer):
    """What stands over a block that is asked for alone."""

    name: Word
    units: Annotated[dict[str, Word], Field(max_length=40)]
    version: Word
    assumed: Annotated[list[Assumed], Field(max_length=LONGEST)]
    cautions: Annotated[list[Caution], Field(max_length=50)]


class RegulatorAdviceAnswer(RegulatorAnswer, Advised):
    """Whether a zone on its supply wants a regulator, and which: the regulator block of its check."""

    method: Method


class FilterAdviceAnswer(FilterAnswer, Advised):
    """Which filter a water and outlets need: the filter block of a check, without the zone."""
