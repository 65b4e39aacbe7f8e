"""An answer built by hand, for tests of what is made of answers. Its figures are round, not computed."""

from service.schemas import answers as told
from service.schemas import head_answers as head
from service.schemas.answers import CheckAnswer
from service.units.dimensions import System, labels, to_si
from service.units.sentence import Measured, Sentence


def psi(value):
    return to_si(value, "pressure", System.US)


def feet(value):
    return to_si(value, "length", System.US)


def gpm(value):
    return to_si(value, "flow", System.US)


def gph(value):
    return to_si(value, "outlet_flow", System.US)


def stage(name, kind, *, loss=0.0, climb=0.0, after):
    return told.BudgetStage(
        stage=name, kind=kind, flow=gpm(6.4), loss=psi(loss), elevation_change=psi(climb), pressure_after=psi(after)
    )


BUDGET = [
    stage("static pressure", "supply", after=64.0),
    stage("main", "supply", loss=8.64, after=55.36),
    stage("backflow_preventer", "device", loss=9.74, after=45.62),
    stage("valve", "device", loss=0.51, after=45.11),
    stage("filter", "device", loss=6.16, after=38.95),
    stage("regulator, holding", "regulation", loss=13.95, after=25.0),
    stage("feed", "friction", loss=1.94, climb=0.87, after=22.19),
    stage("row:8", "friction", loss=1.14, after=21.05),
]


def run(address, *, lowest=21.05):
    return told.RunAnswer(
        run=address,
        inlet_flow=gpm(0.8),
        velocity=to_si(1.31, "velocity", System.US),
        inlet_pressure=psi(22.0),
        end_pressure=psi(lowest),
        lowest_pressure=psi(lowest),
        friction_loss=psi(0.95),
        elevation_change=0.0,
        volume=to_si(0.81, "volume", System.US),
    )


def finding(severity, code, message, **facts):
    return told.Finding(
        code=code, severity=severity, where="valve", message=Sentence(message), source="by hand", **facts
    )


def check_answer(**changed):
    """A check that passes, with any field changed."""
    outlet = {"run": "row:8", "at": feet(79.5), "pressure": psi(21.05), "flow": gph(0.6)}
    spread = {
        "kind": Sentence("inline-compensating-0.6gph"),
        "count": 640,
        "flow_variation": 0.0,
        "emission_uniformity": 94.9,
        "statistical_uniformity": 96.0,
        "christiansen": 97.0,
        "low_quarter": 96.5,
        "hydraulic_only": False,
        "class_": "excellent",
    }
    fields = {
        "name": "Flower plot",
        "units": labels(System.US),
        "version": "0.1.0",
        "method": told.Method(
            friction="darcy_weisbach",
            water=told.WaterUsed(temperature=15.5),
            filter_state="due",
            converged=True,
            iterations=6,
            residual=1e-6,
        ),
        "assumed": [told.Assumed(what="tees", value=Sentence("no loss"), why=Sentence("no fitting was given"))],
        "verdict": "pass",
        "flow": gpm(6.4),
        "zone_inlet_pressure": psi(25.0),
        "end_of_line_pressure": psi(21.05),
        "lowest_outlet": told.OutletReading(**outlet),
        "highest_outlet": told.OutletReading(**{**outlet, "run": "row:1", "at": feet(0.5), "pressure": psi(22.0)}),
        "critical_outlet": told.CriticalOutlet(**outlet, minimum=psi(7.0), margin=psi(14.05)),
        "end_of_line": [told.EndOfLine(run="row:8", pressure=psi(21.05), elevation=feet(2.0))],
        "uniformity": told.Uniformity(**spread, by_kind=[told.KindUniformity(**spread)]),
        "loss_budget": BUDGET,
        "runs": [run(f"row:{number}") for number in range(1, 9)],
        "supply": head.SupplyAnswer(
            kind="main", pressure=psi(64.0), pressure_left=psi(55.36), flow=gpm(6.4), limits=[], reasons=[]
        ),
        "regulator": head.RegulatorAnswer(
            advice="recommended",
            state="holding",
            thresholds=head.Thresholds(
                lowest_without_regulator=head.Threshold(pressure=psi(38.2), decided_by=[Sentence("row:8 at 79.5 ft")]),
                common_practice=head.Threshold(pressure=psi(60.0), decided_by=[Sentence("common practice, no source")]),
            ),
            supply_pressure=psi(64.0),
            flow=gpm(6.4),
            suits=[head.SuitingRegulator(part="regulator-25psi", set_pressure=psi(25.0), margin_below=psi(13.0))],
            suggested_set_pressure=psi(25.0),
            tolerates=head.TolerableSetPressures(least=psi(12.0), most=psi(44.0)),
            reasons=[Sentence("{supply} is above 60 psi.", {"supply": Measured(psi(64.0), "pressure")})],
        ),
        "filter": head.FilterAnswer(
            advice="keep",
            type="screen",
            mesh=150,
            opening=100e-6,
            flow=gpm(6.4),
            clean_loss=psi(3.2),
            dirty_loss=psi(6.2),
            clean_when=Sentence("when it loses {loss}", {"loss": Measured(psi(6.2), "pressure")}),
            suggested=["screen-0.75in-150"],
            suits=[head.SuitingFilter(part="screen-0.75in-150", type="screen", opening=100e-6, clean_loss=psi(3.2))],
            placement=Sentence("behind the valve"),
            clogging_hazard="unknown",
            constituents=[],
            treatments=[],
            reasons=[],
        ),
        "findings": [],
        "cautions": [told.Caution(topic="backflow", message=Sentence("The local authority decides."))],
    }
    return CheckAnswer(**{**fields, **changed})
