"""The test boxes in a typical year that every machine has, against independent integrations.

Weather: Greensboro NC, 723170, a typical meteorological year in pvlib's wheel (National Solar
Radiation Data Base). The boxes are those of `boxes.py`; the general solver is that of
tests/independent.py, for the network of a room a matrix exponential. Limits: air 0.1 K
(root mean square), heat and cooling 0.3 %.
"""

from __future__ import annotations

import numpy as np
import pytest
from scipy.linalg import expm

import greenhouse_sim as gs
from greenhouse_sim.greenhouse.numbers import Drive
from greenhouse_sim.heater.numbers import IDEAL
from greenhouse_sim.season import tally as at
from greenhouse_sim.season.hour import season
from greenhouse_sim.season.many import run_one
from independent import Heat, solve
from outside.boxes import DAYS, thirty_days, typical_winter
from outside.network import house_of, modes
from winters_at_hand import lone_task, no_heater


@pytest.fixture(scope="module")
def weather() -> gs.Weather:
    return typical_winter()


def column(trace: np.ndarray, name: str) -> np.ndarray:
    """One column of the hourly trace."""
    return trace[:, at.TRACE.index(name)]


@pytest.mark.parametrize("case", ["600", "900", "600FF"])
def test_boxes_agree_with_a_general_solver(case: str, weather: gs.Weather) -> None:
    """Hourly air and the heat of thirty winter days; 900FF stands in the table of checks."""
    found = thirty_days(case, weather)
    held = not case.endswith("FF")
    heater = no_heater(law=IDEAL, burn_max_w=1.0e6) if held else no_heater()
    ours = run_one(season, lone_task(found.house, found.drive, heater)).trace
    theirs = solve(found.house, found.drive, Heat(ideal=held), float(found.drive.setpoint[0]))
    off = column(ours, "air_C") - theirs.air
    rms = float(np.sqrt(np.mean(off**2)))
    heat, wanted = float(column(ours, "heater_W").sum()), float(theirs.heat_w.sum())
    print(
        f"{case}: air RMS {rms:.4f} K, most {np.abs(off).max():.3f} K; "
        f"heat {heat / 1e3:.1f} of {wanted / 1e3:.1f} kWh; "
        f"cooled {column(ours, 'vent_W').sum() / 1e3:.1f} kWh"
    )
    assert rms < 0.1
    assert heat == pytest.approx(wanted, rel=3e-3, abs=1.0)
    assert (wanted > 1.0e5) == held


def test_a_light_box_swings_more_than_a_heavy_one(weather: gs.Weather) -> None:
    """The same loss, a sixth of the capacity: more than twice the daily swing."""
    swing = {}
    for case in ("600FF", "900FF"):
        found = thirty_days(case, weather)
        trace = run_one(season, lone_task(found.house, found.drive, no_heater())).trace
        days = column(trace, "air_C").reshape(DAYS, 24)
        swing[case] = float(np.mean(days.max(axis=1) - days.min(axis=1)))
    assert swing["600FF"] > 2.0 * swing["900FF"] > 2.0


def test_a_network_as_air_with_chains_is_the_network() -> None:
    """Two walls that radiate to each other, 100 W on one of them, outdoors 20 K colder.

    Twenty days, hourly means; the exact solution is a matrix exponential of the network itself,
    surfaces eliminated by hand in steady proportion. Air 50 kJ/K.
    """
    air_c, out_c, lamp_w = 5.0e4, 0.0, 100.0
    capacity = [air_c, 0.0, 0.0, 1.6e6, 1.2e7]
    links = {(0, 1): 30.0, (0, 2): 170.0, (1, 2): 50.0, (1, 3): 230.0, (2, 4): 1700.0}
    outdoors = {0: 15.0, 3: 25.0}
    flow = np.zeros((5, 5))
    for (i, j), g in links.items():
        flow[i, i] += g
        flow[j, j] += g
        flow[i, j] -= g
        flow[j, i] -= g
    for i, g in outdoors.items():
        flow[i, i] += g
    slow, quick = [0, 3, 4], [1, 2]
    inverse = np.linalg.inv(flow[np.ix_(quick, quick)])
    carry = -flow[np.ix_(slow, quick)] @ inverse
    rate = -(flow[np.ix_(slow, slow)] + carry @ flow[np.ix_(quick, slow)])
    rate = rate / np.array([capacity[i] for i in slow])[:, np.newaxis]
    heat = carry @ np.array([lamp_w, 0.0]) / np.array([capacity[i] for i in slow])
    level = np.linalg.solve(-rate, heat)
    hour = expm(rate * 3600.0)
    inside = np.linalg.inv(rate) @ (hour - np.eye(3)) / 3600.0
    state, exact = np.full(3, 20.0), []
    for _ in range(480):
        exact.append(float((level + inside @ (state - level))[0]))
        state = level + hour @ (state - level)

    found = modes(capacity, links, outdoors)
    lamp = np.eye(5)[1]
    house = house_of(found, air_c, 20.0, found.share @ lamp, np.zeros(len(found.capacity)))
    still = np.zeros(480)
    fields = dict.fromkeys(Drive._fields, still) | {
        "t_out": still + out_c,
        "loss_w_k": still + found.air_outdoors,
        "sun_floor_w": still + lamp_w,
        "gain_w": still + lamp_w * float(found.air_share @ lamp),
        "setpoint": still + 20.0,
        "need_sum_j": np.zeros(481),
        "outside_w": np.zeros((480, 0)),
    }
    trace = run_one(season, lone_task(house, Drive(**fields), no_heater())).trace
    assert float(np.min(found.to_air)) > 0.0
    assert np.abs(column(trace, "air_C") - np.array(exact)).max() < 0.05
