"""When to cut so that wood is dry: published drying times, stretched to firewood and climate.

Wood in the open dries towards the moisture that the air holds it at, E, the faster the
further it is from it:

    du/dt = −k·(u − E),   u(n) = E + (u₀ − E)·exp(−k·n)

with u in kg water per kg dry wood and n in *effective drying days*: a day of good drying
weather counts as one, a winter's day as little. The rate comes from published times of
one-inch lumber from green to u = 0.20, k₁ = ln((u₀ − E)/(0.20 − E))/days, and a split stick
takes ``split_factor`` times as long. A calendar day counts as its month's mean vapour
pressure deficit over that of good drying weather, and never as more than one.

Left out: rain on uncovered stacks, wood frozen through, rounds left unsplit (three to five
times as long), tops left to dry in the leaf. All but the last make it longer.
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from datetime import date, timedelta
from typing import NamedTuple

import numpy as np

from greenhouse_sim.heater.fuel import dry_basis
from greenhouse_sim.plans.stack import number
from greenhouse_sim.tables.read import Row, read_keyed, read_rows
from greenhouse_sim.weather import Weather

LUMBER_DRY = 0.20
"""Moisture (dry basis) that the published days lead to."""
WHOLE_MONTH_H = 600
"""Hours of a month that a record must hold to speak for it."""
MOST_DAYS = 6 * 365
LENGTH = (31.0, 28.25, 31.0, 30.0, 31.0, 30.0, 31.0, 31.0, 30.0, 31.0, 30.0, 31.0)


class DryingYear(NamedTuple):
    """How much a day of each month counts."""

    share: tuple[float, ...]
    """Effective days a calendar day, January first."""
    lent: tuple[int, ...]
    """Months that the weather does not hold, taken from the calendar of the upper Midwest."""


class CutBy(NamedTuple):
    """When a wood must be cut, split and stacked."""

    species: str
    day: date | None
    """None where no drying data are known, or it never dries in this climate."""
    early: date | None
    late: date | None
    """With the slowest and the quickest drying that is still believed."""
    effective_days: float | None


def deficit_kPa(t_C: np.ndarray, dew_C: np.ndarray) -> np.ndarray:
    """Vapour pressure deficit of air: saturation at its temperature less that at its dew point.

    Magnus formula with the constants of the World Meteorological Organization's guide (from
    memory), 0.6112·exp(17.62·t/(243.12 + t)) kPa.
    """

    def vapour(t: np.ndarray) -> np.ndarray:
        return np.asarray(0.6112 * np.exp(17.62 * t / (243.12 + t)))

    return vapour(t_C) - vapour(dew_C)


def drying_year(records: Sequence[Weather]) -> DryingYear:
    """How much a day of each month dries, from all the hours of the records."""
    months = np.concatenate([one.times().astype("datetime64[M]").astype(int) for one in records])
    dry = np.concatenate([deficit_kPa(one.t_out_C, one.t_dew_C) for one in records])
    calendar = {int(row["month"]): float(row["days"]) for row in read_rows("drying_calendar")}
    share, lent = [], []
    for month in range(12):
        hours = dry[months % 12 == month]
        if len(hours) >= WHOLE_MONTH_H:
            share.append(min(1.0, float(hours.mean()) / number("full_day_deficit", "kPa")))
        else:
            share.append(min(1.0, calendar[month + 1] / LENGTH[month]))
            lent.append(month + 1)
    return DryingYear(tuple(share), tuple(lent))


def dried(species: str) -> dict[str, str] | None:
    """The row of ``tables/drying.csv``; None for a wood without drying data."""
    return next((row for row in read_rows("drying") if row["name"] == species), None)


def rate(row: dict[str, str], factor: float) -> float:
    """Share of the water above equilibrium that an effective day takes out of split wood."""
    emc = number("summer_emc", "1")
    span = math.log((float(row["green"]) - emc) / (LUMBER_DRY - emc))
    return span / (float(row["days"]) * factor)


def effective_days(row: dict[str, str], factor: float, moisture: float) -> float:
    """Effective days of split wood from green to ``moisture`` (wet basis)."""
    emc = number("summer_emc", "1")
    span = math.log((float(row["green"]) - emc) / (dry_basis(moisture) - emc))
    return max(0.0, span) / rate(row, factor)


def moisture_after(row: dict[str, str], factor: float, days: float) -> float:
    """Moisture (wet basis) of split wood after so many effective days."""
    emc = number("summer_emc", "1")
    left = emc + (float(row["green"]) - emc) * math.exp(-rate(row, factor) * days)
    return left / (1.0 + left)


def between(first: date, last: date, year: DryingYear) -> float:
    """Effective days from ``first`` up to ``last``."""
    days = (first + timedelta(days=n) for n in range((last - first).days))
    return sum(year.share[day.month - 1] for day in days)


def latest(ready: date, needed: float, year: DryingYear) -> date | None:
    """The latest day to begin, so that so many effective days pass before ``ready``."""
    had, day = 0.0, ready
    for _ in range(MOST_DAYS):
        if had >= needed:
            return day
        day -= timedelta(days=1)
        had += year.share[day.month - 1]
    return None


def cut_by(species: str, ready: date, year: DryingYear) -> CutBy:
    """The latest day to have this wood split and stacked, to be dry enough on ``ready``."""
    row = dried(species)
    if row is None:
        return CutBy(species, None, None, None, None)
    factor: Row = read_keyed("woodpile")["split_factor"]
    needed = [
        effective_days(row, float(text), number("dry_enough", "1"))
        for text in (factor.value, factor.high, factor.low)
    ]
    day, early, late = (latest(ready, days, year) for days in needed)
    return CutBy(species, day, early, late, needed[0])


def creosote(moisture: float) -> str:
    """How fast the flue fouls with wood of this moisture (wet basis), in a word."""
    steps = (("creosote_severe", "severe"), ("creosote_much", "much"), ("creosote_some", "some"))
    words = (word for key, word in steps if moisture > number(key, "1") + 1e-9)
    return next(words, "little")
