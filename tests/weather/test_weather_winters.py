"""Cutting winters: New Year, leap days, several years, the southern half, whole years."""

from __future__ import annotations

from dataclasses import replace
from datetime import date, datetime, timedelta

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from greenhouse_sim.errors import WeatherError
from greenhouse_sim.weather import Weather, find_weather, read_weather, winters
from greenhouse_sim.weather.weather import Gap

HOUR = timedelta(hours=1)


def record(first: datetime, stop: datetime, leap_day: bool = True) -> Weather:
    """A record that carries its own month, day and hour in its arrays, to find them again."""
    hours = (stop - first) // HOUR
    times = np.datetime64(first, "s") + np.arange(hours) * np.timedelta64(3600, "s")
    month = times.astype("datetime64[M]").astype(int) % 12 + 1
    day = (times.astype("datetime64[D]") - times.astype("datetime64[M]")).astype(int) + 1
    clock = (times - times.astype("datetime64[D]")).astype(int) // 3600
    unknown = np.full(hours, np.nan)
    return Weather(
        name="years", site="Rowan Hollow", start=first, utc_offset_h=-6.0, latitude=47.0,
        longitude=-97.0, elevation_m=300.0, t_out_C=month * 1.0, t_dew_C=np.full(hours, -20.0),
        pressure_Pa=np.full(hours, 98000.0), wind_m_s=day * 1.0, ghi_W=clock * 1.0,
        dni_W=np.zeros(hours), dhi_W=np.zeros(hours), cloud=unknown, ir_down_W=unknown,
        snow_m=unknown,
    )  # fmt: skip


def stamps_match(winter: Weather) -> bool:
    """True where every hour carries the month, day and hour of its stamp."""
    times = winter.times()
    month = times.astype("datetime64[M]").astype(int) % 12 + 1
    day = (times.astype("datetime64[D]") - times.astype("datetime64[M]")).astype(int) + 1
    clock = (times - times.astype("datetime64[D]")).astype(int) // 3600
    return bool(
        (winter.t_out_C == month).all()
        and (winter.wind_m_s == day).all()
        and (winter.ghi_W == clock).all()
    )


def test_a_calendar_year_wraps() -> None:
    (winter,) = winters(record(datetime(2018, 1, 1), datetime(2019, 1, 1)))
    assert winter.hours == 5088
    assert winter.start == datetime(2018, 10, 1)
    assert str(winter.times()[-1]) == "2019-04-30T23:00:00"
    assert winter.name == "years"
    assert "wrapped" in winter.notes[-1]
    assert stamps_match(winter)


@pytest.mark.parametrize(
    ("year", "start", "hours"),
    [
        (2020, datetime(2019, 10, 1), 5112),  # has a leap day, kept: the spring must be a leap one
        (2019, datetime(2018, 10, 1), 5088),  # has none: the spring must not be a leap one
        (2018, datetime(2018, 10, 1), 5088),
    ],
)
def test_a_wrapped_year_keeps_or_lacks_its_leap_day(year: int, start: datetime, hours: int) -> None:
    (winter,) = winters(record(datetime(year, 1, 1), datetime(year + 1, 1, 1)))
    assert (winter.start, winter.hours) == (start, hours)
    assert stamps_match(winter)


def test_consecutive_years_give_a_winter_each() -> None:
    found = winters(record(datetime(2018, 1, 1), datetime(2022, 1, 1)))
    assert [w.name for w in found] == ["2018-19", "2019-20", "2020-21"]
    assert [w.hours for w in found] == [5088, 5112, 5088]
    assert all(stamps_match(w) for w in found)
    assert not any("wrapped" in note for w in found for note in w.notes)


def test_a_winter_with_a_gap_is_left_out_and_told() -> None:
    whole = record(datetime(2018, 1, 1), datetime(2022, 1, 1))
    at = (datetime(2019, 12, 24) - whole.start) // HOUR
    summer = (datetime(2020, 7, 1) - whole.start) // HOUR
    holed = replace(whole, gaps=(Gap(at, at + 9, "t_air"), Gap(summer, summer + 900, "rows")))
    found = winters(holed)
    assert [w.name for w in found] == ["2018-19", "2020-21"]
    assert all("winter 2019-20 left out" in w.notes[-1] and "(9 h)" in w.notes[-1] for w in found)
    assert all(w.gaps == () for w in found)
    (alone,) = winters(replace(whole, gaps=(Gap(0, at, "t_air"),)))
    assert alone.name == "2020-21"
    with pytest.raises(WeatherError, match=r"no rows from 2018-01-01.*2019-20"):
        winters(replace(whole, gaps=(Gap(0, whole.hours, "rows"),)))


def test_a_gap_in_summer_does_not_hinder_a_wrapped_year() -> None:
    year = record(datetime(2018, 1, 1), datetime(2019, 1, 1))
    july = (datetime(2018, 7, 1) - year.start) // HOUR
    (winter,) = winters(replace(year, gaps=(Gap(july, july + 500, "rows"),)))
    assert winter.hours == 5088
    with pytest.raises(WeatherError, match="gaps of up to 3 hours"):
        winters(replace(year, gaps=(Gap(100, 104, "rows"),)))


