"""Guess which columns of a CSV make the time, in which order, and by which clock."""

from __future__ import annotations

import re
from collections.abc import Callable, Sequence
from pathlib import Path
from typing import Any, NamedTuple

import numpy as np

from greenhouse_sim.errors import WeatherError
from greenhouse_sim.weather.mapping import ISO, STANDARD, UNIVERSAL

Words = Callable[[str], str]
FORMATS = (
    "%Y%m%d%H", "%Y%m%d%H%M", "%Y%m%d", ISO, "%Y/%m/%d %H:%M", "%Y/%m/%d %H:%M:%S", "%Y/%m/%d",
    "%m/%d/%Y %H:%M", "%d/%m/%Y %H:%M", "%m/%d/%Y %H:%M:%S", "%d/%m/%Y %H:%M:%S",
    "%m/%d/%Y %I:%M %p", "%m/%d/%Y %I:%M:%S %p", "%d/%m/%Y %I:%M %p", "%m/%d/%Y", "%d/%m/%Y",
    "%m/%d/%y %H:%M", "%d/%m/%y %H:%M", "%m/%d/%y %I:%M %p", "%m/%d/%y", "%d.%m.%Y %H:%M",
    "%d.%m.%Y %H:%M:%S", "%d.%m.%Y", "%d.%m.%y %H:%M", "%d-%m-%Y %H:%M", "%d-%b-%Y %H:%M",
    "%d-%b-%Y", "%Y %m %d %H", "%Y %m %d %H:%M", "%Y %m %d %H %M", "%Y %m %d", "%Y-%m-%d %H",
    "%Y%m%d %H", "%Y%m%d %H:%M", "%Y%m%d %H%M", "%m/%d/%Y %H", "%d.%m.%Y %H",
)  # fmt: skip
WHOLE = r"\b(date ?time|time ?stamp|mess datum|date ?utc|valid|date time)\b"
DATE = r"\b(date|datum|day|fecha|dat)\b"
CLOCK = r"\b(time|hour|hr|zeit|uhrzeit|heure|hora|hhmm)\b"
PARTS = (r"\b(year|jahr|yyyy|annee)\b", r"\b(month|monat|mm|mois)\b", r"\b(day|tag|dd|jour)\b")
MOST_DOUBLED = 0.1
"""Share of rows whose time may stand already (judgement): an autumn night has one a year."""
TRIED = 4000
"""Rows on which a format is tried."""


class TimeGuess(NamedTuple):
    """Columns, format and clock of the stamps."""

    columns: tuple[str, ...]
    form: str
    clock: str
    daily: bool
    doubts: tuple[str, ...]


def guess_time(data: Any, headings: Sequence[str], words_of: Words, path: Path) -> TimeGuess:
    """How the rows of a frame are stamped.

    Raises
    ------
    WeatherError
        No column of time, or none of the known ways to write it.
    """
    names = _columns(headings, words_of)
    if not names:
        raise WeatherError(
            f"{path}: no column of time among {', '.join(headings[:8])}; name one Date (and one "
            "Time), or write the mapping by hand (see the README)"
        )
    text = data[headings.index(names[0])]
    for name in names[1:]:
        text = text + " " + data[headings.index(name)]
    text = text[text.str.strip() != ""].str.strip()
    if len(text) < 2:
        raise WeatherError(f"{path}: has fewer than two rows with a time; there is nothing to map")
    form = _format(text, path)
    stamps = parse(text, form)
    steps = np.diff(stamps.astype("datetime64[s]")).astype(int)
    daily = bool(len(steps)) and abs(int(np.median(steps))) == 86400
    clock = _clock(" ".join(words_of(name) for name in names), stamps, daily)
    read_as = f"stamps such as {text.iloc[0]!r} are read as {form}"
    return TimeGuess(names, form, clock, daily, (read_as,) if form in _twins() else ())


def _columns(headings: Sequence[str], words_of: Words) -> tuple[str, ...]:
    words = {heading: words_of(heading) for heading in headings}

    def first(pattern: str, taken: Sequence[str] = ()) -> str:
        hits = (h for h, text in words.items() if re.search(pattern, text) and h not in taken)
        return next(hits, "")

    parts = [first(pattern) for pattern in PARTS]
    whole, date = first(WHOLE), first(DATE, [p for p in parts if p] if all(parts) else ())
    if whole:
        return (whole,)
    if date:
        clock = first(CLOCK, [date])
        return (date, clock) if clock else (date,)
    if all(parts):
        clock = first(CLOCK, parts)
        return (*parts, clock) if clock else tuple(parts)
    alone = first(CLOCK)
    return (alone,) if alone else ()


def parse(text: Any, form: str) -> np.ndarray:
    """Stamps of texts by a format, NaT where it does not fit."""
    import pandas as pd

    form = "ISO8601" if form == ISO else form
    found = pd.to_datetime(text, format=form, errors="coerce", utc=True)
    return np.asarray(pd.DatetimeIndex(found).tz_localize(None).to_numpy())


def _format(text: Any, path: Path) -> str:
    """The format that fits all rows tried, and of several the one with the smoothest steps."""
    tried = text.iloc[:TRIED]
    tried = tried.where(~tried.str.contains(r"24:00"), tried.str.replace("24:00", "23:59"))
    best: tuple[int, str] | None = None
    for form in FORMATS:
        stamps = parse(tried, form)
        if np.isnat(stamps).any() or not _years_are_sane(stamps):
            continue
        steps = np.diff(stamps.astype("datetime64[s]")).astype(int)
        uneven = int((steps != np.median(steps)).sum()) if len(steps) else 0
        if best is None or uneven < best[0]:
            best = (uneven, form)
    if best is None:
        raise WeatherError(
            f"{path}: cannot tell how times such as {tried.iloc[0]!r} are written; write them as "
            "2026-01-31 04:00"
        )
    return best[1]


def _years_are_sane(stamps: np.ndarray) -> bool:
    years = stamps.astype("datetime64[Y]").astype(int) + 1970
    return bool(((years >= 1840) & (years <= 2100)).all())


def _twins() -> set[str]:
    """Formats whose day and month could be the other way round."""
    return {form for form in FORMATS if re.match(r"%[md]/%[md]/", form)}


def _clock(words: str, stamps: np.ndarray, daily: bool) -> str:
    """Whose clock it is; empty where it jumps in autumn and only the user knows its zone."""
    if daily:
        return STANDARD
    if re.search(r"\b(utc|gmt|zulu|mess datum|dateutc)\b", words):
        return UNIVERSAL
    if re.search(r"\b(lst|standard)\b", words):
        return STANDARD
    return "" if _jumps_in_autumn(stamps) else STANDARD


def _jumps_in_autumn(stamps: np.ndarray) -> bool:
    """Whether a Sunday night of September to November has an hour twice.

    Where many times stand twice it is no clock: stations are mixed, which the reader tells.
    """
    if 1.0 - len(np.unique(stamps)) / max(len(stamps), 1) > MOST_DOUBLED:
        return False
    steps = np.diff(stamps.astype("datetime64[s]")).astype(int)
    if (steps < 0).mean() > 0.5:
        stamps, steps = stamps[::-1], -steps[::-1]
    back = np.flatnonzero((steps <= 0) & (steps >= -3600))
    days = stamps[back].astype("datetime64[D]")
    sunday = (days.astype(int) + 4) % 7 == 0
    month = days.astype("datetime64[M]").astype(int) % 12 + 1
    hour = (stamps[back] - days).astype("timedelta64[h]").astype(int)
    return bool((sunday & np.isin(month, (3, 4, 9, 10, 11)) & (hour <= 3)).any())
