"""Where a thermostat held the air of a log, and at what temperature.

Where it does, the air tells nothing and the heat tells all: whatever a weather file gets wrong, a
colder wind or a cloud, the thermostat makes up for within the hour. The heat noted is then an
answer to those errors, and a simulation that is fed with it mistakes the answer for a cause: the
house seems to send back more heat, and soil and capacity come out too high. So the simulation gets
a thermostat of its own at the temperature that was held, and heat is compared with heat.

That least squares on the input of a closed loop are biased unless a delay lies in the loop, and
that comparing what the loop as a whole does with what drives it (weather and setpoint) is not, is
textbook matter: Forssell and Ljung 1999, "Closed-loop identification revisited", *Automatica*
35(7):1215, sections 2 and 4; Ljung, *System Identification*, chapter 13 (both from memory).
"""

from __future__ import annotations

from typing import NamedTuple

import numpy as np

from greenhouse_sim.greenhouse.numbers import Drive, House

Array = np.ndarray
NO_HEAT_C = -1000.0
BESIDE_H = 4
"""Hours on each side over whose median a level is taken: a step between levels stays a step."""
HEATED = 0.02
"""Share of the strongest heat (its 95th percentile) from which an hour is heated (judgement)."""
ROUND_H = 12
MOVES_LESS = 0.3
"""A thermostat holds where air, within `BESIDE_H`, moves by less than this share of what heat does
within `ROUND_H`, as kelvin of difference to outdoors (judgement: made-up thermostats gave 0.04 to
0.19, fires that ask nobody 0.47 to 0.54). Air is asked over less, since a setpoint may change
with the hour of the day; heat over more, since it follows the weather."""
BAND = 4.0
"""Robust spreads within which the air is at its level (judgement)."""
LEAST_BAND_K = 0.5
"""A thermostat's own play (common practice, no source)."""
LEAST_ALIKE = 4
"""Readings within `BESIDE_H` that must be alike for a level, its own with them (judgement)."""
FULL = 0.95
"""Share of the strongest heat (its 99th percentile) from which a heater gives all it can, if it
does so for three hours (judgement): the air is then no thermostat's."""
MAD = 1.4826
"""Standard deviation of a normal distribution over its median absolute deviation."""


class Hold(NamedTuple):
    """A thermostat by the log: arrays of shape (hours,)."""

    setpoint_C: Array
    """What it held by the logger, with its error; `NO_HEAT_C` where no thermostat was at work."""
    inside: Array
    """Whether it held the whole hour: air there is the level, its reading that and noise."""
    unclear: Array
    """Whether the hour's course hangs on the minute at which a setpoint changed or heat began."""
    per_K: Array
    """What a kelvin more of difference to outdoors takes by the tables, W."""
    draws_W: Array | None = None
    """Taken from the air all the while, so that less than no heat can be asked for."""

    @property
    def at_work(self) -> Array:
        """Hours in which the simulation's thermostat gives the heat, and not the record."""
        return self.setpoint_C > NO_HEAT_C


def hold_of(indoor_C: Array, heat_W: Array, house: House, drive: Drive) -> Hold | None:
    """The thermostat that a log tells of, if it does.

    Parameters
    ----------
    indoor_C, heat_W
        The record, nan where unknown, shape (hours,).
    house, drive
        The greenhouse by the tables, for `Hold.per_K`.
    """
    known = ~np.isnan(indoor_C)
    heat = np.nan_to_num(heat_W)
    heated = heat > HEATED * float(np.percentile(heat, 95.0))
    use = heated & known
    if not use.any():
        return None
    gap = np.abs(np.where(known, indoor_C, 0.0) - drive.t_out) * known
    per_K = per_kelvin(house, drive, gap)
    air = np.where(use, indoor_C, np.nan)
    if moves(air, BESIDE_H) > MOVES_LESS * moves(np.where(use, heat / per_K, np.nan), ROUND_H):
        return None
    usual = np.abs(air - median(near(air, BESIDE_H)))
    band = max(BAND * MAD * float(np.nanmedian(usual)), LEAST_BAND_K)
    level, alike = levels(air, band)
    full = heat > FULL * float(np.percentile(heat, 99.0))
    held = use & (alike >= LEAST_ALIKE) & ~(full & before(full) & after(full))
    if not held.any():
        return None
    last, coming = neighbours(np.where(held, level, np.nan))
    low = np.minimum(last, coming)
    read = np.nan_to_num(indoor_C)
    turned_down = (last > coming + LEAST_BAND_K) & (read >= coming - band)
    by_itself = use & ~held & ~turned_down
    off = known & ~heated & (read < low - band)
    setpoint = np.where(held, level, np.where(by_itself | off, NO_HEAT_C, low))
    moved = held & before(held) & (np.abs(level - last) > LEAST_BAND_K)
    turned = ~held & before(held) & turned_down
    whole = before(by_itself) & after(by_itself)
    unclear = moved | turned | (by_itself & ~whole) | (held & before(by_itself))
    return Hold(setpoint, held & before(held) & after(held), unclear, per_K)


def per_kelvin(house: House, drive: Drive, gap_K: Array) -> Array:
    """What a kelvin more of difference to outdoors takes by the tables at such a difference, W."""
    return drive.loss_w_k + house.leak_w_k * np.sqrt(drive.leak_wind + house.leak_stack * gap_K)


def before(is_so: Array) -> Array:
    """Whether it was so the hour before."""
    return np.concatenate([[False], is_so[:-1]])


def after(is_so: Array) -> Array:
    """Whether it is so the hour after."""
    return np.concatenate([is_so[1:], [False]])


def levels(air_C: Array, band_K: float) -> tuple[Array, Array]:
    """Median of the readings near each that are like it, and how many those are."""
    around = near(air_C, BESIDE_H)
    like = np.where(np.abs(around - air_C[:, np.newaxis]) <= band_K, around, np.nan)
    count = np.sum(~np.isnan(like), axis=1)
    return median(like), count


def moves(values: Array, beside: int) -> float:
    """Median over the hours of how far values near each lie from their median."""
    around = near(values, beside)
    return float(np.nanmedian(median(np.abs(around - median(around)[:, np.newaxis]))))


def near(values: Array, beside: int) -> Array:
    """What stands within so many places of each, shape (places, 2·beside + 1); nan beyond."""
    edge = np.full(beside, np.nan)
    padded = np.concatenate([edge, values, edge])
    return np.lib.stride_tricks.sliding_window_view(padded, 2 * beside + 1)


def median(rows: Array) -> Array:
    """Median of each row's known values; nan where there are none."""
    found = np.full(len(rows), np.nan)
    some = ~np.isnan(rows).all(axis=1)
    found[some] = np.nanmedian(rows[some], axis=1)
    return found


def neighbours(values: Array) -> tuple[Array, Array]:
    """The nearest known value before each place, and the nearest at it or after."""
    known = np.flatnonzero(~np.isnan(values))
    at = np.searchsorted(known, np.arange(len(values)))
    last, coming = (values[known[np.clip(k, 0, len(known) - 1)]] for k in (at - 1, at))
    return last, coming
