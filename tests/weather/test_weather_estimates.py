"""Estimates of sun and hours: worked examples, laws, and real years."""

from __future__ import annotations

from collections.abc import Callable
from pathlib import Path

import numpy as np
import pytest
from try_estimates import WHEEL_YEARS, misses, sea_misses

from greenhouse_sim.errors import WeatherError
from greenhouse_sim.tables.read import read_keyed
from greenhouse_sim.weather import day, estimate_sun, read_weather
from greenhouse_sim.weather.daily import temperature_wave
from greenhouse_sim.weather.sun import zenith_deg

Write = Callable[..., Path]
MJ_PER_W_DAY = 0.0864


def hours(first: str, days: int = 1) -> np.ndarray:
    return np.datetime64(first, "s") + np.arange(24 * days) * np.timedelta64(3600, "s")


def test_sun_above_the_air_is_that_of_fao_56() -> None:
    """From memory: FAO Paper 56, example 8: 3 September at 20°S is 32.2 MJ/m² a day.

    Its short formula has the sun half a degree south of where it stands that day: 1.4 %.
    """
    outside, _ = day.outside_sun_W(hours("2015-09-03"), -20.0, 0.0, 0.0)
    assert outside.mean() * MJ_PER_W_DAY == pytest.approx(32.2, rel=0.015)


def test_sun_from_the_temperature_range_is_that_of_fao_56() -> None:
    """From memory: FAO Paper 56, example 15: Lyon in July, 26.6 and 14.8 °C: 22.3 MJ/m² a day."""
    stamps = hours("2015-07-15")
    t_out = 20.7 + 5.9 * np.cos(2.0 * np.pi * (np.arange(24) - 14.0) / 24.0)
    assert (t_out.max(), t_out.min()) == (pytest.approx(26.6), pytest.approx(14.8))
    made = estimate_sun.from_range(t_out, stamps, (45.72, 4.9, 0.3), 200.0)
    assert made.mean() * MJ_PER_W_DAY == pytest.approx(22.3, rel=0.02)


def test_sun_from_cloud_is_the_published_formula() -> None:
    """Kasten and Czeplak 1980: 910 sin γ - 30, of which full cloud leaves a quarter."""
    stamps = hours("2015-06-21")
    place = (46.9, -96.8, -6.0)
    sine = np.cos(np.radians(zenith_deg(stamps, *place)))
    clear = estimate_sun.from_cloud(np.zeros(24), stamps, place)
    high = sine > 0.1
    assert clear[high] == pytest.approx(910.0 * sine[high] - 30.0, abs=3.0)
    assert estimate_sun.from_cloud(np.ones(24), stamps, place) == pytest.approx(clear / 4.0)
    assert clear[sine < 0.0].max() == 0.0


@pytest.mark.parametrize("latitude", [-70.0, -35.0, 0.0, 47.0, 64.0, 80.0])
def test_spreading_keeps_each_days_sum_and_the_night(latitude: float) -> None:
    stamps = hours("2015-01-01", 365)
    outside, sine = day.outside_sun_W(stamps, latitude, 10.0, 1.0)
    daily = 0.5 * outside.reshape(-1, 24).mean(axis=1)
    made = day.spread_over_day(daily, stamps, latitude, 10.0, 1.0)
    assert made.reshape(-1, 24).mean(axis=1) == pytest.approx(daily, abs=1e-9)
    assert made.min() >= 0.0
    assert made[sine < 0.0].max(initial=0.0) == 0.0


def test_height_of_the_sun_is_that_of_the_exact_position() -> None:
    stamps = hours("2015-01-01", 365)
    sine, _ = day.height_sine(stamps, 46.9, -96.8, -6.0)
    exact = np.cos(np.radians(zenith_deg(stamps, 46.9, -96.8, -6.0)))
    assert np.abs(sine - exact).max() < 0.012  # the declination is that of the whole day