def test_the_turn_of_the_century_has_two_digits() -> None:
    found = winters(record(datetime(1998, 7, 1), datetime(2000, 7, 1)))
    assert [w.name for w in found] == ["1998-99", "1999-00"]


def test_one_winter_is_just_cut() -> None:
    (winter,) = winters(record(datetime(2025, 9, 16), datetime(2026, 5, 16)))
    assert (winter.name, winter.start, winter.hours) == ("years", datetime(2025, 10, 1), 5088)
    assert winter.notes == ()
    assert stamps_match(winter)


def test_southern_seasons_lie_within_a_year_or_cross_it() -> None:
    two = record(datetime(2018, 1, 1), datetime(2020, 1, 1))
    within = winters(two, (4, 1), (10, 31))
    assert [w.name for w in within] == ["2018", "2019"]
    assert [w.hours for w in within] == [214 * 24] * 2
    (across,) = winters(two, (10, 1), (4, 30))
    assert across.hours == 5088


def test_a_whole_year() -> None:
    one = record(datetime(2018, 1, 1), datetime(2019, 1, 1))
    (year,) = winters(one, (1, 1), (12, 31))
    assert (year.hours, year.start) == (8760, datetime(2018, 1, 1))
    (turned,) = winters(one, (7, 1), (6, 30))
    assert (turned.hours, turned.start) == (8760, datetime(2018, 7, 1))
    assert stamps_match(turned)


def test_a_year_from_july_wraps_to_a_summer_season() -> None:
    turned = record(datetime(2017, 7, 1), datetime(2018, 7, 1))
    (summer,) = winters(turned, (5, 1), (9, 30))
    assert summer.hours == 153 * 24
    assert stamps_match(summer)


def test_a_year_that_begins_an_evening_early_wraps() -> None:
    (winter,) = winters(record(datetime(2017, 12, 31, 18), datetime(2018, 12, 31, 18)))
    assert winter.hours == 5088
    assert stamps_match(winter)


@pytest.mark.parametrize(
    ("first", "stop"),
    [
        (datetime(2018, 1, 1), datetime(2018, 7, 1)),
        (datetime(2018, 10, 2), datetime(2019, 5, 1)),
        (datetime(2018, 10, 1), datetime(2019, 4, 30, 23)),
        (datetime(2018, 1, 1), datetime(2018, 12, 31)),
    ],
)
def test_partial_cover_is_refused_with_what_is_covered(first: datetime, stop: datetime) -> None:
    with pytest.raises(
        WeatherError,
        match=f"covers {first:%Y-%m-%d %H:%M} to {stop:%Y-%m-%d}.*1 October to 30 April",
    ):
        winters(record(first, stop))


@pytest.mark.parametrize("day", [(13, 1), (2, 30), (0, 1), (4, 31), (4, 0)])
def test_a_day_that_no_calendar_has(day: tuple[int, int]) -> None:
    with pytest.raises(WeatherError, match="month and day"):
        winters(record(datetime(2018, 1, 1), datetime(2019, 1, 1)), day, (4, 30))


def test_a_season_may_end_on_29_february() -> None:
    found = winters(record(datetime(2018, 1, 1), datetime(2021, 1, 1)), (12, 1), (2, 29))
    assert [w.hours for w in found] == [90 * 24, 91 * 24]


@settings(max_examples=80, deadline=None)
@given(
    first=st.datetimes(datetime(1995, 1, 1), datetime(2023, 1, 1)),
    days=st.integers(1, 900),
    start=st.dates(),
    end=st.dates(),
)
def test_any_season_of_any_record_matches_its_stamps(
    first: datetime, days: int, start: date, end: date
) -> None:
    first = first.replace(minute=0, second=0, microsecond=0)
    whole = record(first, first + timedelta(days=days))
    try:
        found = winters(whole, (start.month, start.day), (end.month, end.day))
    except WeatherError as problem:
        assert "covers" in str(problem)
        return
    for winter in found:
        assert stamps_match(winter)
        assert winter.hours % 24 == 0
        assert winter.start.hour == 0


def test_the_epw_sample_wraps_to_the_same_winter_as_the_csv() -> None:
    (epw,) = winters(read_weather(find_weather("tamarack_flats_typical.epw", ".")))
    (csv,) = winters(read_weather(find_weather("tamarack_flats_typical.csv", ".")))
    assert epw.start == csv.start
    for key in ("t_out_C", "t_dew_C", "wind_m_s", "ghi_W", "dni_W", "dhi_W", "pressure_Pa"):
        assert (getattr(epw, key) == getattr(csv, key)).all(), key
    assert np.abs(epw.cloud - csv.cloud).max() <= 0.0501  # EPW has tenths
