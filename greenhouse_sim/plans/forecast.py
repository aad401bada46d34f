"""A forecast laid into a winter: what came before it is that winter's."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace
from datetime import datetime, timedelta
from typing import Any

import numpy as np

from greenhouse_sim.errors import WeatherError
from greenhouse_sim.weather import Weather

HOUR = timedelta(hours=1)


def middle_winter(records: Sequence[Weather]) -> Weather:
    """The winter that is neither mild nor hard, by its mean outdoor temperature."""
    order = sorted(records, key=lambda one: float(one.t_out_C.mean()))
    return order[len(order) // 2]


def with_forecast(winter: Weather, forecast: Weather, span: tuple[datetime, datetime]) -> Weather:
    """The winter with the forecast in place of its own weather on the same days.

    Parameters
    ----------
    winter
        A whole season; the greenhouse comes into the forecast as it comes through this.
    forecast
        A few days of weather, hour by hour.
    span
        The trip, which the forecast must cover.

    Raises
    ------
    WeatherError
        The forecast does not cover the trip, or holds a gap there, or lies outside the season.
    """
    stop = forecast.start + forecast.hours * HOUR
    first, last = span
    if first < forecast.start or last > stop:
        raise WeatherError(
            f"forecast {forecast.name}: covers {forecast.start:%Y-%m-%d %H:%M} to "
            f"{stop:%Y-%m-%d %H:%M}, not the trip from {first:%Y-%m-%d %H:%M} to "
            f"{last:%Y-%m-%d %H:%M}; name a file that does, or leave --forecast out to judge by "
            "past winters"
        )
    if forecast.gaps:
        raise WeatherError(
            f"forecast {forecast.name}: has hours without values from "
            f"{forecast.times()[forecast.gaps[0].first]} on; fill them"
        )
    place = place_in(winter, forecast.start)
    begin, end = max(0, place), min(winter.hours, place + forecast.hours)
    if end <= begin:
        raise WeatherError(
            f"forecast {forecast.name}: its days are not in the season of {winter.name}; "
            "widen [site] season"
        )
    ours, theirs = winter.columns(), forecast.columns()
    laid: dict[str, Any] = {}
    for key, values in ours.items():
        changed = np.array(values)
        changed[begin:end] = theirs[key][begin - place : end - place]
        laid[key] = changed
    return replace(winter, name=f"forecast {forecast.name}", **laid)


def place_in(winter: Weather, moment: datetime) -> int:
    """Hour of the winter that has this month, day and hour; below 0 for one before it."""
    for year in (winter.start.year, winter.start.year + 1):
        try:
            moved = moment.replace(year=year)
        except ValueError:
            moved = moment.replace(year=year, day=28)
        hours = int((moved - winter.start) / HOUR)
        if -24 * 60 < hours < winter.hours:
            return hours
    return winter.hours
