"""Parts as lists of materials name them."""

import pycountry
import pytest

from service.parts.catalogue import Catalogue, load_catalogue, read_parts, using
from service.parts.listed import dripline_item, find_item, fitting_size, nearest_items, pipe_item
from service.parts.models import Pipe
from service.parts.sundry import families, sundry
from service.parts.trade_sizes import THREADS, apart, pressure_size, thread_for, trade_size
from service.schemas.currencies import CURRENCIES

INCH = 0.0254
PSI = 6894.757293168361  # NIST Special Publication 811, appendix B.8


def test_every_sundry_has_a_name_and_a_source_that_owns_up():
    for family in families().values():
        assert family.name
        told = family.source
        assert "memory" in told or "no source" in told or "described" in told or "work, not a part" in told


def test_ids_of_the_catalogue_and_of_sundries_never_meet():
    ids = {part.id for part in load_catalogue().parts()}
    assert not ids & families().keys()


@pytest.mark.parametrize("family", families())
def test_a_sundry_is_found_by_the_id_it_is_given(family):
    sizes = ("0.75in", "17mm")[: families()[family].sizes]
    item = sundry(family, *sizes)
    assert find_item(item.id) == item


def test_dripline_is_found_with_its_emitters():
    catalogue = load_catalogue()
    pipe = catalogue.get("pipe", "dripline-17mm")
    emitter = catalogue.get("emitter", "inline-compensating-0.6gph")
    item = dripline_item(pipe, emitter, 12 * INCH)
    assert item.id == "dripline-17mm-with-inline-compensating-0.6gph-12in"
    assert find_item(item.id) == item
    assert item.packages == pipe.lengths
    assert dripline_item(pipe, emitter, 0.3).id.endswith("-300mm")
    assert find_item(item.id.replace("-12in", "-long")) is None
    assert find_item("gravel-with-hole-plug-12in") is None


def test_parts_of_the_operator_may_be_priced():
    own = read_parts(
        """
        units = "us"
        [[pipe]]
        id = "own-line"
        name = "Own line"
        material = "pe"
        inside_diameter = 0.5
        source = "own"
        """,
        "own",
    )
    with using(Catalogue([*load_catalogue().parts(), *own])):
        assert find_item("own-line").by_length
    assert find_item("own-line") is None


def test_fittings_of_tubing_that_is_gripped_go_by_its_outside():
    for part, size in (
        ("tubing-0.5in-600-700", "0.7in"),
        ("tubing-0.5in-520-620", "0.62in"),
        ("dripline-17mm", "17mm"),  # barbed
        ("pvc-sch40-0.75in", "0.75in"),
        ("pvc-sdr21-0.75in", "0.75in"),  # one fitting for both: pipe of one size is alike outside
    ):
        assert fitting_size(load_catalogue().get("pipe", part)) == size


def test_pipe_without_a_size_goes_by_its_bore():
    pipe = Pipe.model_construct(id=None, nominal=None, inside_diameter=0.0136, material="pe", kind="pipe")
    assert trade_size(None, 0.0136) == "13.6mm"
    assert pipe_item(pipe).id == "described-pipe-pe-13.6mm"


def test_sizes():
    assert apart(18 * INCH) == "18in"
    assert apart(0.333) == "333mm"
    assert pressure_size(25 * PSI) == "25psi"
    # Bores of schedule 40: 0.824 in for 0.75 in, 1.049 in for 1 in.
    assert thread_for(0.824 * INCH) == "0.75in"
    assert thread_for(0.83 * INCH) == "1in"
    assert thread_for(9.0) == list(THREADS)[-1]


def test_a_misspelt_id_has_neighbours():
    assert "tee-barbed-0.75in" in nearest_items("tee-barbd-0.75in")
    assert "hole-plug" in nearest_items("hole-plugs")
    assert "regulator-medium-25psi" in nearest_items("regulator-medum-25psi")


def test_currencies_are_those_of_the_standard():
    """pycountry carries ISO 4217 as Debian's iso-codes keep it; funds and metals are left out here."""
    known = {currency.alpha_3 for currency in pycountry.currencies}
    assert set(CURRENCIES) <= known
    no_money = {"BOV", "CHE", "CHW", "CLF", "COU", "MXV", "USN", "UYI", "UYW"}
    assert {code for code in known - set(CURRENCIES) if not code.startswith("X")} <= no_money
    # ISO 4217, list one, from memory: those without decimals and with three.
    assert (CURRENCIES["JPY"], CURRENCIES["KRW"], CURRENCIES["ISK"]) == (0, 0, 0)
    assert (CURRENCIES["KWD"], CURRENCIES["BHD"], CURRENCIES["TND"]) == (3, 3, 3)
    assert (CURRENCIES["USD"], CURRENCIES["EUR"], CURRENCIES["GBP"]) == (2, 2, 2)
