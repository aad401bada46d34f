"""Answers of a forecast service, in the format that its documentation describes; all made up.

The format is MET Norway's "General point forecast JSON format": instants in universal time, hourly
at first and six hours apart later, each with periods that follow it, and units told beside.
"""

from __future__ import annotations

from datetime import datetime, timedelta
from typing import Any

import numpy as np

import made_up_service

NOW = datetime(2027, 1, 13, 0, 20)
"""The made-up present, universal time: 18:20 on the 12th where the clock is six hours behind."""
UPDATED = datetime(2027, 1, 12, 22, 10)
HOURLY, LATER = 60, 20
UNITS = {
    "air_pressure_at_sea_level": "hPa", "air_temperature": "celsius", "cloud_area_fraction": "%",
    "precipitation_amount": "mm", "relative_humidity": "%", "wind_from_direction": "degrees",
    "wind_speed": "m/s",
}  # fmt: skip


def temperature(stamps: np.ndarray) -> np.ndarray:
    """A cold night that is coldest at 12 o'clock universal time, °C."""
    clock = (stamps - stamps.astype("datetime64[D]")) / np.timedelta64(1, "h")
    return np.round(-12.0 - 8.0 * np.cos(2.0 * np.pi * (clock - 12.0) / 24.0), 1)


def stamps_from(first: datetime, hourly: int, later: int) -> np.ndarray:
    """Hours, and then every sixth."""
    start = np.datetime64(first.replace(minute=0, second=0), "h")
    hours = np.arange(hourly)
    return start + np.concatenate([hours, hourly + 5 + 6 * np.arange(later)])


def document(
    updated: datetime, stamps: np.ndarray, query: dict[str, str], units: dict[str, str]
) -> dict[str, Any]:
    """The whole answer."""
    steps = []
    for stamp, t_air in zip(stamps, temperature(stamps), strict=True):
        instant = {
            "air_pressure_at_sea_level": 1021.4, "air_temperature": float(t_air),
            "cloud_area_fraction": 25.0, "relative_humidity": 80.0, "wind_from_direction": 300.0,
            "wind_speed": 3.2,
        }  # fmt: skip
        after = {"summary": {"symbol_code": "fair_night"}, "details": {"precipitation_amount": 0.0}}
        data = {"instant": {"details": instant}, "next_1_hours": after, "next_6_hours": after}
        steps.append({"time": f"{stamp.astype('datetime64[s]')}Z", "data": data})
    place = [float(query["lon"]), float(query["lat"]), float(query["altitude"])]
    return {
        "type": "Feature",
        "geometry": {"type": "Point", "coordinates": place},
        "properties": {
            "meta": {"updated_at": f"{updated.isoformat()}Z", "units": units}, "timeseries": steps,
        },
    }  # fmt: skip


def compact(query: dict[str, str], half: bool) -> dict[str, Any]:
    """The answer of this evening; with ``half`` its first hours alone."""
    stamps = stamps_from(NOW, 6 if half else HOURLY, 0 if half else LATER)
    return document(UPDATED, stamps, query, UNITS)


def stale(query: dict[str, str], half: bool) -> dict[str, Any]:
    """A forecast that nobody has brought up to date for 30 hours, though it goes on to tomorrow."""
    old = NOW - timedelta(hours=30)
    return document(old, stamps_from(old, HOURLY + 24, 0), query, UNITS)


def other_units(query: dict[str, str], half: bool) -> dict[str, Any]:
    """Not the documented unit."""
    units = UNITS | {"air_temperature": "fahrenheit"}
    return document(UPDATED, stamps_from(NOW, HOURLY, 0), query, units)


PATHS = {"/compact": compact, "/stale": stale, "/units": other_units}
made_up_service.ANSWERS.update(PATHS)
