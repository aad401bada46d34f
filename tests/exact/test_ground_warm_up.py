"""The soil on the first day of the season: stepping against other solutions, and long enough."""

from __future__ import annotations

import numpy as np
import pytest
from scipy.integrate import solve_ivp

import greenhouse_sim as gs
from greenhouse_sim.drive.drive import make_house
from greenhouse_sim.greenhouse.ground import middles_m, site_ground
from greenhouse_sim.greenhouse.undisturbed import day_of_year, undisturbed_C
from greenhouse_sim.greenhouse.warm_up import stepped, warmed
from greenhouse_sim.season import tally as at
from greenhouse_sim.season.many import run_many
from greenhouse_sim.season.run import read_winters, ready, task

C = np.array([5e6, 1.3e7, 3.6e7, 1e8])
G = np.array([900.0, 1500.0, 600.0, 250.0])
END_G = 120.0


def test_long_stepping_ends_in_the_steady_state() -> None:
    t = stepped(np.zeros(4), C, G, END_G, np.full(20000, 12.0), np.full(20000, 6.0))
    ends = np.array([12.0, *t, 6.0])
    flows = -np.diff(ends) * np.append(G, END_G)
    assert flows == pytest.approx(np.full(5, flows[0]), rel=1e-6)


def test_stepping_agrees_with_a_general_solver() -> None:
    """Sixty days under constant air: within 0.15 K of 12 K, the error of implicit days."""

    def slope(_: float, t: np.ndarray) -> np.ndarray:
        flow = np.append(G, END_G) * -np.diff(np.array([12.0, *t, 6.0]))
        return (flow[:-1] - flow[1:]) / C

    start = np.array([0.0, 2.0, 4.0, 6.0])
    wanted = solve_ivp(slope, (0.0, 60 * 86400.0), start, rtol=1e-9, atol=1e-9).y[:, -1]
    ours = stepped(start, C, G, END_G, np.full(60, 12.0), np.full(60, 6.0))
    assert ours == pytest.approx(wanted, abs=0.15)


def test_no_warm_up_is_undisturbed_ground() -> None:
    scenario = gs.read_scenario(gs.demo_path())
    winter = read_winters(scenario)[0]
    ground, first = site_ground(scenario, winter), float(day_of_year(winter)[0])
    house = warmed(make_house(scenario, winter), ground, first, 10.0, days=0)
    plain = undisturbed_C(ground.under, middles_m(), ground.damping_m, np.array(first))
    assert house.node_start[: len(plain)] == pytest.approx(plain)


@pytest.mark.parametrize("first", ["10-01", "11-15", "01-01"])
def test_twice_the_warm_up_changes_little(first: str) -> None:
    """The ideal heat of the first week changes by less than 2 % of a winter week's 1,000 kWh, or of
    itself where that is more, and that of the season by less than 0.5 %."""
    scenario = gs.read_scenario(gs.demo_path()).with_(
        heater="ideal", **{"site.season": {"start": first, "end": "04-30"}}
    )
    winter = ready(scenario, read_winters(scenario)[1])
    ground = site_ground(scenario, winter.weather)
    day = float(day_of_year(winter.weather)[0])
    houses = [warmed(winter.house, ground, day, 8.0, days) for days in (60, 120)]
    tasks = [task(scenario, winter._replace(house=house), "ideal", True) for house in houses]
    heat = [run.trace[:, at.TRACE.index("heater_W")] / 1e3 for run in run_many(tasks, "python", 1)]
    once, twice = (float(h[:168].sum()) for h in heat)
    assert abs(twice - once) < 0.02 * max(once, 1000.0)
    assert heat[1].sum() == pytest.approx(heat[0].sum(), rel=5e-3)


def test_a_house_warm_all_year_starts_warm_at_the_top() -> None:
    """Upper layers near the air of the house, the lowest near undisturbed ground."""
    scenario = gs.read_scenario(gs.demo_path()).with_(
        **{"site.season": {"start": "01-01", "end": "04-30"}}
    )
    winter = read_winters(scenario)[1]
    start = make_house(scenario, winter).node_start[: len(middles_m())]
    ground = site_ground(scenario, winter)
    below = float(ground.below_C(np.array([1.0]))[0])
    assert 5.0 < start[0] < 13.0
    assert abs(start[-1] - below) < 4.0
