"""Departures, calendars of an empty house, chances, trips and forecasts, on small cases."""

from __future__ import annotations

from dataclasses import replace
from datetime import date, datetime, timedelta

import numpy as np
import pytest

import greenhouse_sim as gs
from greenhouse_sim.plans.absence import Left
from greenhouse_sim.plans.absence_sums import chances, longest_days, middle, safe_hours
from greenhouse_sim.plans.absence_terms import check_heater, tank_j, terms
from greenhouse_sim.plans.departures import (
    evenings,
    last_chances,
    leaving,
    nobody,
    until_return,
    visited,
)
from greenhouse_sim.plans.forecast import with_forecast
from greenhouse_sim.plans.foreseen import foreseen, prepared, tasks_of
from greenhouse_sim.plans.trip import judge, read_span, trip_hours
from greenhouse_sim.routine.calendar import calendar
from greenhouse_sim.season.run import read_winters
from winters_at_hand import demo, winter

MONDAY = datetime(2026, 11, 2)


def days_of(hours: int = 96, **routine: object) -> object:
    """A calendar from a Monday on."""
    changes = {f"routine__{key}": value for key, value in routine.items()}
    return calendar(demo(**changes).routine, (), MONDAY, hours)


def test_one_leaves_at_the_last_look_in_before_bed() -> None:
    """In bed from 22:00: the hour from 21:00 is the last; with chores, the last chore."""
    assert list(last_chances(days_of())) == [21, 45, 69, 93]
    assert list(last_chances(days_of(chores=["07:00", "17:00"]))) == [17, 41, 65, 89]


def test_nobody_leaves_who_is_away_already() -> None:
    days = days_of(away=[["2026-11-03 05:00", "2026-11-04 12:00"]])
    assert list(last_chances(days)) == [21, 69, 93]


def test_bed_after_midnight_belongs_to_the_evening_before() -> None:
    found = winter(demo(routine__bed="01:00", site__season={"start": "11-02", "end": "11-06"}))
    when = evenings([found])
    start = found.weather.start + timedelta(hours=int(when.starts[0][-1]))
    assert (start - timedelta(hours=12)).date() == when.days[-1]
    assert start.hour == 0


def test_what_is_loaded_must_last_to_the_return() -> None:
    """From 21:00 for a day: to 21:00; for ten hours: 07:00; past the end: a day after it."""
    days = days_of()
    starts = np.array([21, 93])
    assert list(until_return(days, starts, 24)) == [24.0, 95 + 24 - 93]
    assert list(until_return(days, np.array([21]), 6)) == [9.0]
    assert list(leaving(days, starts, np.array([24.0, 26.0])).gap_h[starts]) == [24.0, 26.0]


def test_an_empty_house_and_one_visit_a_day() -> None:
    days = days_of()
    assert not nobody(days).chance.any()
    assert nobody(days).away.all()
    helped = visited(days, np.arange(96) % 24.0, 17.0)
    assert list(np.flatnonzero(helped.chance)) == [17, 41, 65, 89]
    assert helped.gap_h[17] == 24.0
    assert helped.gap_h[21] == 20.0


def hours_left(hurt: list[list[float]], run: list[list[float]]) -> Left:
    """Answers of which only the harm is looked at."""
    none = np.full(np.shape(hurt), np.nan)
    return Left(none, np.array(hurt), none, none, none, np.array(run), none, none, none,
                none[..., None], none[..., None])  # fmt: skip


def test_chances_by_length_and_the_longest_absence() -> None:
    """Two winters: hurt after 30 and 80 h on the first evening, never on the second (cut off)."""
    left = hours_left([[30.0, np.inf], [80.0, np.inf]], [[31.0, 50.0], [81.0, 50.0]])
    shares = chances(left, 4)
    assert list(shares[:, 0]) == [1.0, 0.5, 0.5, 0.0]
    assert list(shares[:2, 1]) == [1.0, 1.0]
    assert np.isnan(shares[2:, 1]).all()
    assert list(safe_hours(left)[0]) == [30.0, 50.0]
    assert list(longest_days(left, 1.0)) == [1.0, 2.0]
    assert middle(left.hurt_h[:, 0]) == 55.0
    assert np.isinf(middle(left.hurt_h))


