"""Odd plans that must still come out right."""

from __future__ import annotations

from collections.abc import Callable
from typing import Any

import pytest

import greenhouse_sim as gs

Play = Callable[..., gs.Season]


@pytest.mark.parametrize("heater", ["gasification boiler", "outdoor boiler"])
def test_nothing_needed_and_nothing_burnt(
    farm: gs.Scenario, play: Play, steady: Callable[..., gs.Weather], heater: str
) -> None:
    """A warm tank cools down in a mild spell without sun: its books close as well."""
    mild = farm.with_(**{"crop.setpoint": "0 degC"})
    ledger = play(mild, heater, steady(12.0, days=10)).ledger
    assert ledger["fuel_kg"] == 0.0
    assert ledger["balance_error"] < 1e-6


def test_season_of_a_year_from_the_middle_of_a_month(demo: gs.Scenario) -> None:
    """October is in it twice, at both ends; its fuel must not be."""
    season = {"start": "10-15", "end": "10-14"}
    year = demo.with_(**{"site.season": season, "site.weather": ["tamarack_flats_typical.epw"]})
    ledger = gs.simulate(year, engine="compiled").ledger
    assert sum(ledger["fuel_by_month"].values()) == pytest.approx(ledger["fuel_kg"])


def test_nobody_stays_by_the_fire(farm: gs.Scenario, play: Play) -> None:
    """Not staying by a fire that must be watched is no reason not to feed a stove."""
    ledger = play(farm.with_(**{"routine.stays_by": "0 h"}), "wood stove, large").ledger
    assert ledger["loads"] > 0


def test_home_from_a_trip_with_fresh_patience(farm: gs.Scenario, play: Play) -> None:
    """Hours spent by the fire before a trip do not count on the day of coming home."""
    trip = {"routine.away": [["2026-01-10 20:00", "2026-01-12 12:00"]]}
    trace = play(farm.with_(**trip), "rocket mass heater, large").trace
    assert trace.visit.loc["2026-01-12 12:00":"2026-01-12 21:00"].sum() > 0


def test_trip_that_began_before_the_season(farm: gs.Scenario, play: Play) -> None:
    trip = {"routine.away": [["2026-01-04 12:00", "2026-01-08 12:00"]]}
    trace = play(farm.with_(**trip), "wood stove, large").trace
    assert trace.visit.loc[:"2026-01-08 11:00"].sum() == 0


@pytest.mark.parametrize("heater", ["pellet furnace"])
def test_thermostat_holds_a_small_house(farm: gs.Scenario, play: Play, heater: str) -> None:
    """A furnace whose lowest rate is more than is needed goes on and off, and holds the mean."""
    ledger = play(farm, heater).ledger
    assert ledger["hours_below_setpoint"] < 0.1 * ledger["hours"]
    assert ledger["heat_delivered_kWh"] > 0.97 * ledger["heat_need_kWh"]


def test_outdoor_boiler_keeps_two_loads_a_day(
    farm: gs.Scenario, play: Play, sized: Callable[..., Any]
) -> None:
    """Fed at seven and at seven it carries a moderate load (common practice, no source).

    The firebox holds more than the half day's wood; the grower knows what it eats when idle.
    """
    twice = {"routine.chores": ["07:00", "19:00"], "routine.gets_up_below": "never"}
    season = play(farm.with_(**twice), "outdoor boiler")
    assert (season.trace.cause.iloc[48:] == "fire out").sum() <= 5
