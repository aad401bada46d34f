"""What a weather record holds: span, gaps, doubtful values, how cold it gets and for how long."""

from __future__ import annotations

from typing import NamedTuple

import numpy as np

from greenhouse_sim.errors import WeatherError
from greenhouse_sim.weather.degree import coldest_spells, degree_days, design_temperature_C
from greenhouse_sim.weather.doubtful import Doubt, doubtful
from greenhouse_sim.weather.plausible import months_of
from greenhouse_sim.weather.weather import Weather
from greenhouse_sim.weather.winter import MonthDay, winters

Array = np.ndarray
NORTH: tuple[MonthDay, MonthDay] = ((10, 1), (4, 30))
SOUTH: tuple[MonthDay, MonthDay] = ((4, 1), (10, 31))
HOUR = np.timedelta64(3600, "s")
DAY_H = 24
"""Hours that a month needs to have a mean at all."""


class Month(NamedTuple):
    """A calendar month over all years of the record; temperatures in °C."""

    month: int
    mean_C: float
    mean_low_C: float
    mean_high_C: float
    lowest_C: float
    highest_C: float
    sun_Wh_m2_day: float
    wind_m_s: float


class Hole(NamedTuple):
    """A gap too long to fill."""

    first: str
    last: str
    hours: int
    what: str


class Spell(NamedTuple):
    """The coldest days in a row."""

    first: str
    days: int
    mean_C: float
    lowest_C: float


class DegreeYear(NamedTuple):
    """Heating degree-days from one summer to the next."""

    name: str
    degree_days_K: float


class Findings(NamedTuple):
    """All that is found; SI, stamps as ISO text."""

    record: Weather
    known_hours: int
    holes: tuple[Hole, ...]
    doubts: tuple[Doubt, ...]
    winters: tuple[str, ...]
    no_winter: str
    """Why no whole winter can be cut, or empty."""
    design_99_C: float | None
    design_996_C: float | None
    coldest_C: float
    coldest_at: str
    years: tuple[DegreeYear, ...]
    spells: tuple[Spell, ...]
    months: tuple[Month, ...]


def known(record: Weather) -> Array:
    """True in the hours that are no stand-ins, shape (hours,)."""
    good = np.ones(record.hours, dtype=bool)
    for gap in record.gaps:
        good[gap.first : gap.stop] = False
    return good


def examine(record: Weather) -> Findings:
    """Look a record over; stand-ins of its gaps count nowhere."""
    good = known(record)
    times = record.times()
    held, no_winter = _winters(record)
    t_out = np.where(good, record.t_out_C, np.nan)
    at = int(np.nanargmin(t_out))
    months = months_of(times)
    south = record.latitude < 0.0
    return Findings(
        record=record,
        known_hours=int(good.sum()),
        holes=_holes(record),
        doubts=doubtful(record, good),
        winters=held,
        no_winter=no_winter,
        design_99_C=design_temperature_C(t_out, months, 0.01, south),
        design_996_C=design_temperature_C(t_out, months, 0.004, south),
        coldest_C=float(t_out[at]),
        coldest_at=_iso(times[at]),
        years=tuple(DegreeYear(name, sum_K) for name, sum_K in degree_days(t_out, times, south)),
        spells=tuple(
            Spell(str(first), days, mean, low)
            for first, days, mean, low in coldest_spells(t_out, times)
        ),
        months=_months(record, good, months),
    )


def _winters(record: Weather) -> tuple[tuple[str, ...], str]:
    season = SOUTH if record.latitude < 0.0 else NORTH
    try:
        return tuple(winter.name for winter in winters(record, *season)), ""
    except WeatherError as problem:
        return (), str(problem)


def _holes(record: Weather) -> tuple[Hole, ...]:
    times = record.times()
    order = sorted(record.gaps, key=lambda gap: gap.first)
    return tuple(
        Hole(_iso(times[gap.first]), _iso(times[gap.stop - 1]), gap.stop - gap.first, gap.what)
        for gap in order
    )


def _iso(stamp: np.datetime64) -> str:
    return str(stamp.astype("datetime64[m]"))


def _months(record: Weather, good: Array, months: Array) -> tuple[Month, ...]:
    days = record.times().astype("datetime64[D]")
    found = []
    for month in range(1, 13):
        here = good & (months == month)
        if here.sum() < DAY_H:
            continue
        t_out = record.t_out_C[here]
        edges = np.flatnonzero(np.diff(days[here].astype(int), prepend=-1_000_000))
        low = np.minimum.reduceat(t_out, edges)
        high = np.maximum.reduceat(t_out, edges)
        found.append(
            Month(
                month,
                float(t_out.mean()),
                float(low.mean()),
                float(high.mean()),
                float(low.min()),
                float(high.max()),
                float(24.0 * record.ghi_W[here].mean()),
                float(record.wind_m_s[here].mean()),
            )
        )
    return tuple(found)
