"""The forecast of a national weather office: what to ask, and how to read the answer.

The format is the office's general point forecast (see table ``forecast_services``): instants in
universal time, hourly at first and then further apart. Wind stands 10 m over the ground. Pressure
is that at sea level and is left out.
"""

from __future__ import annotations

import json
from datetime import UTC, datetime
from typing import Any, NamedTuple

import numpy as np

Array = np.ndarray

COLUMNS = {
    "air_temperature": ("t_out_C", "celsius", 1.0),
    "dew_point_temperature": ("t_dew_C", "celsius", 1.0),
    "relative_humidity": ("humidity", "%", 0.01),
    "wind_speed": ("wind_m_s", "m/s", 1.0),
    "cloud_area_fraction": ("cloud", "%", 0.01),
}
"""The service's parameter: our key, the unit that it documents, factor to ours."""
NEEDED = "air_temperature"


class Instants(NamedTuple):
    """A forecast as it was given: universal time, our units, nan where missing."""

    issued: datetime
    """When it was last brought up to date, universal time without a zone."""
    stamps: Array
    """datetime64[s], rising, shape (steps,)."""
    columns: dict[str, Array]


def params(latitude: float, longitude: float, elevation_m: float) -> dict[str, Any]:
    """What is sent: where the greenhouse stands, and nothing else."""
    return {"lat": latitude, "lon": longitude, "altitude": round(elevation_m)}


def read_answer(text: str) -> Instants:
    """The steps of an answer.

    Raises
    ------
    KeyError, ValueError, TypeError
        The answer has another shape, or other units, than the service documents.
    """
    told = json.loads(text)["properties"]
    units = told["meta"]["units"]
    for name, (_, unit, _) in COLUMNS.items():
        if units.get(name, unit) != unit:
            raise ValueError(f"{name} in {units[name]}, not in {unit}")
    steps = told["timeseries"]
    stamps = np.array([_moment(step["time"]) for step in steps], dtype="datetime64[s]")
    if len(stamps) < 2 or np.any(np.diff(stamps) <= np.timedelta64(0, "s")):
        raise ValueError("the steps do not rise in time")
    details = [step["data"]["instant"]["details"] for step in steps]
    columns = {}
    for name, (key, _, factor) in COLUMNS.items():
        values = np.array([float(one.get(name, np.nan)) for one in details]) * factor
        if not np.isnan(values).all():
            columns[key] = values
    if np.isnan(columns.get("t_out_C", np.array(np.nan))).any():
        raise ValueError(f"a step lacks {NEEDED}")
    return Instants(_moment(told["meta"]["updated_at"]), stamps, columns)


def _moment(text: str) -> datetime:
    found = datetime.fromisoformat(text)
    if found.tzinfo is None:
        raise ValueError(f"{text[:30]} has no zone")
    return found.astimezone(UTC).replace(tzinfo=None)
