"""The pieces of made winters against closed forms."""

from __future__ import annotations

from dataclasses import replace
from pathlib import Path

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from greenhouse_sim.weather.normals import number
from greenhouse_sim.weather.normals_climate import year_of
from greenhouse_sim.weather.normals_curves import coldest_day, course, days_of, half_swing
from greenhouse_sim.weather.normals_daily import (
    bent,
    correlations,
    departures,
    mean_variance,
    memory,
)
from greenhouse_sim.weather.normals_days import draw, fronts, frost_limit
from greenhouse_sim.weather.normals_file import read_normals
from greenhouse_sim.weather.normals_shape import daily_course, day_length_h, hours_of, swing_of
from greenhouse_sim.weather.normals_sun import clearness
from greenhouse_sim.weather.sun import solar_noon_h
from normals_at_hand import TAMARACK

PLACE = (46.9, -96.8, -6.0)
SMOOTH = [-14, -11, -3, 6, 14, 19, 22, 21, 15, 7, -2, -10]


def test_a_course_averages_to_its_months() -> None:
    of_year, month = days_of(np.datetime64("2002-01-01"), 365)
    daily = course(SMOOTH, of_year)
    found = [daily[month == m].mean() for m in range(1, 13)]
    assert found == pytest.approx(SMOOTH, abs=1e-9)


def test_the_yearly_wave() -> None:
    """A pure cosine that is coldest on day 20 is found again."""
    of_year, month = days_of(np.datetime64("2002-01-01"), 365)
    daily = 5.0 - 12.0 * np.cos(2.0 * np.pi * (of_year - 20.0) / 365.25)
    months = [daily[month == m].mean() for m in range(1, 13)]
    assert coldest_day(months) == pytest.approx(20.0, abs=0.2)
    assert half_swing(months) == pytest.approx(12.0, abs=0.02)


def test_hours_keep_the_mean_of_every_day() -> None:
    days = np.random.default_rng(1).normal(0.0, 8.0, 60)
    hours = hours_of(days)
    assert hours.reshape(-1, 24).mean(axis=1) == pytest.approx(days, abs=1e-9)
    assert np.abs(np.diff(hours)).max() < 3.0  # no step at midnight


def test_hours_of_steadily_warming_days_are_a_line() -> None:
    """Where the days rise evenly there is nothing to bend; far from the ends, which are level."""
    hours = hours_of(np.arange(60.0))
    line = (np.arange(60 * 24) + 0.5) / 24.0 - 0.5
    assert hours[240:-240] == pytest.approx(line[240:-240], abs=1e-4)


def test_what_hours_have_is_strong_on_few_days() -> None:
    """Of a hundred years: standard deviation 1, bursts as at five stations.

    There its kurtosis is 4.2 to 8.1 and the logarithm of a day's standard deviation scatters by
    0.33 to 0.59 (own calculation from their typical years); with one scale for all days a hundred
    years give 3.8 and 0.37.
    """
    table = replace(read_normals(TAMARACK, Path("normals.toml")), count=1)
    year, _ = year_of(table, 0)
    streams = np.random.SeedSequence(5).spawn(100)
    left = []
    for stream in streams:
        drawn = draw(year, np.random.default_rng(stream))
        left.append(swing_of(fronts(year, drawn).reshape(-1, 24), year.shape)[1])
    hours = np.array(left)
    assert hours.std() == pytest.approx(1.0, abs=0.03)
    assert 4.2 < np.mean(hours**4) / hours.var() ** 2 < 8.1
    assert 0.40 < np.log(hours.std(axis=2)).std() < 0.59
    winter = hours[:, np.isin(year.month, (12, 1, 2))]
    lag = np.corrcoef(winter[..., 1:].ravel(), winter[..., :-1].ravel())[0, 1]
    assert lag == pytest.approx(number("hour_lag_winter"), abs=0.02)


def test_one_lag_without_a_slow_part_is_the_textbook_autoregression() -> None:
    held = memory((0.7,), 0.0, 60.0)
    assert held.weights == pytest.approx([0.7])
    assert held.shock**2 == pytest.approx(1.0 - 0.49)
    assert correlations(held, 4) == pytest.approx([1.0, 0.7, 0.49, 0.343, 0.2401])
    n, r = 90, 0.7
    exact = ((1 + r) / (1 - r) - 2 * r * (1 - r**n) / (n * (1 - r) ** 2)) / n
    assert mean_variance(held, n) == pytest.approx(exact, rel=1e-9)


def test_the_lags_are_kept_whatever_the_slow_share() -> None:
    """Yule and Walker: an autoregression of order p has the first p correlations it was given."""
    for share in (0.0, 0.1, 0.2):
        held = memory((0.758, 0.489, 0.369), share, 60.0)
        assert correlations(held, 3) == pytest.approx([1.0, 0.758, 0.489, 0.369])


