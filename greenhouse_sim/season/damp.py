"""What vapour does to the heat balance of a winter, settled between two ideal runs.

Evaporation cools the air that drives it, and takes days of sun that would have warmed the house.
In the loop that would cost every heater's every hour a dozen exponentials; but vapour asks the
air for its temperature only, and that an ideal heater holds. So the ideal heater is run, the
vapour of that winter is worked out (`vapour.walk`), its heat is taken from the air hour by hour,
and the ideal heater is run again; the heat of two rounds is averaged, since warm air that dries
more is cooled more. All heaters then run with the last round's. In hours in which a fire is out
the house is thus a little damper than it would be.
"""

from __future__ import annotations

from collections.abc import Callable
from typing import NamedTuple

import numpy as np

from greenhouse_sim.greenhouse.numbers import Drive
from greenhouse_sim.greenhouse.vapour_numbers import Moisture
from greenhouse_sim.season import tally as at
from greenhouse_sim.season.modes import HOUR_S, Walk
from greenhouse_sim.season.numbers import Array

ROUNDS = 3
"""Rounds of vapour between ideal runs; on the bundled winters a fourth changes the need by less
than 0.1 %."""
AIR, VENT = at.TRACE.index("air_C"), at.TRACE.index("vent_W")


class Damp(NamedTuple):
    """A winter's vapour, hour by hour, arrays of shape (hours,)."""

    takes_w: Array
    """Heat that vapour takes from sun and air, W."""
    humidity: Array
    """Mean relative humidity, 0 to 1."""
    wet: Array
    """Share of the hour in which the covers are wet."""
    near_saturation: float
    """Relative humidity from which grey mould is at risk."""

    @property
    def hours_near_saturation(self) -> float:
        """Hours in which grey mould is at risk."""
        return float(np.sum(self.humidity >= self.near_saturation))

    @property
    def hours_wet(self) -> float:
        """Hours for which the covers are wet."""
        return float(np.sum(self.wet))


def damp_of(moisture: Moisture, walk: Walk, drive: Drive, trace: Array, function: Callable) -> Damp:
    """The vapour of a winter whose air is known.

    Parameters
    ----------
    moisture, walk, drive
        The greenhouse and its winter.
    trace
        An hourly trace, shape (hours, tally.TRACE_SIZE).
    function
        `vapour.walk` or its compiled form.
    """
    out = np.zeros((trace.shape[0], 3))
    function(
        moisture.vapour,
        walk.house,
        drive.t_out,
        drive.loss_w_k,
        drive.sky_w,
        drive.leak_wind,
        drive.sun_latent_w,
        moisture.outdoor,
        np.ascontiguousarray(trace[:, AIR]),
        np.ascontiguousarray(trace[:, VENT]),
        out,
    )
    return Damp(out[:, 0], out[:, 1], out[:, 2], moisture.vapour.near_saturation)


def with_vapour(walk: Walk, drive: Drive, takes_w: Array) -> Walk:
    """A winter whose air gives ``takes_w`` to vapour instead of the sun set aside for it."""
    push_w = walk.hours.push_w + drive.sun_latent_w - takes_w
    total = walk.known.total.copy()
    total[at.LATENT_J] = HOUR_S * takes_w.sum()
    return walk._replace(
        hours=walk.hours._replace(push_w=push_w), known=walk.known._replace(total=total)
    )