def test_the_alarm_lies_between_harm_and_setpoint() -> None:
    scenario = demo()
    how = terms(scenario)
    assert how.alarms[how.alarm] == pytest.approx(scenario.routine.gets_up_below)
    assert list(how.alarms) == sorted(how.alarms, reverse=True)
    never = terms(demo(routine__gets_up_below="never"))
    assert never.alarms[1] == pytest.approx(scenario.crop.damage_below + 3.0)
    for wrong in (scenario.crop.damage_below, 30.0):
        with pytest.raises(gs.ScenarioError, match="--alarm"):
            terms(scenario, alarm=wrong)
    with pytest.raises(gs.ScenarioError, match="--high-alarm"):
        terms(scenario, high=5.0)


def test_a_tank_of_propane_in_joules() -> None:
    """100 gallons at 91,502 Btu (gross), to 1 %: US Energy Information Administration."""
    assert tank_j(demo(), "100 gal") == pytest.approx(100 * 91502 * 1055.056, rel=0.01)
    with pytest.raises(gs.ScenarioError, match="has no tank"):
        tank_j(demo(backup={"kind": "electric heater"}), "100 gal")


def test_ideal_is_refused() -> None:
    with pytest.raises(gs.ScenarioError, match="ideal gives as much"):
        check_heater(demo(heater="ideal"))


@pytest.mark.parametrize(
    ("first", "last", "said"),
    [
        ("2027-01-10 17:00", None, "belong together"),
        ("2027-01-12", "2027-01-10", "not after it starts"),
        ("soon", "2027-01-10", "not a local date"),
    ],
)
def test_bad_trips_are_refused(first: str, last: str | None, said: str) -> None:
    with pytest.raises(gs.ScenarioError, match=said):
        read_span(first, last)


def test_a_trip_outside_the_season_is_refused() -> None:
    scenario = demo(site__season={"start": "12-20", "end": "01-20"})
    found = winter(scenario)
    span = (datetime(2030, 1, 10, 17), datetime(2030, 1, 12, 18))
    first, last = trip_hours(scenario, found, span)
    assert last - first == 49
    begun = found.weather.start + timedelta(hours=first)
    assert (begun.month, begun.day, begun.hour) == (1, 10, 17)
    for wrong in (
        (datetime(2030, 6, 10), datetime(2030, 6, 12)),
        (datetime(2030, 1, 18), datetime(2030, 1, 25)),
    ):
        with pytest.raises(gs.ScenarioError, match="not inside the season"):
            trip_hours(scenario, found, wrong)


def test_a_forecast_takes_the_place_of_the_winter() -> None:
    """Three days of −25 °C in the forecast: the trip meets just those."""
    scenario = demo(heater="wood stove, large", site__season={"start": "12-20", "end": "01-20"})
    record = read_winters(scenario, ["tamarack_flats_mild.csv"])[0]
    place = 24 * 20
    columns = {name: values[place : place + 96] for name, values in record.columns().items()}
    columns["t_out_C"] = np.full(96, -25.0)
    columns["t_dew_C"] = np.full(96, -28.0)
    start = datetime(2027, 1, 9)
    forecast = replace(record, name="coming", start=start, **columns)
    span = (datetime(2027, 1, 10, 17), datetime(2027, 1, 12, 18))
    laid = with_forecast(record, forecast, span)
    assert laid.t_out_C[place] == -25.0
    assert laid.t_out_C[place - 1] == record.t_out_C[place - 1]
    (coming,) = foreseen(scenario, prepared(scenario, [laid]))
    tasks = tasks_of(scenario, [coming], "wood stove, large")
    found = judge(scenario, [coming], tasks, span, forecast="coming")
    assert found.outcomes[0].lowest_out == -25.0
    assert np.isfinite(found.outcomes[0].hurt_h)
    assert [night.evening for night in found.nights] == [
        date(coming.weather.start.year + 1, 1, 10),
        date(coming.weather.start.year + 1, 1, 11),
    ]
    with pytest.raises(gs.WeatherError, match="not the trip"):
        with_forecast(record, forecast, (span[0], datetime(2027, 1, 20)))
