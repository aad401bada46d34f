"""What does not change while a log is fitted: the greenhouse and the weather of its hours."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import replace
from datetime import timedelta
from typing import TYPE_CHECKING, Any, NamedTuple

import numpy as np

from greenhouse_sim.drive.cache import prepare
from greenhouse_sim.errors import WeatherError
from greenhouse_sim.greenhouse.ground import Ground, site_ground
from greenhouse_sim.greenhouse.numbers import Drive, House
from greenhouse_sim.greenhouse.undisturbed import day_of_year
from greenhouse_sim.greenhouse.vapour_numbers import Moisture
from greenhouse_sim.greenhouse.warm_up import warmed
from greenhouse_sim.heater.heater import heater_numbers
from greenhouse_sim.heater.numbers import Heater
from greenhouse_sim.plans.fit_fire import Tended, tended
from greenhouse_sim.plans.fit_thermostat import NO_HEAT_C, Hold
from greenhouse_sim.plans.logger import Log, fit_number
from greenhouse_sim.routine.calendar import NEVER_C
from greenhouse_sim.routine.numbers import Calendar, Habits
from greenhouse_sim.season.many import engine_for, engine_name, vapour_function
from greenhouse_sim.season.run import scenario_fuel
from greenhouse_sim.weather import Weather

if TYPE_CHECKING:
    from greenhouse_sim.scenario import Scenario

Array = np.ndarray
HOUR = timedelta(hours=1)
BEFORE_D, AFTER_D = 250, 250
"""Days of the record that are kept before and after the log: the ground asks for its year."""
EVALUATIONS = 150
"""Runs of a fit, about: which engine ends sooner."""


class Model(NamedTuple):
    """Everything that does not change while a log is fitted."""

    scenario: Scenario
    """Without factors."""
    house: House
    """Its slow parts as at the log's first hour."""
    drive: Drive
    """Of the log's hours."""
    weather: Weather
    """Of the log's hours."""
    moisture: Moisture
    ground: Ground
    log: Log
    """Cut to the hours for which there is weather."""
    air_C: Array
    """Its air, with straight lines over what is not known."""
    heater: Heater
    fires: tuple[Tended, ...]
    """Its loads, and the air between them."""
    calendar: Calendar
    habits: Habits
    """Of the grower; a log's own loads are all there are, so with nobody about."""
    walk_hours: Callable
    walk_vapour: Callable
    hold: Hold | None = None
    """The thermostat of `fit_thermostat`; None where noted heat is sent to the air."""


def around(record: Weather, log: Log) -> Weather:
    """The part of a record that a log's ground and hours need.

    Raises
    ------
    WeatherError
        The record does not hold enough of the log's hours.
    """
    own = (log.start - record.start) // HOUR
    # by whole days, so that a clock moved by some hours asks for the same hours of the record
    first = max((own // 24 - BEFORE_D) * 24, 0)
    stop = min(((own + log.hours) // 24 + AFTER_D) * 24, record.hours)
    least = int(fit_number("least_days") * 24)
    if min(own + log.hours, record.hours) - max(own, 0) < least:
        raise WeatherError(
            f"weather {record.name}: holds less than {least // 24} days of the log {log.name}, "
            f"which starts on {log.start:%Y-%m-%d} and has {log.hours / 24:.0f} days; name the "
            "weather of that time with --weather"
        )
    return cut(record, first, stop)


def cut(record: Weather, first: int, stop: int) -> Weather:
    """Hours of a record.

    Raises
    ------
    WeatherError
        A gap lies in them.
    """
    for gap in record.gaps:
        if gap.first < stop and gap.stop > first:
            raise WeatherError(
                f"weather {record.name}: {gap.what} is missing from {record.times()[gap.first]} on "
                "for longer than is filled; name another record of that time"
            )
    parts: dict[str, Any] = {k: values[first:stop] for k, values in record.columns().items()}
    return replace(record, start=record.start + first * HOUR, gaps=(), **parts)


def build(scenario: Scenario, record: Weather, log: Log, engine: str = "auto") -> Model:
    """Prepare a greenhouse for the hours of a log.

    Parameters
    ----------
    scenario
        The farm; factors of an earlier fit are left out.
    record
        Weather of that time, and of as much of the year around it as there is.
    log
        See `greenhouse_sim.plans.logger`.
    engine
        As in `greenhouse_sim.season.many.run_many`.
    """
    plain = scenario.with_(**{"greenhouse.fitted": None})
    wide = around(record, log)
    house, drive, moisture = prepare(plain, wide)
    first = (log.start - wide.start) // HOUR
    begin, stop = max(first, 0), min(first + log.hours, wide.hours)
    log = _cut_log(log, begin - first, stop - first)
    drive = _cut_drive(drive, begin, stop, log.outdoor_C)
    moisture = moisture._replace(outdoor=moisture.outdoor[begin:stop])
    weather = cut(wide, begin, stop)
    ground = site_ground(plain, wide)
    known = log.indoor_C[~np.isnan(log.indoor_C)]
    day = float(day_of_year(weather)[0])
    heater = _heater(plain, house, log)
    chosen = engine_name(engine, EVALUATIONS)
    return Model(
        plain,
        warmed(house, ground, day, float(known[: 10 * 24].mean())),
        drive,
        weather,
        moisture,
        ground,
        log,
        bridged(log.indoor_C),
        heater,
        tended(log.loads, heater, weather.hours),
        _nobody(weather.hours),
        Habits(NEVER_C, 4.0, 1.0, 2.0, 5.0),
        engine_for(chosen),
        vapour_function(chosen),
    )


def _cut_log(log: Log, first: int, stop: int) -> Log:
    def part(values: Array | None) -> Array | None:
        return None if values is None else values[first:stop]

    loads = tuple(
        load._replace(hour=load.hour - first) for load in log.loads if first <= load.hour < stop
    )
    return log._replace(
        start=log.start + first * HOUR,
        indoor_C=log.indoor_C[first:stop],
        outdoor_C=part(log.outdoor_C),
        heat_W=part(log.heat_W),
        loads=loads,
        at_hour_C=part(log.at_hour_C),
    )


def _cut_drive(drive: Drive, first: int, stop: int, outdoor_C: Array | None) -> Drive:
    parts = {
        name: np.ascontiguousarray(values[first : stop + (name == "need_sum_j")])
        for name, values in drive._asdict().items()
    }
    if outdoor_C is not None:
        parts["t_out"] = np.where(np.isnan(outdoor_C), parts["t_out"], outdoor_C)
    parts["setpoint"] = np.full(stop - first, NO_HEAT_C)
    return Drive(**parts)


def _heater(scenario: Scenario, house: House, log: Log) -> Heater:
    """The scenario's heater where loads are noted; otherwise one that falls where its heat does."""
    own = scenario.heater
    heater = heater_numbers(own.kind, own.count, own.overrides, scenario_fuel(scenario))
    laid = heater.floor_share if np.any(house.node_heat > 0.0) else 0.0
    if not log.loads:
        heater = heater_numbers("ideal")
    return heater._replace(floor_share=laid)


def _nobody(hours: int) -> Calendar:
    none, one = np.zeros(hours), np.ones(hours)
    return Calendar(none, none, none, one, -one, one, none)


def bridged(values: Array) -> Array:
    """Values with straight lines over what is not known."""
    known = ~np.isnan(values)
    places = np.arange(len(values))
    return np.interp(places, places[known], values[known])
