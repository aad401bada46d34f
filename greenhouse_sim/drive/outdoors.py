"""A winter's outdoors, each answer worked out once for all the greenhouses that stand in it.

Sun, sky and the light on surfaces hang on the weather and on where things stand, not on what they
are made of. Where many greenhouses are tried in the same winter they share one `Outdoors`: it knows
its weather, and what it has worked out is told apart by all that goes into it.
"""

from __future__ import annotations

import functools
from collections.abc import Callable, Hashable
from typing import Any, NamedTuple, TypeVar, cast

import numpy as np

from greenhouse_sim.drive.clock import hour_of_day
from greenhouse_sim.drive.clouds import sky_infrared
from greenhouse_sim.drive.sun import Light, Sun, even_sky, on_surfaces, sun_position
from greenhouse_sim.drive.vapour import outdoor_vapour
from greenhouse_sim.greenhouse.part import Shell
from greenhouse_sim.greenhouse.shape import shell
from greenhouse_sim.greenhouse.undisturbed import Year, day_of_year, yearly_wave

Array = np.ndarray
T = TypeVar("T")
SIZES = ("shape", "width", "length", "sidewall", "ridge", "ridge_runs", "faces")
"""What the shape of a greenhouse hangs on, where its surfaces are not listed."""


class Daylight(NamedTuple):
    """The hours of a winter that have any light: arrays of shape (lit hours,)."""

    hours: Array
    """Their places in the winter, int64, rising."""
    sun: Sun
    dni_W: Array
    dhi_W: Array
    ghi_W: Array
    """Of the weather, as it names them."""


class Outdoors:
    """What does not ask which greenhouse it is. Arrays are shared: do not write into them."""

    def __init__(self, weather: Any) -> None:
        self.weather = weather
        self._once: dict[Any, Any] = {}

    @functools.cached_property
    def sun(self) -> Sun:
        """The sun at the middle of each hour."""
        return sun_position(self.weather)

    @functools.cached_property
    def hour(self) -> Array:
        """Clock hour at the middle of each hour."""
        return hour_of_day(self.weather)

    @functools.cached_property
    def infrared_W(self) -> Array:
        """Thermal radiation of the sky, W/m²."""
        return sky_infrared(self.weather, self.sun)

    @functools.cached_property
    def even_W(self) -> Array:
        """The evenly spread part of the diffuse sky in the hours with light, W/m²."""
        return even_sky(self.daylight.sun, self.daylight)

    @functools.cached_property
    def vapour(self) -> Array:
        """What the outdoor air brings in, kg/m³."""
        return outdoor_vapour(self.weather)

    @functools.cached_property
    def day(self) -> Array:
        """Day of the year at the beginning of each hour."""
        return day_of_year(self.weather)

    @functools.cached_property
    def year(self) -> Year:
        """The yearly wave of the outdoor air."""
        return yearly_wave(self.weather)

    @functools.cached_property
    def daylight(self) -> Daylight:
        """The hours with light, more than half of a winter left out: all that asks for light is
        worked out for these alone."""
        weather, sun = self.weather, self.sun
        lit = np.flatnonzero(sun.up | (weather.ghi_W > 0.0) | (weather.dhi_W > 0.0))
        beam, diffuse, whole = weather.dni_W[lit], weather.dhi_W[lit], weather.ghi_W[lit]
        return Daylight(lit, Sun(*(one[lit] for one in sun)), beam, diffuse, whole)

    def all_hours(self, lit: Array) -> Array:
        """Values of the hours with light as those of the whole winter: 0 in the dark."""
        whole = np.zeros((*lit.shape[:-1], len(self.hour)))
        whole[..., self.daylight.hours] = lit
        return whole

    def light(self, tilt_deg: Array, azimuth_deg: Array, reflectance: Array) -> Light:
        """Sun on surfaces that stand so in the hours with light (`sun.on_surfaces`).

        ``reflectance`` is the ground's in those hours.
        """
        day = self.daylight
        key = (tilt_deg.tobytes(), azimuth_deg.tobytes(), reflectance.tobytes())
        return self.once(key, lambda: on_surfaces(tilt_deg, azimuth_deg, day.sun, day, reflectance))

    def shell(self, scenario: Any) -> Shell:
        """The shape of a greenhouse that stands here (`shape.shell`)."""
        green, latitude = scenario.greenhouse, self.weather.latitude
        if green.shape == "surfaces":
            return shell(scenario, latitude)
        sizes = tuple(getattr(green, name, None) for name in SIZES)
        key = ("shell", sizes, scenario.site.latitude)
        return self.once(key, lambda: shell(scenario, latitude))

    def once(self, key: Hashable, work_out: Callable[[], T]) -> T:
        """An answer worked out at its first asking.

        Parameters
        ----------
        key
            All that the answer hangs on beside the weather.
        work_out
            Called where the key is new.
        """
        if key not in self._once:
            self._once[key] = work_out()
        return cast(T, self._once[key])
