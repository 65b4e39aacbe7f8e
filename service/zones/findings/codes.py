"""The frozen list of finding codes: how severe each is, and what it tells.

A code is never renamed or reused; a new rule gets a new one. A severity written here is the usual one; a rule that may
speak more gently (an assumed limit instead of a stated one) says so where it speaks.
"""

from __future__ import annotations

from collections.abc import Mapping
from types import MappingProxyType

from service.schemas.answers import Severity

_FAIL, _CAUTION, _NOTE = Severity.FAIL, Severity.CAUTION, Severity.NOTE

CODES: Mapping[str, tuple[Severity, str]] = MappingProxyType(
    {
        "no-flow": (_FAIL, "No outlet gives any water."),
        "outlet-pressure-low": (
            _FAIL,
            "An outlet has less than its least working pressure; a caution if that is assumed.",
        ),
        "outlet-pressure-high": (_FAIL, "An outlet has more than its greatest working pressure; a caution if assumed."),
        "outlet-margin-small": (_CAUTION, "The critical outlet has little pressure to spare."),
        "negative-pressure": (_FAIL, "Pressure falls below that of the air: air and soil are drawn in."),
        "pipe-pressure-high": (_FAIL, "A pipe stands above its pressure rating."),
        "device-pressure-high": (_FAIL, "A device of the head stands above its pressure rating."),
        "shut-off-pressure-high": (
            _FAIL,
            "A part stands above its pressure rating with the flow shut off beyond it.",
        ),
        "regulator-set-high": (_CAUTION, "The regulator's set pressure is more than something beyond it stands."),
        "regulator-not-holding": (_NOTE, "The regulator's inlet is too low for it to hold its set pressure."),
        "velocity-high": (_CAUTION, "Water runs too fast in a pipe."),
        "flushing-slow": (_CAUTION, "An end opened for flushing runs too slowly to carry dirt out."),
        "supply-untested": (_CAUTION, "Only the static pressure of the supply is known."),
        "supply-curve-passed": (_NOTE, "More flow is drawn than the flow test or the pump's curve covers."),
        "meter-flow-high": (_CAUTION, "The zone takes more than the meter should give for long."),
        "meter-loss-high": (_CAUTION, "The meter loses too much of the static pressure."),
        "device-flow-low": (_CAUTION, "A device is made for more flow than the zone takes."),
        "device-flow-high": (_CAUTION, "A device is made for less flow than the zone takes."),
        "device-loss-unstated": (_CAUTION, "A device is taken to lose nothing because its loss is not stated."),
        "device-curve-passed": (
            _NOTE,
            "The flow lies outside the loss table of a device; a caution where springs may take too much more.",
        ),
        "backflow-curve-falls": (_NOTE, "A loss table falls with flow; its higher part was used."),
        "valve-range-unstated": (_NOTE, "The valve states no flow range."),
        "backflow-preventer-missing": (_CAUTION, "The head holds no backflow preventer."),
        "vacuum-breaker-low": (
            _FAIL,
            "A vacuum breaker stands too low; a caution if it states no height.",
        ),
        "valve-after-vacuum-breaker": (_FAIL, "A valve stands after an atmospheric vacuum breaker."),
        "vacuum-breaker-long-pressure": (_FAIL, "An atmospheric vacuum breaker is kept under pressure too long."),
        "vacuum-breaker-injection": (_FAIL, "A vacuum breaker is used with injection or back-pressure."),
        "double-check-injection": (_CAUTION, "A double check alone stands against injected chemicals."),
        "air-gap-in-line": (_FAIL, "The pressure of a main is counted on beyond an air gap."),
        "head-order": (
            _CAUTION,
            "The devices of the head stand in an unusual order; a note where little harm comes of it.",
        ),
        "filter-missing": (_CAUTION, "The head holds no filter."),
        "filter-coarse": (_CAUTION, "The filter lets through what may clog the outlets."),
        "filter-very-fine": (_NOTE, "The outlets need a filter so fine that it clogs fast."),
        "filter-type-unsuited": (_CAUTION, "The filter is of a type that clogs quickly on this water."),
        "clogging-hazard": (
            _CAUTION,
            "Something found in the water is likely to clog outlets; a note if moderately so.",
        ),
        "scaling": (_CAUTION, "The water tends to leave carbonate scale."),
        "iron": (_NOTE, "Iron turns to ochre and feeds slime."),
        "hydrogen-sulfide": (_NOTE, "Hydrogen sulfide feeds slime."),
        "lab-values-incomplete": (_NOTE, "A laboratory value lacks the others that it is of use with."),
        "lab-values-doubtful": (_CAUTION, "Laboratory values that can hardly be true."),
        "flow-variation": (_FAIL, "Outlets of one kind differ too much in flow; a caution within the wider limit."),
        "emission-uniformity-low": (_CAUTION, "The design emission uniformity is below its range."),
        "manufacturing-variation": (_NOTE, "The emitters vary more from one to the next than good ones do."),
        "outlet-kinds-mixed": (_CAUTION, "Outlets that need different run times share a valve."),
        "lateral-long": (_NOTE, "A lateral is longer than the rule of thumb allows."),
        "centre-feed": (_NOTE, "Laterals of one header differ in length; feeding from the centre would match them."),
        "uphill-feed": (_NOTE, "The valve pushes water uphill."),
        "air-relief": (_NOTE, "Air gathers at a high point."),
        "slope-placing": (_NOTE, "On a slope emitters belong on the uphill side of the plant."),
        "drain-back": (_NOTE, "The pipes drain to the low outlets after each run."),
        "alike-left-out": (_NOTE, "A rule found more of the same than anyone reads; the worst are told."),
        "surface-tubing": (_NOTE, "Tubing on the ground wants slack, mulch and reachable ends."),
    }
)
