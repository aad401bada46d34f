"""PVGIS: what to ask for a year of hours or a typical year; pvlib reads the answer.

The parameters are those of `pvlib.iotools.get_pvgis_hourly` and ``get_pvgis_tmy``.

The sun is told for one moment of each hour: of satellite data for the minute of the picture
(hourly years carry it in their stamps, ten past, say; a typical year says it once for the
place, as ``irradiance_time_offset`` in hours), of reanalysis for the middle. Direct sun on the
plane that faces it and diffuse sun are carried from there to the middle of the hours; the global
sun of an hour follows from both and the sun's height in its middle when the file is read.
Temperature and wind are those of the full hour that a row begins with.
"""

from __future__ import annotations

import io
from typing import Any

import numpy as np

from greenhouse_sim.weather.sun import HORIZON
from greenhouse_sim.weather.year import Hours

HOURLY, TYPICAL = "seriescalc", "tmy"
"""Ends of the address."""
MIDDLE_H = 0.5
FLAT = {
    "outputformat": "json", "angle": 0, "aspect": 0, "pvcalculation": 0,
    "pvtechchoice": "crystSi", "mountingplace": "free", "trackingtype": 0, "components": 1,
    "usehorizon": 1, "optimalangles": 0, "optimalinclination": 0, "loss": 0,
}  # fmt: skip
"""A horizontal surface and no solar panel."""


def params(latitude: float, longitude: float, year: int) -> dict[str, Any]:
    """What is sent for a year: place, year, and that the sun is wanted on the horizontal."""
    return {"lat": latitude, "lon": longitude, **FLAT, "startyear": year, "endyear": year}


def typical_params(latitude: float, longitude: float) -> dict[str, Any]:
    """What is sent for a typical year."""
    return {"lat": latitude, "lon": longitude, "outputformat": "json"}


def read_answer(text: str) -> Hours:
    """Hours of a year.

    Raises
    ------
    KeyError, ValueError, TypeError
        The answer has another shape than the service documents.
    """
    from pvlib import iotools, solarposition

    data, meta = iotools.read_pvgis_hourly(io.StringIO(text), pvgis_format="json")
    place = meta["inputs"]["location"]
    minute = data.index.tz_convert("UTC").tz_localize(None).to_numpy().astype("datetime64[s]")
    sun = solarposition.get_solarposition(data.index, place["latitude"], place["longitude"])
    zenith = sun["zenith"].to_numpy()
    beam = data["poa_direct"].to_numpy(dtype=float)
    sine = np.cos(np.radians(zenith))
    low = zenith >= HORIZON
    direct = np.where(low, 0.0, beam / np.where(low, 1.0, sine))
    diffuse = data["poa_sky_diffuse"].to_numpy(dtype=float) + np.where(low, beam, 0.0)
    hours = minute.astype("datetime64[h]").astype("datetime64[s]")
    moment = (minute - hours).astype(float) / 3600.0
    columns = {
        "t_out_C": data["temp_air"].to_numpy(dtype=float),
        "wind_m_s": data["wind_speed"].to_numpy(dtype=float),
        "dni_W": to_middle(np.clip(direct, 0.0, 1300.0), moment),
        "dhi_W": to_middle(diffuse, moment),
    }
    base = meta["inputs"].get("meteo_data", {})
    names = [str(base.get(key, "")) for key in ("radiation_db", "meteo_db")]
    source = f"PVGIS hourly ({', '.join(name for name in names if name)})"
    return Hours(hours, columns, float(place["elevation"]), source)


def to_middle(values: np.ndarray, moment_h: np.ndarray | float) -> np.ndarray:
    """Values of one moment in each of consecutive hours, in the middle of the hours.

    Parameters
    ----------
    values
        One an hour, shape (hours,).
    moment_h
        Hours from the beginning of each hour to its moment.
    """
    begin = np.arange(len(values), dtype=float)
    return np.interp(begin + MIDDLE_H, begin + moment_h, values)


def read_typical(text: str) -> Hours:
    """Hours of a typical year, months of several years in the order of the calendar.

    Raises
    ------
    KeyError, ValueError, TypeError
        The answer has another shape than the service documents.
    """
    from pvlib import iotools

    data, meta = iotools.read_pvgis_tmy(io.StringIO(text), pvgis_format="json")
    stamps = data.index.tz_convert("UTC").tz_localize(None).to_numpy().astype("datetime64[s]")
    names = {
        "t_out_C": ("temp_air", 1.0), "humidity": ("relative_humidity", 0.01),
        "pressure_Pa": ("pressure", 1.0), "wind_m_s": ("wind_speed", 1.0),
        "dni_W": ("dni", 1.0), "dhi_W": ("dhi", 1.0), "ir_down_W": ("IR(h)", 1.0),
    }  # fmt: skip
    columns = {
        key: data[label].to_numpy(dtype=float) * factor for key, (label, factor) in names.items()
    }
    place = meta["inputs"]["location"]
    moment = float(place.get("irradiance_time_offset", MIDDLE_H))
    for key in ("dni_W", "dhi_W"):
        columns[key] = to_middle(columns[key], moment)
    chosen = sorted({str(month["year"]) for month in meta["months_selected"]})
    source = f"PVGIS typical year (months of {chosen[0]} to {chosen[-1]})"
    return Hours(stamps, columns, float(place["elevation"]), source)
