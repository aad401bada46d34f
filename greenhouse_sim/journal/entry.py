"""One entry of the journal, and what it may say."""

from __future__ import annotations

from datetime import datetime, timedelta
from typing import NamedTuple

from greenhouse_sim.errors import JournalError

LOAD = "load"
"""Fuel put into the heater."""
VISIT = "visit"
"""Somebody looked in and loaded nothing."""
CARRIED = "carried"
"""Fuel taken from the pile and brought to the heater."""
PILE = "pile"
"""The pile as counted: what is left of it."""
READING = "reading"
"""A thermometer read."""
CUT = "cut"
"""The power was off."""
KINDS = (LOAD, VISIT, CARRIED, PILE, READING, CUT)

YEARS = (1990, 2200)
MOST_KG = 1.0e6
COLDEST_C, HOTTEST_C = -70.0, 80.0
LONGEST_CUT = timedelta(days=60)
DAY_MIN = 1440.0


class Entry(NamedTuple):
    """What was done or read at a moment; what an entry does not say is None."""

    at: datetime
    """Local standard time, whole minutes."""
    kind: str
    """One of `KINDS`."""
    kg: float | None = None
    """Fuel as fired: of a load, of what was carried in, or of the pile."""
    indoor_C: float | None = None
    outdoor_C: float | None = None
    minutes: float | None = None
    """Work that it took."""
    woken: bool = False
    """Somebody got up for it."""
    until: datetime | None = None
    """End of a power cut."""
    note: str = ""
    number: int | None = None
    """Its number in the journal; None before it is kept."""


def check(entry: Entry, where: str) -> Entry:
    """The entry, if it can be; its moments cut to whole minutes.

    Raises
    ------
    JournalError
        With ``where``, what cannot be and what to write instead.
    """
    if entry.kind not in KINDS:
        raise JournalError(f"{where}: {entry.kind[:40]!r} is no kind; write {', '.join(KINDS)}")
    if not YEARS[0] <= entry.at.year <= YEARS[1]:
        raise JournalError(f"{where}: {entry.at.year} is not a year of this journal")
    weighed = entry.kind in (LOAD, CARRIED, PILE)
    if weighed and entry.kg is None:
        raise JournalError(f'{where}: a {entry.kind} needs its amount; write one such as "40 lb"')
    if not weighed and entry.kg is not None:
        raise JournalError(f"{where}: a {entry.kind} has no amount of fuel; leave it out")
    least = 0.0 if entry.kind == PILE else 1e-6
    if entry.kg is not None and not least <= entry.kg <= MOST_KG:
        raise JournalError(f"{where}: {entry.kg:g} kg of fuel cannot be; write more than 0")
    for name, value in (("indoor", entry.indoor_C), ("outdoor", entry.outdoor_C)):
        if value is not None and not COLDEST_C <= value <= HOTTEST_C:
            raise JournalError(
                f"{where}: {name} {value:.0f} °C cannot be; it lies between {COLDEST_C:.0f} and "
                f"{HOTTEST_C:.0f} °C (is its unit right?)"
            )
    if entry.kind == READING and entry.indoor_C is None and entry.outdoor_C is None:
        raise JournalError(f"{where}: a reading needs a temperature, indoor or outdoor")
    if entry.minutes is not None and not 0.0 <= entry.minutes <= DAY_MIN:
        raise JournalError(f"{where}: {entry.minutes:g} minutes of work; write 0 to 1440")
    _check_cut(entry, where)
    until = None if entry.until is None else entry.until.replace(second=0, microsecond=0)
    return entry._replace(
        at=entry.at.replace(second=0, microsecond=0), until=until, note=" ".join(entry.note.split())
    )


def _check_cut(entry: Entry, where: str) -> None:
    if entry.kind != CUT:
        if entry.until is not None:
            raise JournalError(f"{where}: only a power cut has an end; leave it out")
        return
    if entry.until is None or not entry.at < entry.until <= entry.at + LONGEST_CUT:
        raise JournalError(
            f"{where}: a power cut needs its end, after its beginning and within "
            f"{LONGEST_CUT.days} days of it"
        )
