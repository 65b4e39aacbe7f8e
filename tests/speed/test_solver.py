"""How fast the solver is, as ratios to a general-purpose network engine in C that runs beside it.

The engine is opened once and solves in memory with its own settings; the service's network is prepared once too. Both
are timed in turn, many times, by the processor's clock, and the best times are compared: a busy machine only ever adds.
Ratios hold from one machine to the next where times do not. Run with `OPENBLAS_NUM_THREADS=1` in the environment as
`pytest -m speed -s tests/speed`.
"""

import time
import tracemalloc
from collections.abc import Callable

import numpy as np
import pytest

from service.hydraulics.solve import FixedHead, solve
from tests.engines.epanet_engine import Engine
from tests.speed.zones import EMITTER, zone

pytestmark = pytest.mark.speed

LAWS = ["darcy_weisbach", "hazen_williams"]
HEAD = 20.0
DEFAULT_ACCURACY = 1e-3


def best(*jobs: Callable[[], object], seconds: float = 1.5) -> list[float]:
    """Best processor time of each job, taken in turns. [s]"""
    times = [np.inf for _ in jobs]
    until = time.perf_counter() + seconds
    rounds = 0
    while rounds < 5 or time.perf_counter() < until:
        for number, job in enumerate(jobs):
            began = time.thread_time()
            job()
            times[number] = min(times[number], time.thread_time() - began)
        rounds += 1
    return times


@pytest.mark.parametrize("law", LAWS)
@pytest.mark.parametrize("closed", [False, True], ids=["tree", "grid"])
@pytest.mark.parametrize(("laterals", "outlets", "at_most"), [(10, 30, 1.5), (100, 100, 0.7)])
def test_one_solve_against_the_engine(laterals: int, outlets: int, at_most: float, closed: bool, law: str):
    drawing = zone(laterals, outlets, closed=closed, law=law)
    network, source = drawing.network(), FixedHead(np.array([HEAD]))
    with Engine(drawing, HEAD, exponent=EMITTER.exponent, accuracy=DEFAULT_ACCURACY) as engine:
        ours, theirs = best(lambda: solve(network, source), engine.solve)
        assert np.abs(engine.heads() - solve(network, source).head[0]).max() < 0.1
    ratio = ours / theirs
    print(f"{laterals * outlets} outlets, {law}: {ours * 1e3:.2f} ms against {theirs * 1e3:.2f} ms, ratio {ratio:.2f}")
    assert ratio <= at_most


@pytest.mark.parametrize("closed", [False, True], ids=["tree", "grid"])
def test_a_ladder_of_supplies_against_as_many_solves_of_the_engine(closed: bool):
    drawing = zone(10, 30, closed=closed, law="darcy_weisbach")
    network, source = drawing.network(), FixedHead(np.linspace(5.0, 40.0, 24))
    with Engine(drawing, HEAD, exponent=EMITTER.exponent, accuracy=DEFAULT_ACCURACY) as engine:

        def climb() -> None:
            for head in source.heads.tolist():
                engine.set_head(head)
                engine.solve()

        ours, theirs = best(lambda: solve(network, source, scenarios=24), climb)
    print(f"24 pressures on 300 outlets: {ours * 1e3:.2f} ms against {theirs * 1e3:.2f} ms, ratio {ours / theirs:.2f}")
    assert ours / theirs <= 0.3


@pytest.mark.parametrize("closed", [False, True], ids=["tree", "grid"])
def test_time_grows_little_more_than_the_zone(closed: bool):
    """From 1 000 to 100 000 outlets, as an exponent."""
    source = FixedHead(np.array([HEAD]))
    networks = [zone(rows, 100, closed=closed, law="darcy_weisbach").network() for rows in (10, 1000)]
    small, large = (best(lambda network=network: solve(network, source))[0] for network in networks)
    exponent = np.log(large / small) / np.log(100.0)
    print(f"1 000 outlets {small * 1e3:.2f} ms, 100 000 outlets {large * 1e3:.1f} ms, exponent {exponent:.2f}")
    assert exponent <= 1.15


def test_a_hundred_thousand_outlets_with_a_ladder_of_supplies_stay_small():
    """24 supply pressures at once, the network included."""
    tracemalloc.start()
    network = zone(1000, 100, closed=True, law="darcy_weisbach").network()
    solve(network, FixedHead(np.linspace(15.0, 40.0, 24)), scenarios=24)
    peak = tracemalloc.get_traced_memory()[1]
    tracemalloc.stop()
    print(f"peak memory of 24 pressures on 100 000 outlets: {peak / 2**20:.0f} MiB")
    assert peak < 600 * 2**20
