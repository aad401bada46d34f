"""The kernel against a general solver of the same equations (tests/independent.py).

Thirty days from mid-January of a cold sample winter; the benchmarks do a whole one. Both
sides share the arrays before the loop, nothing after: this holds the stepping to account
(sub-steps, elimination, vents, store), not the physics.
"""

from __future__ import annotations

import numpy as np
import pytest

from greenhouse_sim.heater.numbers import IDEAL
from greenhouse_sim.season import tally as at
from greenhouse_sim.season.hour import season
from greenhouse_sim.season.many import run_one
from independent import Answer, Heat, solve
from winters_at_hand import BARRELS, OFF, STEADY, demo, hours_of, lone_task, no_heater, winter

JANUARY_H, APRIL_H = 2500, 4360
HEATED = {
    "off": OFF,
    "steady stove": STEADY,
    "vents": OFF,
    "ideal": (no_heater(law=IDEAL, burn_max_w=1.0), Heat(ideal=True)),
}


AIR_RMS_K = {"off": 0.02, "steady stove": 0.02, "vents": 0.02, "ideal": 0.15}
SOIL_RMS_K = {"off": 0.01, "steady stove": 0.01, "vents": 0.02, "ideal": 0.05}
"""Two to three times what was found when this was written. The ideal heater gets more: where
the setpoint drops at dusk the kernel lets the air fall through the whole sub-step, the solver
within minutes."""


def column(trace: np.ndarray, name: str) -> np.ndarray:
    """One column of the hourly trace."""
    return trace[:, at.TRACE.index(name)]


@pytest.mark.parametrize("name", HEATED)
def test_thirty_days_agree_with_a_general_solver(name: str) -> None:
    """Hourly air and first soil node by their RMS difference, heat within 0.3 %."""
    heater, heat = HEATED[name]
    first = APRIL_H if name == "vents" else JANUARY_H
    found = hours_of(winter(demo(greenhouse__mass=BARRELS)), first, first + 720)
    ours = run_one(season, lone_task(found.house, found.drive, heater))
    theirs: Answer = solve(found.house, found.drive, heat, float(found.drive.setpoint[0]))
    air = column(ours.trace, "air_C") - theirs.air
    soil = column(ours.trace, "soil_C") - theirs.node
    given = float(column(ours.trace, "heater_W").sum())
    wanted = float(theirs.heat_w.sum())
    print(
        f"{name}: air RMS {np.sqrt(np.mean(air**2)):.4f} K, most {np.abs(air).max():.3f} K; "
        f"soil RMS {np.sqrt(np.mean(soil**2)):.4f} K; heat {given / 1e3:.1f} of {wanted / 1e3:.1f}"
        f" kWh; vented {column(ours.trace, 'vent_W').sum() / 1e3:.0f} kWh"
    )
    assert np.sqrt(np.mean(air**2)) < AIR_RMS_K[name]
    assert np.sqrt(np.mean(soil**2)) < SOIL_RMS_K[name]
    assert given == pytest.approx(wanted, rel=3e-3, abs=1.0)
    assert (column(ours.trace, "vent_W").sum() > 1.0e5) == (name == "vents")
    if name == "steady stove":
        assert ours.total[at.LOADS] == 1.0
        assert np.sqrt(np.mean((column(ours.trace, "store_C") - theirs.iron) ** 2)) < 0.5
