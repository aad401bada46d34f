"""Thermal radiation of the sky hour by hour: measured where the file has it, else estimated."""

from __future__ import annotations

from typing import Any

import numpy as np

from greenhouse_sim.drive.sun import Sun
from greenhouse_sim.greenhouse.sky import berdahl_martin, sky_radiation

Array = np.ndarray
DAYLIGHT_COSINE = 0.17
"""Cosine of the zenith (10 degrees of sun height) under which clearness says nothing of cloud."""


def sky_infrared(weather: Any, sun: Sun) -> Array:
    """Downward thermal radiation, W/m², shape (hours,)."""
    measured = np.asarray(weather.ir_down_W, dtype=float)
    if np.isfinite(measured).all():
        return measured
    emittance = berdahl_martin(
        weather.t_dew_C, weather.pressure_Pa, solar_hour(weather), cloud_cover(weather, sun)
    )
    estimate = sky_radiation(emittance, weather.t_out_C)
    return np.where(np.isfinite(measured), measured, estimate)


def solar_hour(weather: Any) -> Array:
    """Mean solar time at the middle of each hour, h."""
    clock = weather.start.hour + 0.5 + np.arange(len(weather.t_out_C))
    return (clock - weather.utc_offset_h + weather.longitude / 15.0) % 24.0


def cloud_cover(weather: Any, sun: Sun) -> Array:
    """Share of the sky under cloud: as the file says, else from how clear the day was."""
    known = np.asarray(weather.cloud, dtype=float)
    if np.isfinite(known).all():
        return known
    return np.where(np.isfinite(known), known, cloud_from_sun(weather.ghi_W, sun.cosine))


def cloud_from_sun(ghi_W: Array, cosine: Array) -> Array:
    """Cloud from global sun, carried through the night on a straight line from dusk to dawn.

    Clear sky after Haurwitz (1945), 1098 cos z exp(-0.059 / cos z), and cloud after Kasten and
    Czeplak (1980), G / G_clear = 1 - 0.75 n^3.4 (both from memory). Half clouded where no
    hour has the sun 10 degrees up.
    """
    day = np.flatnonzero(cosine > DAYLIGHT_COSINE)
    if not len(day):
        return np.full(len(ghi_W), 0.5)
    z = cosine[day]
    clearness = ghi_W[day] / (1098.0 * z * np.exp(-0.059 / z))
    cloud = np.clip((1.0 - np.clip(clearness, 0.0, 1.0)) / 0.75, 0.0, 1.0) ** (1.0 / 3.4)
    return np.interp(np.arange(len(ghi_W)), day, cloud)