def test_a_slow_part_sets_seasons_apart() -> None:
    lags = (0.758, 0.489, 0.369)
    spread = [mean_variance(memory(lags, f, 60.0), 90) ** 0.5 for f in (0.0, 0.1, 0.2)]
    assert spread[0] < spread[1] < spread[2]


def test_departures_have_the_memory_they_were_given() -> None:
    """Sums over 1500 seasons; standard errors about 0.02."""
    held = memory((0.7, 0.42, 0.29), 0.12, 60.0)
    chance = np.random.default_rng(5)
    g = np.array([departures(held, 120, chance) for _ in range(1500)])
    assert g.mean() == pytest.approx(0.0, abs=0.03)
    assert g.std() == pytest.approx(1.0, abs=0.02)
    for k in (1, 2, 3, 10, 40):
        assert (g[:, k:] * g[:, :-k]).mean() == pytest.approx(correlations(held, k)[k], abs=0.02)
    variance = (g[:, :90].mean(axis=1) ** 2).mean()
    assert variance == pytest.approx(mean_variance(held, 90), rel=0.12)
    assert g[:, 0].std() == pytest.approx(1.0, abs=0.06)  # stationary from the first day


def test_impossible_lags_are_refused() -> None:
    for lags, share in (((0.9, 0.1), 0.0), ((0.3, 0.1, 0.05), 0.6)):
        with pytest.raises(ValueError, match="no process"):
            memory(lags, share, 60.0)


@pytest.mark.parametrize("skew", [-0.5, -0.2, 0.0, 0.4])
def test_bent_numbers_have_mean_variance_and_skewness(skew: float) -> None:
    """Moments by Gauss-Hermite quadrature, exact for polynomials."""
    z, w = np.polynomial.hermite_e.hermegauss(20)
    w = w / w.sum()
    y = bent(z, skew)
    assert w @ y == pytest.approx(0.0, abs=1e-12)
    assert w @ y**2 == pytest.approx(1.0)
    assert w @ y**3 == pytest.approx(skew, abs=0.01)


@settings(max_examples=40, deadline=None)
@given(share=st.floats(0.05, 0.95))
def test_clearness_has_the_mean_it_was_made_for(share: float) -> None:
    """The mean of a normal distribution function of a normal number, by quadrature."""
    from scipy.special import ndtri

    z, w = np.polynomial.hermite_e.hermegauss(60)
    a = np.sqrt(2.0) * ndtri(share)
    low, high = (
        clearness(np.array([-40.0]), np.zeros(1))[0],
        clearness(np.array([40.0]), np.zeros(1))[0],
    )
    mean = (w / w.sum()) @ clearness(np.full(60, a), z)
    assert (mean - low) / (high - low) == pytest.approx(share, abs=1e-3)


def test_the_daily_course() -> None:
    """Parton and Logan 1981: warmest 1.86 h after noon less 0.17 h, coldest near sunrise.

    Hours are sampled in their middle, and the morning climbs faster than the night falls: the
    coldest sample may be the whole hour before the coldest moment, 0.17 h before sunrise.
    """
    days = np.arange(np.datetime64("2002-01-01"), np.datetime64("2003-01-01"))
    shape = daily_course(days, PLACE)
    assert shape.shape == (365, 24)
    assert shape.mean(axis=1) == pytest.approx(0.0, abs=1e-12)
    height = np.ptp(shape, axis=1)
    assert ((height > 0.93) & (height <= 1.0)).all()
    noon = solar_noon_h(days.astype("datetime64[s]"), PLACE[1], PLACE[2])
    assert np.abs(shape.argmax(axis=1) + 0.5 - (noon + 1.86 - 0.17)).max() < 0.75
    of_year, _ = days_of(days[0], 365)
    rise = noon - 0.5 * day_length_h(of_year, PLACE[0])
    assert np.abs(shape.argmin(axis=1) + 0.5 - rise).max() < 1.2


def test_day_length_at_the_circle_of_latitude() -> None:
    """47° N: 8.4 h on 21 December, 15.7 h on 21 June without refraction (spherical astronomy)."""
    length = day_length_h(np.array([355.0, 172.0]), 47.0)
    exact = (
        24.0 / np.pi * np.arccos(-np.tan(np.radians(47.0)) * np.tan(np.radians([-23.44, 23.44])))
    )
    assert length == pytest.approx(exact, abs=0.02)
    assert day_length_h(np.array([355.0]), 75.0)[0] == 0.0
    assert np.isfinite(
        daily_course(np.array(["2001-12-21"], dtype="datetime64[D]"), (75.0, 20.0, 1.0))
    ).all()


def test_air_is_saturated_over_ice_where_it_freezes() -> None:
    """At -20 °C 103.24 Pa over ice (ASHRAE Handbook of Fundamentals 2017, chapter 1, table 3).

    Over water that is the pressure at -22.2 °C (Magnus, Alduchov and Eskridge 1996).
    """
    limit = frost_limit(np.array([-20.0, 0.0, 15.0]))
    assert limit == pytest.approx([-22.2, 0.0, 15.0], abs=0.1)
