"""What can be wrong with a zone as a whole, though each of its fields is well written.

A fault names its place, what is wrong and what would be accepted there, with figures in SI until it is known who reads
them. Its class says the same of every zone: `slug` ends its problem type, `title` heads the page about it, the
docstring tells what happened and `mend` what to do.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from typing import ClassVar

from service.units.sentence import Measured, Sentence

Facts = Mapping[str, Measured | str | int]

Where = tuple[str | int, ...]
"""Path from the body to a field."""


@dataclass(frozen=True, slots=True)
class ZoneFault:
    """Something wrong with a zone as a whole."""

    slug: ClassVar[str]
    title: ClassVar[str]
    mend: ClassVar[str]

    where: Where  # the field that a caller would mend
    detail: Sentence
    accepted: Sentence

    @property
    def pointer(self) -> str:
        """The field as a JSON Pointer in a URI fragment (RFC 6901, section 6)."""
        return "#" + "".join(f"/{step}" for step in self.where)


class ZoneFaults(Exception):
    """All faults of a zone at once."""

    def __init__(self, faults: Sequence[ZoneFault]) -> None:
        super().__init__(f"{len(faults)} faults of the zone")
        self.faults = tuple(faults)


class DuplicateRun(ZoneFault):
    """Two runs of the zone have one id, so that nothing that names it is clear."""

    slug = "duplicate-run"
    title = "Two runs have one id"
    mend = "Give each run an id of its own. Equal runs along a parent are one run with copies."

    def __init__(self, run: Where, *, name: str) -> None:
        super().__init__(
            (*run, "id"),
            Sentence("Another run before it has the id {name}.", {"name": name}),
            Sentence("an id that no other run has"),
        )


class UnknownRun(ZoneFault):
    """A run leaves from, or closes to, an id that no run of the zone has."""

    slug = "unknown-run"
    title = "A run names a run that does not exist"
    mend = "Name the id of a run in the same zone, as it is written there, without a copy number."

    def __init__(self, where: Where, *, name: str, nearest: Sequence[str]) -> None:
        likely = " or ".join(nearest) if nearest else "the id of a run in this zone"
        super().__init__(
            where,
            Sentence("No run has the id {name}.", {"name": name}),
            Sentence("{likely}", {"likely": likely}),
        )


class RunCircle(ZoneFault):
    """Runs leave from one another in a circle, so that none of them is ever reached from the zone inlet."""

    slug = "run-circle"
    title = "Runs leave from one another in a circle"
    mend = "Let one of them leave from the zone inlet or from another run. A loop of pipe is made with closes_to."

    def __init__(self, run: Where, *, circle: Sequence[str]) -> None:
        shown = " from ".join(circle[:5]) + (" from … " if len(circle) > 5 else " ") + f"from {circle[0]}"
        super().__init__(
            (*run, "from"),
            Sentence("These runs leave from one another in a circle: {shown}.", {"shown": shown}),
            Sentence("a run that is reached from the zone inlet, or no from"),
        )


class CopiesWithoutPlace(ZoneFault):
    """Copies of a run are to be spread along its parent, but nothing says where the first one leaves."""

    slug = "copies-without-place"
    title = "Copies of a run have no first place"
    mend = "Say with from_at where on the parent the first copy leaves; the others follow apart from it."

    def __init__(self, run: Where) -> None:
        super().__init__(
            (*run, "from_at"),
            Sentence("Copies need from_at, the place on the parent where the first one leaves."),
            Sentence("a place on the parent"),
        )


class CopiesTooDeep(ZoneFault):
    """A run stands in copies of copies so deep that its address would be too long to tell it by."""

    slug = "copies-too-deep"
    title = "Copies stand in copies too deep"
    mend = "Use shorter ids, or fewer levels of copies within copies."

    def __init__(self, run: Where, *, characters: int, limit: int) -> None:
        super().__init__(
            run,
            Sentence("Its address would have {characters} characters.", {"characters": characters}),
            Sentence("an address of at most {limit} characters", {"limit": limit}),
        )


class RunPastParent(ZoneFault):
    """A run, or one of its copies, would leave its parent beyond the parent's end."""

    slug = "run-past-parent"
    title = "A run leaves its parent past the end"
    mend = "Lengthen the parent, or let the run leave nearer to its start, or have fewer copies or set them closer."

    def __init__(self, run: Where, *, first: float, last: float, length: float, fitting: int) -> None:
        facts: Facts = {"first": _length(first), "last": _length(last), "length": _length(length), "fitting": fitting}
        if fitting:
            super().__init__(
                (*run, "copies"),
                Sentence(
                    "The last copy would leave at {last}, but the parent ends at {length}; "
                    "it would have to be {last} long.",
                    facts,
                ),
                Sentence("at most {fitting} copies so far apart", facts),
            )
        else:
            super().__init__(
                (*run, "from_at"),
                Sentence(
                    "The run would leave at {first}, but the parent ends at {length}; it would have to be {last} long.",
                    facts,
                ),
                Sentence("0 to {length}", facts),
            )


