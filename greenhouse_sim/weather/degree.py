"""How cold a place gets: design temperatures, heating degree-days, coldest spells."""

from __future__ import annotations

import numpy as np

Array = np.ndarray
BASE_C = 55.0 / 3.0
"""Base of heating degree-days, 65 °F (definition of the US weather service)."""
MONTH_H = 24.0 * np.array([31.0, 28.25, 31.0, 30.0, 31.0, 30.0, 31.0, 31.0, 30.0, 31.0, 30.0, 31.0])
"""Hours of each month, over leap years."""
SPELL_D = 3
"""A cold spell is told by this many days in a row (judgement)."""
APART_D = 7
"""Spells lie at least this far apart, days (judgement)."""
MOST_SPELLS = 5
FEWEST_D = 350
"""Days that a year of degree-days needs (judgement); what is missing is scaled up."""


def design_temperature_C(t_out_C: Array, months: Array, share: float, south: bool) -> float | None:
    """The temperature that a share of a year's hours is colder than, °C.

    Every calendar month has its true weight, however often the record has it; months that
    it lacks count as warmer. So a file of one winter and one of ten years mean the same.
    (The 99 % and 99.6 % heating dry-bulb of the ASHRAE Handbook of Fundamentals 2017, chapter 14.)

    Parameters
    ----------
    t_out_C
        Hourly, nan where unknown, shape (hours,).
    months
        1 to 12, shape (hours,).
    share
        0.01 for the 99 % value.
    south
        Whether July is in winter.

    Returns
    -------
    float or None
        None where one of the three winter months is missing.
    """
    sure = ~np.isnan(t_out_C)
    held = np.bincount(months[sure] - 1, minlength=12)
    winter = [5, 6, 7] if south else [11, 0, 1]
    if (held[winter] == 0).any():
        return None
    weight = (MONTH_H / np.maximum(held, 1))[months[sure] - 1]
    order = np.argsort(t_out_C[sure])
    colder = np.cumsum(weight[order]) - weight[order] / 2.0
    return float(np.interp(share * MONTH_H.sum(), colder, t_out_C[sure][order]))


def daily(t_out_C: Array, times: Array) -> tuple[Array, Array, Array, Array]:
    """Dates, and each day's lowest, highest and mean, °C; nan on days not wholly known."""
    dates, first = np.unique(times.astype("datetime64[D]"), return_index=True)
    low = np.minimum.reduceat(t_out_C, first)
    high = np.maximum.reduceat(t_out_C, first)
    hours = np.diff(np.append(first, len(t_out_C)))
    mean = np.add.reduceat(t_out_C, first) / hours
    whole = np.where(hours == 24, 1.0, np.nan)
    return dates, low * whole, high * whole, mean * whole


def degree_days(t_out_C: Array, times: Array, south: bool) -> list[tuple[str, float]]:
    """Heating degree-days below 65 °F of each year from summer to summer, K·d.

    A day counts by the middle of its highest and lowest, as weather services do. A typical or
    calendar year alone is one year. Years of fewer than 350 known days are left out.
    """
    dates, low, high, _ = daily(t_out_C, times)
    need = np.clip(BASE_C - (low + high) / 2.0, 0.0, None)
    months = dates.astype("datetime64[M]").astype(int)
    begins = 0 if south else 6
    if len(dates) <= 366:
        year = np.zeros(len(dates), dtype=int)
        names = {0: f"{dates[0].astype('datetime64[Y]')}"}
    else:
        year = (months - begins) // 12 + 1970
        names = {y: f"{y}" if south else f"{y}-{(y + 1) % 100:02d}" for y in np.unique(year)}
    found = []
    for one in np.unique(year):
        mine = need[year == one]
        sure = mine[~np.isnan(mine)]
        if len(sure) >= FEWEST_D:
            found.append((names[int(one)], float(sure.mean() * len(mine))))
    return found


def coldest_spells(t_out_C: Array, times: Array) -> list[tuple[np.datetime64, int, float, float]]:
    """The coldest three days in a row: first day, days, mean and lowest hour, coldest first."""
    dates, low, _, mean = daily(t_out_C, times)
    if len(dates) < SPELL_D:
        return []
    running = np.convolve(mean, np.ones(SPELL_D) / SPELL_D, mode="valid")
    found: list[tuple[np.datetime64, int, float, float]] = []
    while len(found) < MOST_SPELLS and not np.isnan(running).all():
        at = int(np.nanargmin(running))
        span = slice(at, at + SPELL_D)
        found.append((dates[at], SPELL_D, float(running[at]), float(low[span].min())))
        running[max(at - APART_D, 0) : at + APART_D + 1] = np.nan
    return found
