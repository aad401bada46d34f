"""What vapour does to the heat balance of a winter, settled between two ideal runs.

Evaporation cools the air that drives it, and takes days of sun that would have warmed the house.
In the loop that would cost every heater's every hour a dozen exponentials; but vapour asks the
air for its temperature only, and that an ideal heater holds. So the ideal heater is run, the
vapour of that winter is worked out (`vapour.walk`), its heat is taken from the air hour by hour,
and the ideal heater is run again. It is taken as a line over the air's temperature, what the
house gives as it is held and what it would give `COLDER_K` colder, so that a house whose fire is
out evaporates less; the lines of two rounds are averaged, since vents that open dry the air and
close again. All heaters run with the last round's line.
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

ROUNDS = 2
"""Rounds of vapour between ideal runs; on the bundled winters a third changes the need by less than
0.1 %."""
COLDER_K = 10.0
"""The line is drawn through what vapour takes at the air that is held and at air so much colder:
evaporation halves in about as much."""
AIR, VENT = at.TRACE.index("air_C"), at.TRACE.index("vent_W")


class Line(NamedTuple):
    """Heat that vapour takes from sun and air, as a line over the air's temperature."""

    at_zero_w: Array
    """At 0 °C, W, shape (hours,)."""
    slope_w_k: Array
    """More for each kelvin, W/K, never below 0."""

    def halfway(self, other: Line) -> Line:
        """The middle of two lines."""
        return Line(
            0.5 * (self.at_zero_w + other.at_zero_w), 0.5 * (self.slope_w_k + other.slope_w_k)
        )


class Damp(NamedTuple):
    """A winter's vapour, hour by hour, arrays of shape (hours,)."""

    takes_w: Array
    """Heat that vapour takes from sun and air, W."""
    line: Line
    """The same over the air's temperature."""
    humidity: Array
    """Mean relative humidity, 0 to 1."""
    wet: Array
    """Share of the hour in which the covers are wet."""
    hours_near_saturation: float
    """Hours in which grey mould is at risk."""
    hours_wet: float
    """Hours for which the covers are wet."""


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
    air_C = np.ascontiguousarray(trace[:, AIR])
    vent_W = np.ascontiguousarray(trace[:, VENT])
    held, colder = np.zeros((len(air_C), 3)), np.zeros((len(air_C), 3))
    for shift_K, out in ((0.0, held), (COLDER_K, colder)):
        function(
            moisture.vapour,
            walk.house,
            drive.t_out,
            drive.loss_w_k,
            drive.sky_w,
            drive.leak_wind,
            drive.sun_latent_w,
            moisture.outdoor,
            air_C - shift_K,
            vent_W,
            out,
        )
    takes_w = held[:, 0].copy()
    slope_w_k = np.maximum((takes_w - colder[:, 0]) / COLDER_K, 0.0)
    line = Line(takes_w - slope_w_k * air_C, slope_w_k)
    humidity, wet = held[:, 1].copy(), held[:, 2].copy()
    # every heater's ledger says them: counted once
    risky_h = float(np.sum(humidity >= moisture.vapour.near_saturation))
    return Damp(takes_w, line, humidity, wet, risky_h, float(np.sum(wet)))


def with_vapour(walk: Walk, drive: Drive, line: Line) -> Walk:
    """A winter whose air gives heat to vapour instead of the sun set aside for it.

    Parameters
    ----------
    walk, drive
        The winter as it was made, with a constant share of sun set aside.
    line
        What vapour takes.
    """
    hours = walk.hours._replace(
        push_w=walk.hours.push_w + drive.sun_latent_w - line.at_zero_w,
        pull_w_k=walk.hours.pull_w_k + line.slope_w_k,
        vapour_w_k=line.slope_w_k,
    )
    total = walk.known.total.copy()
    total[at.LATENT_J] = HOUR_S * line.at_zero_w.sum()
    return walk._replace(hours=hours, known=walk.known._replace(total=total))