class OutletPastEnd(ZoneFault):
    """An outlet would stand beyond the end of its run."""

    slug = "outlet-past-end"
    title = "An outlet stands past the end of its run"
    mend = "Lengthen the run, or bring the outlet nearer to its start; leave out count to have as many as fit."

    def __init__(self, where: Where, *, at: float, length: float, accepted: Sentence) -> None:
        super().__init__(
            where,
            Sentence(
                "An outlet would stand at {at}, but the run ends at {length}.",
                {"at": _length(at), "length": _length(length)},
            ),
            accepted,
        )


class LoopOntoItself(ZoneFault):
    """A run closes to itself, which makes no loop that water could run round."""

    slug = "loop-onto-itself"
    title = "A run closes to itself"
    mend = "Let the far end join another run, such as a second header."

    def __init__(self, run: Where) -> None:
        super().__init__(
            (*run, "closes_to", "run"),
            Sentence("The run closes to itself."),
            Sentence("the id of another run"),
        )


class LoopUnclear(ZoneFault):
    """A run closes to a run with copies, and several of them are as near in the zone as each other."""

    slug = "loop-unclear"
    title = "A run closes to one of several copies"
    mend = "Close to a run without copies, or to one inside the same copy of an ancestor."

    def __init__(self, run: Where, *, target: str, source: str, several: Sequence[str]) -> None:
        shown = ", ".join(several[:3]) + (", …" if len(several) > 3 else "")
        super().__init__(
            (*run, "closes_to", "run"),
            Sentence(
                "{target} stands for several runs, and {source} could close to any of {shown}.",
                {"target": target, "source": source, "shown": shown},
            ),
            Sentence("a run of which there is one, or one within the same copy"),
        )


class LoopPastEnd(ZoneFault):
    """A run, or one of its copies, would close to a place that the other run does not have."""

    slug = "loop-past-end"
    title = "A run closes past the end of another"
    mend = "Lengthen the run that is closed to, or close to a place on it; mind the copies, which close apart."

    def __init__(self, run: Where, *, at: float, length: float, alone: bool) -> None:
        facts = {"at": _length(at), "length": _length(length)}
        told = "The far end would join" if alone else "The far end of a copy would join"
        super().__init__(
            (*run, "closes_to", "at"),
            Sentence(told + " at {at}, but the other run reaches from 0 to {length}.", facts),
            Sentence("0 to {length}" if alone else "places from 0 to {length} for all copies", facts),
        )


class LoopHeights(ZoneFault):
    """The two pipes that a loop joins lie at different heights there."""

    slug = "loop-heights"
    title = "Heights do not meet where a loop closes"
    mend = "Correct rise or ground of the runs on the way, until both ways round the loop climb alike."

    def __init__(self, run: Where, *, source: str, end: float, target: str, height: float) -> None:
        facts: Facts = {"source": source, "end": _length(end), "target": target, "height": _length(height)}
        super().__init__(
            (*run, "closes_to"),
            Sentence(
                "The far end of {source} lies {end} above the zone inlet, but {target} lies at {height} "
                "where they join.",
                facts,
            ),
            Sentence("an end at {height}", facts),
        )


class NoOutlets(ZoneFault):
    """No run of the zone has an outlet, so that there is nothing to water."""

    slug = "no-outlets"
    title = "The zone has no outlets"
    mend = "Give at least one run outlets."

    def __init__(self, where: Where) -> None:
        super().__init__(where, Sentence("No run has outlets."), Sentence("outlets on at least one run"))


class TooManyRuns(ZoneFault):
    """The zone has more runs, copies counted, than this service takes in one zone."""

    slug = "too-many-runs"
    title = "The zone has too many runs"
    mend = "Have fewer copies, or send the zone in parts. The operator of the service sets the limit."

    def __init__(self, run: Where, *, count: int, largest: int, limit: int) -> None:
        super().__init__(
            run,
            Sentence(
                "With all copies the zone has {count} runs, {largest} of them this one's.",
                {"count": count, "largest": largest},
            ),
            Sentence("at most {limit} runs in a zone, copies counted", {"limit": limit}),
        )


class TooManyOutlets(ZoneFault):
    """The zone has more outlets than this service takes in one zone."""

    slug = "too-many-outlets"
    title = "The zone has too many outlets"
    mend = "Set them wider apart, have fewer copies, or send the zone in parts. The operator sets the limit."

    def __init__(self, run: Where, *, count: int, largest: int, limit: int) -> None:
        super().__init__(
            (*run, "outlets"),
            Sentence(
                "With all copies the zone has {count} outlets, {largest} of them along this run.",
                {"count": count, "largest": largest},
            ),
            Sentence("at most {limit} outlets in a zone", {"limit": limit}),
        )


FAULTS: tuple[type[ZoneFault], ...] = (
    CopiesTooDeep,
    CopiesWithoutPlace,
    DuplicateRun,
    LoopHeights,
    LoopOntoItself,
    LoopPastEnd,
    LoopUnclear,
    NoOutlets,
    OutletPastEnd,
    RunCircle,
    RunPastParent,
    TooManyOutlets,
    TooManyRuns,
    UnknownRun,
)
"""Every class of fault, one page each."""


def _length(value: float) -> Measured:
    return Measured(value, "length")
