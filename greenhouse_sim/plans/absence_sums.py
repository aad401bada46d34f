"""Absences summed up: by week, by length, by month; what help is worth and what an alarm gives."""

from __future__ import annotations

from collections.abc import Iterator
from datetime import date
from typing import NamedTuple

import numpy as np

from greenhouse_sim.plans.absence import FULL_H, Absence, Left
from greenhouse_sim.plans.departures import DAY_H, MOST_DAYS, Evenings
from greenhouse_sim.plans.pile import months
from greenhouse_sim.plans.quantiles import quantile

Array = np.ndarray
SHARES = (0.5, 0.9, 1.0)
"""Shares of winters for which a safe absence is told."""
WEEK = 7


class Week(NamedTuple):
    """A week of departures. Hours from the departure; inf where it never came about."""

    first: date
    last: date
    fire_h: float
    """Middle of all its departures in all winters."""
    below_h: float
    hurt_h: float
    safe_h: tuple[float, ...]
    """For each of `SHARES`: hours that go well in that share of winters, whichever evening of the
    week one leaves on; two weeks where the crop was not hurt."""
    looked_h: float
    """Hours that could be looked at: two weeks, or to the end of the season."""
    helper_holds: int
    """Winters in which a helper once a day brings the crop through a week, whichever evening."""
    winters: int


class Warned(NamedTuple):
    """What a low alarm gives, over all departures of all winters."""

    at: float | None
    """°C; None for an alarm on the fire itself, which rings when it is out."""
    rings: float
    """Share of departures after which it rings."""
    shortest_h: float
    """Hours from the ring to the crop's harm: the fewest, one in ten, the middle; NaN where the
    crop was never hurt."""
    tenth_h: float
    middle_h: float
    for_nothing: float
    """Share of rings after which the crop was not hurt though nobody came."""


class Hot(NamedTuple):
    """How a month's departures fare with the vents shut."""

    month: str
    share: float
    """Of departures: over the high alarm by the end of the second day."""
    after_h: float
    """Middle of those, hours from the departure; NaN for none."""


class Burnt(NamedTuple):
    """Fuel of the back-up for an absence of so many days, J."""

    days: int
    middle_j: float
    most_j: float


class Loads(NamedTuple):
    """What a helper puts in, by month of departure."""

    month: str
    kg: float
    """Middle of the loads, kg as fired; NaN for none."""
    most_kg: float
    fire_h: float
    """Hours that a load left to itself lasts in nine of ten departures for which one was made; of
    the whole season's where a month has none, NaN where the season has none."""
    heat_h: float
    """Hours that the house stays over its setpoint on nine of ten evenings, load or none."""


def safe_hours(left: Left) -> Array:
    """Hours that went well from each departure, at most those looked at; shape of `Left`."""
    return np.where(np.isinf(left.hurt_h), left.run_h, left.hurt_h)


def chances(left: Left, days: int = MOST_DAYS) -> Array:
    """Share of winters in which an absence of 1 to ``days`` days goes well.

    Shape (days, evenings); NaN where the season ends before the return.
    """
    hours = safe_hours(left)
    open_end = np.isinf(left.hurt_h)
    found = np.full((days, hours.shape[1]), np.nan)
    for n in range(days):
        back = DAY_H * (n + 1)
        known = (hours >= back) | ~open_end
        known &= ~np.isnan(hours)
        # a season that ends before the return tells nothing of the others either
        whole = np.all(known | np.isnan(hours), axis=0) & known.any(axis=0)
        good = np.sum(known & (hours >= back), axis=0)
        found[n, whole] = good[whole] / known.sum(axis=0)[whole]
    return found


