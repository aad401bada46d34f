"""The yearly wave in undisturbed ground against closed forms and the heat equation itself."""

from __future__ import annotations

import math
from datetime import datetime
from types import SimpleNamespace

import numpy as np
import pytest

from greenhouse_sim.greenhouse.ground import bottom_m, site_ground
from greenhouse_sim.greenhouse.undisturbed import (
    YEAR_DAYS,
    Year,
    damping_depth,
    undisturbed_C,
    yearly_wave,
)
from greenhouse_sim.greenhouse.warm_up import stepped

DIFFUSIVITY = 6e-7
YEAR = Year(8.0, 12.0, 25.0)


def test_damping_depths() -> None:
    """√(αP/π): 0.128457 m for a day; 2.454166 m for a year of 365 days, 2.455 m of 365.25."""
    assert damping_depth(DIFFUSIVITY, 86400.0) == pytest.approx(0.128457, abs=1e-6)
    assert damping_depth(DIFFUSIVITY, 365.0 * 86400.0) == pytest.approx(2.454166, abs=1e-6)


@pytest.mark.parametrize("depth", [0.0, 0.5, 2.0, 4.24])
def test_swing_and_lag_at_a_depth(depth: float) -> None:
    """Half swing A·e^(-z/d), coldest day later by z/d of P/2π."""
    d = damping_depth(DIFFUSIVITY, YEAR_DAYS * 86400.0)
    day = np.linspace(0.0, YEAR_DAYS, 100001)
    t = undisturbed_C(YEAR, depth, d, day)
    assert np.ptp(t) / 2.0 == pytest.approx(12.0 * math.exp(-depth / d), rel=1e-6)
    assert t.max() + t.min() == pytest.approx(16.0, abs=1e-6)
    coldest = 25.0 + depth / d * YEAR_DAYS / (2.0 * math.pi)
    assert day[np.argmin(t)] == pytest.approx(coldest, abs=0.02)


def test_it_solves_the_heat_equation() -> None:
    """Five years of a 20 m column of 5 cm cells, stepped by days, end as the closed form says.

    Backward Euler by days lags half a day of 365: under 0.1 K with A = 12 K.
    """
    d, cell, k = damping_depth(DIFFUSIVITY, YEAR_DAYS * 86400.0), 0.05, 1.2
    count, days = 400, 5 * 365
    g = np.full(count, k / cell)
    g[0] = 2.0 * k / cell
    day = np.arange(days) + 1.0
    surface = undisturbed_C(YEAR, 0.0, d, day)
    start = np.full(count, 8.0)
    c = np.full(count, cell * k / DIFFUSIVITY)
    t = stepped(start, c, g, 2.0 * k / cell, surface, np.full(days, 8.0))
    depth = (np.arange(count) + 0.5) * cell
    expected = undisturbed_C(YEAR, depth, d, np.array(day[-1]))
    assert t[depth < 6.0] == pytest.approx(expected[depth < 6.0], abs=0.12)


def record(days: int, start: datetime, latitude: float = 45.0, year: Year = YEAR) -> object:
    day = start.timetuple().tm_yday + np.arange(days * 24) / 24.0
    daily = 4.0 * np.cos(2.0 * np.pi * (day - 0.6))
    t_out = undisturbed_C(year, 0.0, 1.0, day) + daily
    return SimpleNamespace(t_out_C=t_out, start=start, latitude=latitude)


@pytest.mark.parametrize("coldest", [5.0, 25.0, 200.0, 360.0])
def test_a_whole_year_gives_mean_swing_and_phase(coldest: float) -> None:
    found = yearly_wave(record(365, datetime(2001, 1, 1), year=Year(8.0, 12.0, coldest)))
    assert found == pytest.approx((8.0, 12.0, coldest), abs=0.01)


def test_a_winter_gives_mean_and_swing_of_the_table_phase() -> None:
    found = yearly_wave(record(212, datetime(2000, 10, 1), year=Year(6.0, 15.0, 20.0)))
    assert found == pytest.approx((6.0, 15.0, 20.0), abs=0.02)
    south = record(212, datetime(2000, 4, 1), -40.0, Year(6.0, 9.0, 20.0 + YEAR_DAYS / 2.0))
    assert yearly_wave(south) == pytest.approx((6.0, 9.0, 202.625), abs=0.02)


def test_warmth_against_the_season_is_no_swing() -> None:
    odd = yearly_wave(record(180, datetime(2000, 10, 1), year=Year(6.0, 15.0, 202.6)))
    assert odd.swing_K == 0.0
    assert 5.0 < odd.mean_C < 25.0


def test_deep_ground_given_stays_constant() -> None:
    """The bottom follows the year unless the scenario gives it."""
    winter = record(212, datetime(2000, 10, 1), year=Year(6.0, 15.0, 20.0))
    floor = SimpleNamespace(conductivity=1.2, heat_capacity=2.0e6)
    day = np.arange(275.0, 275.0 + 212.0)

    def below(deep: float | None) -> np.ndarray:
        place = SimpleNamespace(deep_ground=deep)
        scene = SimpleNamespace(site=place, greenhouse=SimpleNamespace(floor=floor))
        return site_ground(scene, winter).below_C(day)

    assert below(9.0) == pytest.approx(np.full(212, 9.0))
    d = damping_depth(DIFFUSIVITY, YEAR_DAYS * 86400.0)
    free = below(None)
    assert free == pytest.approx(undisturbed_C(Year(6.0, 15.0, 20.0), bottom_m(), d, day), abs=0.02)
    assert free[0] > free[-1]
