"""How a fire burned between noted loads: the taut string, and what it may never break."""

from __future__ import annotations

from datetime import datetime

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from greenhouse_sim.errors import ScenarioError
from greenhouse_sim.heater.heater import heater_numbers
from greenhouse_sim.plans.fit_checks import check_heat
from greenhouse_sim.plans.fit_fire import first_fuel, taut, tended
from greenhouse_sim.plans.logger import Load, Log
from made_up_logs import farm

HOURS = 240


def test_wide_gates_give_a_straight_string() -> None:
    x = np.arange(6.0)
    wide = taut(x, np.array([0.0, -9, -9, -9, -9, 10.0]), np.array([0.0, 99, 99, 99, 99, 10.0]))
    assert wide == pytest.approx(2.0 * x)


def test_a_narrow_gate_bends_it() -> None:
    """By hand: from (0, 0) through (2, ≤ 1) to (4, 10): down to 1, then 4.5 a step."""
    bent = taut(np.arange(5.0), np.array([0.0, -9, -9, -9, 10.0]), np.array([0.0, 99, 1.0, 99, 10]))
    assert bent == pytest.approx([0.0, 0.5, 1.0, 5.5, 10.0])


@settings(max_examples=50, deadline=None)
@given(
    gates=st.lists(
        st.tuples(st.floats(0.5, 12.0), st.floats(-20.0, 20.0), st.floats(0.0, 15.0)),
        min_size=2,
        max_size=30,
    )
)
def test_the_string_passes_every_gate(gates: list[tuple[float, float, float]]) -> None:
    x = np.cumsum([step for step, _, _ in gates])
    low = np.array([at for _, at, _ in gates])
    high = low + np.array([width for _, _, width in gates])
    high[0], high[-1] = low[0], low[-1]
    y = taut(x, low, high)
    assert np.all(y >= low - 1e-6)
    assert np.all(y <= high + 1e-6)


def test_even_loads_burn_evenly() -> None:
    heater = heater_numbers("wood stove, large")
    loads = [Load(h, 10.0) for h in range(4, HOURS, 8)]
    fires = tended(loads, heater, HOURS)
    assert sum(one.kg for one in fires) == pytest.approx(10.0 * len(loads))
    even_w = sum(load.kg for load in loads) * heater.heat_j_kg / (HOURS * 3600.0)
    assert [one.setting_w for one in fires] == pytest.approx(
        [min(max(even_w, heater.burn_min_w), heater.burn_max_w)] * len(fires)
    )
    assert 0.0 < first_fuel(heater) < heater.charge_kg


def test_loads_of_a_boiler_do_not_tell_its_hours() -> None:
    log = Log("log", datetime(2025, 12, 1), np.zeros(48), loads=(Load(3, 9.0),))
    with pytest.raises(ScenarioError, match="a thermostat asks for it"):
        check_heat(log, False, farm().with_(heater="outdoor boiler"))
    check_heat(log, False, farm())