def test_sunrise_of_an_equinox_is_six_by_the_sun() -> None:
    dates = np.array(["2015-03-20", "2015-12-21"], dtype="datetime64[D]")
    rise = day.sunrise_h(dates, 46.9, -90.0, -6.0)
    assert rise[0] == pytest.approx(6.0, abs=0.25)  # the equation of time is 7 minutes
    assert rise[1] == pytest.approx(7.75, abs=0.15)  # NOAA's solar calculator, from memory


def test_the_wave_passes_through_lowest_and_highest() -> None:
    dates = np.arange(np.datetime64("2015-01-01"), np.datetime64("2015-02-01"))
    rng = np.random.default_rng(5)
    low = -10.0 + 5.0 * rng.standard_normal(31)
    high = low + rng.uniform(3.0, 12.0, 31)
    made = temperature_wave(low, high, dates, (46.9, -96.8, -6.0)).reshape(31, 24)
    most = np.max([high, np.roll(high, 1), np.roll(low, -1)], axis=0)
    least = np.min([low, np.roll(low, -1), np.roll(high, 1)], axis=0)
    assert (made.max(axis=1) <= most + 1e-9)[1:-1].all()
    assert (made.min(axis=1) >= least - 1e-9)[1:-1].all()
    inner = made[1:-1, 9:14]
    assert (np.diff(inner, axis=1) > 0.0).all()  # it warms from sunrise to early afternoon
    assert np.abs(made[:, 13:16].max(axis=1) - high).max() < 0.4


@pytest.mark.parametrize("file", WHEEL_YEARS, ids=lambda path: path.name)
def test_the_errors_told_are_those_found(file: Path) -> None:
    """Real typical years out of pvlib's wheel lie within the spans that the warnings state."""
    found = misses(read_weather(file))

    def within(key: str, value: float) -> bool:
        row = read_keyed("weather_estimates")[key]
        return float(row.low) - 0.6 <= value <= float(row.high) + 0.6

    assert within("range_day_error", found.range_day_W)
    assert within("range_winter_error", 100.0 * abs(found.range_winter))
    assert within("cloud_hour_error", found.cloud_hour_W)
    assert within("cloud_winter_shortfall", -100.0 * found.cloud_winter)
    assert within("daily_hour_error", found.wave_K)
    assert abs(found.wave_mean_K) < 0.6


def test_the_error_told_by_a_warm_sea_is_that_of_measured_sun() -> None:
    """Miami's typical year in pvlib's wheel says of each hour whether its sun was measured."""
    found = sea_misses()
    table = read_keyed("weather_estimates")
    assert found.days > 50
    assert found.range_day_W == pytest.approx(table["range_sea_day_error"].number, abs=1.0)
    assert -100.0 * found.range_sum == pytest.approx(table["range_sea_shortfall"].number, abs=0.5)


def test_the_better_of_two_methods_is_used() -> None:
    """Hargreaves and Samani's days lie nearer than Bristow and Campbell's in all three years."""
    for file in WHEEL_YEARS:
        found = misses(read_weather(file))
        assert found.range_day_W < found.other_day_W - 2.0
    sea = sea_misses()
    assert sea.range_day_W < sea.other_day_W


def test_a_plain_file_may_ask_for_its_sun(write_csv: Write) -> None:
    rows = [f"2026-01-{5 + h // 24:02d} {h % 24:02d}:00,{-5 + h % 12},0.5" for h in range(72)]
    headings = ("time", "t_air [degC]", "cloud [0-1]")
    place = {"latitude": "46.9", "longitude": "-96.8", "elevation": "270", "utc_offset": "-6"}
    for way in ("temperature range", "cloud"):
        record = read_weather(write_csv(rows, headings, {**place, "sun": way}))
        assert record.ghi_W[12] > 50.0
        assert record.ghi_W[0] == 0.0
        assert any(note.startswith("WARNING: no sun") and way.split()[-1] in note
                   for note in record.notes)  # fmt: skip
    with pytest.raises(WeatherError, match="write temperature range or cloud"):
        read_weather(write_csv(rows, headings, {**place, "sun": "moonlight"}))
    with pytest.raises(WeatherError, match=r"no column ghi"):
        read_weather(write_csv(rows, headings, place))
