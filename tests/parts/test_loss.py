"""Losses of devices in the forms of their data sheets."""

import pytest
from hypothesis import given
from hypothesis import strategies as st
from pydantic import ValidationError

from service.parts.loss import Loss
from service.units.dimensions import System
from service.units.reading import reading

GPM = 6.30901964e-5  # m³/s, NIST Special Publication 811, appendix B.8
PSI = 6894.757  # Pa, the same


def read(system=System.US, **form):
    with reading(system):
        return Loss.model_validate(form)


def faults(**form):
    with pytest.raises(ValidationError) as caught:
        read(**form)
    return {".".join(map(str, fault["loc"])): fault["msg"] for fault in caught.value.errors()}


def test_cv_is_the_flow_in_gpm_that_loses_one_psi():
    assert read(cv=9).resistance * (9 * GPM) ** 2 == pytest.approx(PSI, rel=1e-6)
    assert read(System.METRIC, cv=9) == read(cv=9)


def test_kv_is_the_flow_in_cubic_metres_an_hour_that_loses_one_bar():
    assert read(kv=5).resistance * (5 / 3600) ** 2 == pytest.approx(1e5)


@given(st.floats(0.1, 1000))
def test_kv_and_cv_of_one_valve_agree(cv):
    """Kv = 0.865 Cv: IEC 60534-2-1, from memory."""
    assert read(kv=0.865 * cv).resistance == pytest.approx(read(cv=cv).resistance, rel=2e-3)


def test_a_point_sets_a_square_law():
    loss = read(point={"flow": 7, "loss": 5})
    assert loss.resistance * (14 * GPM) ** 2 == pytest.approx(4 * 5 * PSI, rel=1e-6)


def test_other_forms_have_no_single_resistance():
    assert read(fixed=3).resistance is None
    assert read(table=[[2, 1], [8, 5]]).resistance is None


def test_a_table_tells_where_it_falls():
    assert read(table=[[2, 12], [8, 11], [15, 11], [25, 14]]).falls() == [1]
    assert read(fixed=3).falls() == []


@pytest.mark.parametrize(
    ("form", "where"),
    [
        ({}, ""),
        ({"cv": 9, "fixed": 3}, ""),
        ({"cv": 0}, "cv"),
        ({"cv": None}, "cv"),
        ({"cw": 9}, "cw"),
        ({"point": {"flow": 0, "loss": 3}}, "point.flow"),
        ({"table": []}, "table"),
        ({"table": [[0, 0]]}, "table"),
        ({"table": [[0, 3], [8, 5]]}, "table.0.1"),
        ({"table": [[8, 3], [8, 5]]}, "table.1.0"),
        ({"table": [[8, 3], [5, 5]]}, "table.1.0"),
        ({"table": [[8, -3]]}, "table.0.1"),
    ],
)
def test_a_faulty_loss_is_refused_at_its_field(form, where):
    assert where in faults(**form)


def test_flows_out_of_order_are_told_in_the_callers_unit():
    assert faults(table=[[8, 3], [5, 5]])["table.1.0"] == "5 gpm comes after 8 gpm."