def longest_days(left: Left, share: float) -> Array:
    """Longest absence in whole days that goes well in ``share`` of winters; shape (evenings,)."""
    hours = safe_hours(left)
    return np.array([_hours_for(column, share) // DAY_H for column in hours.T])


def _hours_for(hours: Array, share: float) -> float:
    known = hours[~np.isnan(hours)]
    return quantile(known, 1.0 - share) if known.size else np.nan


def middle(values: Array) -> float:
    """Median of what is known; inf where the middle one never came about."""
    known = np.sort(values[~np.isnan(values)].ravel())
    if not known.size:
        return np.nan
    low, high = known[(known.size - 1) // 2], known[known.size // 2]
    return float(high if np.isinf(high) else 0.5 * (low + high))


def weeks(found: Absence) -> tuple[Week, ...]:
    """The season's departures by the week."""
    own, helped = found.own, found.helped_backed or found.helped
    with_help = safe_hours(helped)
    rows = []
    for first in range(0, len(found.evenings.days), WEEK):
        part = slice(first, first + WEEK)
        days = found.evenings.days[part]
        worst = np.nanmin(np.minimum(own.hurt_h[:, part], FULL_H), axis=1)
        looked = float(np.nanmax(own.run_h[:, part]))
        lasts = np.isinf(helped.hurt_h[:, part]) | (with_help[:, part] >= WEEK * DAY_H)
        lasts |= np.isnan(helped.hurt_h[:, part])
        rows.append(
            Week(
                days[0],
                days[-1],
                middle(own.fire_out_h[:, part]),
                middle(own.below_h[:, part]),
                middle(own.hurt_h[:, part]),
                tuple(quantile(worst, 1.0 - share) for share in SHARES),
                looked,
                int(lasts.all(axis=1).sum()),
                len(worst),
            )
        )
    return tuple(rows)


def warnings(found: Absence) -> tuple[Warned, ...]:
    """What each low alarm gives while nobody is there, and then one on the fire itself."""
    own = found.own
    rows = [_warned(at, own.alarm_h[..., k], own) for k, at in enumerate(found.terms.alarms)]
    if np.isfinite(own.fire_out_h).any():
        rows.append(_warned(None, own.fire_out_h, own))
    return tuple(rows)


def _warned(at: float | None, rings: Array, own: Left) -> Warned:
    left = ~np.isnan(own.hurt_h)
    rang = left & np.isfinite(rings)
    hurt = rang & np.isfinite(own.hurt_h)
    hours = np.maximum(own.hurt_h[hurt] - rings[hurt], 0.0) if hurt.any() else np.array([np.nan])
    low, tenth, half = (float(np.quantile(hours, q)) for q in (0.0, 0.1, 0.5))
    nothing = float((rang & ~hurt).sum() / rang.sum()) if rang.any() else np.nan
    return Warned(at, float(rang.sum() / left.sum()), low, tenth, half, nothing)


def by_month(when: Evenings) -> Iterator[tuple[str, slice]]:
    """Months of departures, as "2026-01", and their places."""
    for span in months(when.days):
        yield span.name, slice(span.start, span.stop)


def heat(found: Absence) -> tuple[Hot, ...]:
    """What happens behind shut vents, by month of departure."""
    rows = []
    for name, part in by_month(found.evenings):
        hours = found.shut.hot_h[:, part]
        hot = hours[np.isfinite(hours)]
        share = hot.size / max(1, int((~np.isnan(hours)).sum()))
        rows.append(Hot(name, share, float(np.median(hot)) if hot.size else np.nan))
    return tuple(rows)


def burnt(found: Absence, lengths: tuple[int, ...] = (1, 3, 7, 14)) -> tuple[Burnt, ...]:
    """Fuel that the back-up takes for absences of these lengths, from any evening."""
    rows = []
    for days in lengths:
        fuel = found.fuel_j[..., days - 1]
        fuel = fuel[~np.isnan(fuel)]
        if fuel.size:
            rows.append(Burnt(days, float(np.median(fuel)), float(fuel.max())))
    return tuple(rows)


def loads(found: Absence) -> tuple[Loads, ...]:
    """What a helper puts in at a visit, by month of departure, without any back-up."""
    rows = []
    # a fire that is let die in the sun tells nothing of a load: only those that were fed count
    fed = np.where(found.alone.loaded_kg > 0.0, found.alone.fire_out_h, np.nan)
    whole = _lasts(fed)
    for name, part in by_month(found.evenings):
        # the load at departure is the grower's own
        visits, kg = found.helped.visits[:, part], found.helped.loaded_kg[:, part]
        each = (kg / np.maximum(visits, 1.0))[visits > 0.0]
        lasts = _lasts(fed[:, part])
        rows.append(
            Loads(
                name,
                float(np.median(each)) if each.size else np.nan,
                float(each.max()) if each.size else np.nan,
                whole if np.isnan(lasts) else lasts,
                _lasts(found.alone.below_h[:, part]),
            )
        )
    return tuple(rows)


def _lasts(hours: Array) -> float:
    """Hours that nine of ten of these last, at most those looked at; NaN for none."""
    known = np.minimum(hours[~np.isnan(hours)], FULL_H)
    return float(np.quantile(known, 0.1)) if known.size else np.nan
