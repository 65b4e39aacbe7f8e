"""The head of the zone: the devices between supply and pipes, in the order water meets them."""

from __future__ import annotations

from typing import Annotated, Any, ClassVar, Literal, Self

from pydantic import Field, StrictBool, model_validator
from pydantic_core import PydanticCustomError

from service.parts.devices import BackflowKind, DeviceFigures, FilterType, Mesh
from service.schemas.chosen import Chosen
from service.units.model import Maybe
from service.units.quantity import Flow, Height, Opening, Pressure, PressureAboveZero
from service.units.refusal import Refusal, refused
from service.units.text import Name


class HeadDevice(DeviceFigures):
    """What every device may say of itself."""

    name: Maybe[Name] = None
    """What to call it in answers."""

    shared_flow: Maybe[Flow] = None
    """Flow that other zones draw through it at the same time. All that stands before it carries that flow as well."""


class HeadBackflowPreventer(HeadDevice):
    """A backflow preventer."""

    may_fall: ClassVar[bool] = True  # some open wider as the flow grows

    device: Literal["backflow_preventer"]
    kind: BackflowKind
    """How it keeps water from flowing back."""

    height: Maybe[Height] = None
    """Height above the zone inlet."""


class HeadValve(HeadDevice):
    """The zone's control valve."""

    device: Literal["valve"]
    anti_siphon: StrictBool = False
    """Whether it holds an atmospheric vacuum breaker."""

    height: Maybe[Height] = None
    """Height of its vacuum breaker above the zone inlet."""

    @model_validator(mode="after")
    def _height_has_a_use(self) -> Self:
        if self.height is not None and not self.anti_siphon:
            told = "Only the height of a vacuum breaker matters."
            raise refused("HeadValve", Refusal(("height",), told, "anti_siphon true, or no height"))
        return self


class HeadFilter(HeadDevice):
    """A filter."""

    device: Literal["filter"]
    type: Maybe[FilterType] = None
    """How it holds particles back."""

    mesh: Maybe[Mesh] = None
    """Sieve number of its screen, or the equivalent of its discs or media."""

    opening: Maybe[Opening] = None
    """Size of particle that it holds back."""

    dirty_allowance: Maybe[Pressure] = None
    """Pressure lost on top of its clean loss when it is due for cleaning."""

    @model_validator(mode="after")
    def _one_fineness(self) -> Self:
        if self.mesh is not None and self.opening is not None:
            told = "Mesh and opening both tell how fine it is."
            raise refused("HeadFilter", Refusal(("opening",), told, "one of mesh, opening"))
        return self


class HeadRegulator(HeadDevice):
    """A pressure regulator."""

    device: Literal["regulator"]
    set_pressure: PressureAboveZero
    """Pressure it holds at its outlet."""


class HeadInjector(HeadDevice):
    """A device that injects fertiliser or other chemicals."""

    device: Literal["injector"]


class HeadOther(HeadDevice):
    """Anything else that water passes: a shut-off valve, a flow sensor."""

    device: Literal["other"]


_KINDS: dict[str, type[HeadDevice]] = {
    "backflow_preventer": HeadBackflowPreventer,
    "valve": HeadValve,
    "filter": HeadFilter,
    "regulator": HeadRegulator,
    "injector": HeadInjector,
    "other": HeadOther,
}


def _read(written: Any) -> HeadDevice:
    accepted = ", ".join(_KINDS)
    if not isinstance(written, dict):
        raise PydanticCustomError("not_an_object", "A device is an object.", {"accepted": f"device: {accepted}"})
    kind = written.get("device")
    if isinstance(kind, str) and kind in _KINDS:
        return _KINDS[kind].model_validate(written)
    told = "Nothing says which device this is." if kind is None else "There is no device of this kind."
    raise refused("Device", Refusal(("device",), told, f"one of {accepted}"))


Device = Annotated[
    HeadBackflowPreventer | HeadValve | HeadFilter | HeadRegulator | HeadInjector | HeadOther,
    Chosen(
        read=_read,
        forms=Annotated[
            HeadBackflowPreventer | HeadValve | HeadFilter | HeadRegulator | HeadInjector | HeadOther,
            Field(discriminator="device"),
        ],
        made=(HeadDevice,),
    ),
]
"""A device of the head, known by its `device`."""
