"""Interpreted and compiled seasons give the same bits: every heater, every burn law.

numba does not promise this; it holds because the kernel only adds, multiplies, divides,
compares and calls a few functions of `math`. Should it ever break on some processor,
find the operation before loosening this test: thresholds ("gets up below 2 °C") turn a
last bit into another visit.
"""

from __future__ import annotations

import functools
from collections.abc import Mapping
from typing import Any

import numpy as np
import pytest

from greenhouse_sim.heater.catalogue import heater_names
from greenhouse_sim.season import compiled
from greenhouse_sim.season import tally as at
from greenhouse_sim.season.many import Tallied, engine_for, run_one
from greenhouse_sim.season.run import Winter, task
from winters_at_hand import TROUBLED, demo, hours_of, winter

pytestmark = pytest.mark.skipif(not compiled.available(), reason="numba is not installed")

DAYS = 12
PLACES = {value: name for name, value in vars(at).items() if name.isupper() and name[0] != "T"}
FARMS = {"plain": {}, **TROUBLED}


@functools.cache
def fortnight(farm: str, first: int) -> tuple[Any, Winter]:
    """A farm and twelve days of the severe winter."""
    scenario = demo(**FARMS[farm])
    found = winter(scenario, "tamarack_flats_severe.csv")
    return scenario, hours_of(found, first, first + 24 * DAYS)


def different(ours: Tallied, theirs: Tallied) -> list[str]:
    """Names of the columns and tallies whose bits differ."""
    found = []
    for name, mine, other in zip(at.TRACE, ours.trace.T, theirs.trace.T, strict=True):
        unlike = np.flatnonzero(bits(mine) != bits(other))
        if unlike.size:
            h = unlike[0]
            found.append(f"trace {name} from hour {h}: {mine[h]!r} and {other[h]!r}")
    for i in np.flatnonzero(bits(ours.total) != bits(theirs.total)):
        found.append(f"tally {PLACES.get(i, i)}: {ours.total[i]!r} and {theirs.total[i]!r}")
    if (bits(ours.month_kg) != bits(theirs.month_kg)).any():
        found.append("fuel by month")
    return found


def bits(array: np.ndarray) -> np.ndarray:
    """The floats as integers: the same only where every bit is."""
    return np.ascontiguousarray(array).view(np.int64)


def check(heater: str, scenario: Any, found: Winter) -> Mapping[str, Tallied]:
    """Run one heater on both engines and compare."""
    one = task(scenario, found, heater, True)
    ran = {name: run_one(engine_for(name), one) for name in ("python", "compiled")}
    unlike = different(ran["python"], ran["compiled"])
    assert not unlike, f"{heater}: interpreted and compiled differ in " + "; ".join(unlike)
    return ran


@pytest.mark.parametrize("heater", heater_names())
def test_same_bits_from_october(heater: str) -> None:
    """The first twelve days of the winter."""
    check(heater, *fortnight("plain", 0))


@pytest.mark.parametrize("farm", FARMS)
@pytest.mark.parametrize("heater", heater_names())
def test_same_bits_in_january(heater: str, farm: str) -> None:
    """Twelve cold days with alarms, back-up, a dead grid, an empty house and a small pile."""
    scenario, found = fortnight(farm, 24 * 104)
    ran = check(heater, scenario, found)["python"]
    assert np.isfinite(ran.total).all()


def test_the_cold_days_have_in_them_what_they_are_for() -> None:
    """The farms above do meet a back-up, a power cut, a trip and a wake-up."""
    stove = "wood stove, large"
    plain = check(stove, *fortnight("plain", 24 * 104))["python"].total
    helped = check(stove, *fortnight("back-up", 24 * 104))["python"].total
    cut = check("pellet stove", *fortnight("power cut", 24 * 104))["python"].total
    trip = check(stove, *fortnight("trip", 24 * 104))["python"].total
    assert plain[at.WAKEUPS] > 0.0
    assert helped[at.BACKUP_J] > 0.0
    assert cut[at.CAUSE_POWER] > 0.0
    assert trip[at.CAUSE_AWAY] > 0.0
