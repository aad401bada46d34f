"""Where the sun stands, and how much of it falls on each part of the shell."""

from __future__ import annotations

import functools
import hashlib
import math
from typing import Any, NamedTuple

import numpy as np

from greenhouse_sim import kept
from greenhouse_sim.drive.bright_sky import BrightSky, bright_sky

Array = np.ndarray

LOWEST_COSINE = math.cos(math.radians(85.0))
"""Light from around the sun is that of a sun at least 5 degrees high (Perez et al. 1990)."""

MOST_SUNS = 64
"""Winters whose sun is kept while the program runs."""

REFRACTION_DEG = 0.5667
"""Refraction at sunrise and sunset, degrees (standard value of the NREL algorithm)."""


class Sun(NamedTuple):
    """The sun in the middle of each hour: arrays of shape (hours,)."""

    zenith_deg: Array
    azimuth_deg: Array
    cosine: Array
    """Cosine of the zenith, 0 at night."""
    space_W: Array
    """Sun outside the atmosphere on a plane that faces it, W/m²."""

    @property
    def up(self) -> Array:
        """Whether the sun stands above the horizon."""
        return self.cosine > 0.0


class Light(NamedTuple):
    """Sun on the outside of surfaces: arrays of shape (surfaces, hours), W/m²."""

    beam: Array
    """Direct sun and the bright sky around it."""
    diffuse: Array
    """The rest of the sky and the ground."""
    cosine: Array
    """Cosine of the angle of incidence, negative where the surface faces away."""


def sun_position(weather: Any) -> Sun:
    """The sun at the middle of each hour, by the NREL algorithm in pvlib."""
    zone = np.timedelta64(round(weather.utc_offset_h * 3600.0), "s")
    middle = weather.times().astype("datetime64[s]") + np.timedelta64(1800, "s") - zone
    return _positions(
        str(middle[0]), len(middle), float(weather.latitude), float(weather.longitude),
        float(weather.elevation_m), float(np.mean(weather.pressure_Pa)) / 100.0,
        float(np.mean(weather.t_out_C)),
    )  # fmt: skip


@functools.lru_cache(maxsize=MOST_SUNS)
def _positions(
    first: str, hours: int, latitude: float, longitude: float, elevation_m: float,
    pressure_hPa: float, mean_C: float,
) -> Sun:  # fmt: skip
    """Kept, read-only: the same winter is walked through by many greenhouses.

    On disk too, under a hash of the numbers given, of this room's sources and of the libraries:
    the algorithm and the import of its library take longer than many a plan's own work.
    """
    given = (first, hours, latitude, longitude, elevation_m, pressure_hPa, mean_C)
    name = hashlib.blake2b(
        kept.makers_hash("greenhouse_sim.drive") + repr(given).encode(), digest_size=16
    ).hexdigest()
    found = kept.find("suns", name)
    if found is None:
        sun = _worked_out(*given)
        kept.keep("suns", name, sun._asdict())
    else:
        sun = Sun(**found)
    for array in sun:
        array.flags.writeable = False
    return sun


def _worked_out(
    first: str, hours: int, latitude: float, longitude: float, elevation_m: float,
    pressure_hPa: float, mean_C: float,
) -> Sun:  # fmt: skip
    from pvlib import irradiance, spa

    middle = np.datetime64(first, "s") + np.arange(hours) * np.timedelta64(3600, "s")
    seconds = middle.astype("int64").astype(float)
    year = int(np.datetime64(middle[0], "Y").astype(int)) + 1970
    delta_t = float(spa.calculate_deltat(year, 1))
    found = spa.solar_position(
        seconds, latitude, longitude, elevation_m, pressure_hPa, mean_C, delta_t, REFRACTION_DEG
    )
    zenith, azimuth = np.asarray(found[1]), np.asarray(found[4])
    cosine = np.maximum(np.cos(np.radians(zenith)), 0.0)
    day = (middle.astype("datetime64[D]") - middle.astype("datetime64[Y]")).astype(int) + 1
    space = np.asarray(irradiance.get_extra_radiation(day), dtype=float)
    return Sun(zenith, azimuth, cosine, space)


def on_surfaces(
    tilt_deg: Array, azimuth_deg: Array, sun: Sun, weather: Any, ground_reflectance: float | Array
) -> Light:
    """Sun on tilted surfaces, W/m².

    The diffuse sky is as `bright_sky` has it: light from around the sun comes as beam does, on a
    sun lower than 5 degrees as if it stood there; the horizon's and the even light fall on a
    surface by its tilt, together never less than nothing. The ground sends back its reflectance
    of the global sun, evenly.

    Parameters
    ----------
    tilt_deg, azimuth_deg
        Of the outsides, shape (surfaces,).
    sun, weather
        Hourly, shape (hours,).
    ground_reflectance
        Share of the global sun that the ground around sends back, one or one an hour.
    """
    cosine = incidence(tilt_deg, azimuth_deg, sun)
    sky = sky_light(sun, weather)
    direct = np.where(sun.up, weather.dni_W + sky.around / np.maximum(sun.cosine, LOWEST_COSINE), 0)
    beam = direct * np.maximum(cosine, 0.0)
    slope = np.radians(tilt_deg)[:, np.newaxis]
    open_sky, open_ground = 0.5 * (1.0 + np.cos(slope)), 0.5 * (1.0 - np.cos(slope))
    above = np.maximum(sky.even * open_sky + sky.horizon * np.sin(slope), 0.0)
    return Light(beam, above + weather.ghi_W * ground_reflectance * open_ground, cosine)


def sky_light(sun: Sun, weather: Any) -> BrightSky:
    """Where the diffuse light of each hour stands."""
    return bright_sky(weather.dhi_W, weather.dni_W, sun.space_W, sun.zenith_deg, sun.up)


def even_sky(sun: Sun, weather: Any) -> Array:
    """The evenly spread part of the diffuse sky on the horizontal, W/m²."""
    return sky_light(sun, weather).even


def incidence(tilt_deg: Array, azimuth_deg: Array, sun: Sun) -> Array:
    """Cosine of the angle between sun and outward normal, shape (surfaces, hours).

    cos β·cos z + sin β·sin z·cos(γ_sun - γ), for a tilt β and azimuth γ, at zenith angle z (Duffie
    and Beckman, Solar Engineering of Thermal Processes, chapter 1, from memory; a test holds it
    to pvlib's).
    """
    tilt, zenith = np.radians(tilt_deg)[:, np.newaxis], np.radians(sun.zenith_deg)
    turned = np.radians(sun.azimuth_deg - azimuth_deg[:, np.newaxis])
    cosine = np.cos(tilt) * np.cos(zenith) + np.sin(tilt) * np.sin(zenith) * np.cos(turned)
    return np.asarray(np.clip(cosine, -1.0, 1.0))
