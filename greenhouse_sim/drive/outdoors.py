"""A winter's outdoors, each answer worked out once for all the greenhouses that stand in it.

Sun, sky and the light on surfaces hang on the weather and on where things stand, not on what they
are made of. Where many greenhouses are tried in the same winter they share one `Outdoors`: it knows
its weather, and what it has worked out is told apart by all that goes into it.
"""

from __future__ import annotations

import functools
from collections.abc import Callable, Hashable
from typing import Any, TypeVar, cast

import numpy as np

from greenhouse_sim.drive.clock import hour_of_day
from greenhouse_sim.drive.clouds import sky_infrared
from greenhouse_sim.drive.sun import Light, Sun, even_sky, on_surfaces, sun_position
from greenhouse_sim.drive.vapour import outdoor_vapour
from greenhouse_sim.greenhouse.undisturbed import Year, yearly_wave

Array = np.ndarray
T = TypeVar("T")


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
        """The evenly spread part of the diffuse sky, W/m²."""
        return even_sky(self.sun, self.weather)

    @functools.cached_property
    def vapour(self) -> Array:
        """What the outdoor air brings in, kg/m³."""
        return outdoor_vapour(self.weather)

    @functools.cached_property
    def year(self) -> Year:
        """The yearly wave of the outdoor air."""
        return yearly_wave(self.weather)

    def light(self, tilt_deg: Array, azimuth_deg: Array, reflectance: Array) -> Light:
        """Sun on surfaces that stand so (`sun.on_surfaces`)."""
        key = (tilt_deg.tobytes(), azimuth_deg.tobytes(), reflectance.tobytes())
        return self.once(
            key, lambda: on_surfaces(tilt_deg, azimuth_deg, self.sun, self.weather, reflectance)
        )

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
