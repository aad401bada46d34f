"""What the journal says so far: fuel used, what is left of the pile, nights up."""

from __future__ import annotations

from collections.abc import Sequence
from datetime import date, datetime, timedelta
from typing import NamedTuple

from greenhouse_sim.journal.entry import CARRIED, LOAD, PILE, Entry

NOON_H = 12


class Left(NamedTuple):
    """What is left of the pile."""

    kg: float
    """As fired; never below 0."""
    counted_on: date
    """The day of the count that it goes back to."""
    counted_kg: float
    used_kg: float
    """Since then."""


def between(entries: Sequence[Entry], first: date, last: date) -> list[Entry]:
    """Entries from the first day to the last, both included."""
    return [one for one in entries if first <= one.at.date() <= last]


def used_kg(entries: Sequence[Entry]) -> float:
    """Fuel used, kg: loads, or what was carried in where that is more.

    Few growers note both each time. What was carried in and not yet burnt is gone from the pile
    too.
    """
    sums = [sum(one.kg or 0.0 for one in entries if one.kind == kind) for kind in (LOAD, CARRIED)]
    return max(sums)


def left_of(entries: Sequence[Entry], begun: tuple[date, float] | None, on: date) -> Left | None:
    """What is left of the pile on the evening of a day.

    Parameters
    ----------
    entries
        Of the whole journal.
    begun
        The first day of the season and the pile that it began with, kg; None where unknown. A
        later count of the pile goes before it.
    on
        The day.

    Returns
    -------
    Left or None
        None where the pile was never counted.
    """
    counts = [one for one in entries if one.kind == PILE and one.at.date() <= on]
    if begun is not None:
        counts = [one for one in counts if one.at.date() >= begun[0]]
    since: datetime
    if counts:
        last = max(counts, key=lambda one: one.at)
        since, counted = last.at, last.kg or 0.0
    elif begun is not None:
        since, counted = datetime(begun[0].year, begun[0].month, begun[0].day), begun[1]
    else:
        return None
    used = used_kg([one for one in entries if since <= one.at and one.at.date() <= on])
    return Left(max(counted - used, 0.0), since.date(), counted, used)


def nights_up(entries: Sequence[Entry]) -> int:
    """Nights in which somebody got up at least once; a night ends at noon."""
    return len({(one.at - timedelta(hours=NOON_H)).date() for one in entries if one.woken})
