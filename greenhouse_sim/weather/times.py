"""Stamps of a plain file: offsets, hour-starting or hour-ending, minutes past the hour."""

from __future__ import annotations

import re

import numpy as np

from greenhouse_sim.errors import WeatherError
from greenhouse_sim.weather.rows import Rows

Array = np.ndarray
HOUR_S = 3600
_STAMP = re.compile(
    r"([0-9]{4}-[0-9]{2}-[0-9]{2})[ T]([0-9]{2}:[0-9]{2})(?::[0-9]{2}(?:\.0+)?)?"
    r" ?(Z|[+-][0-9]{2}:?[0-9]{2})?"
)


def read_stamps(
    texts: list[str], file_row: Array, path: str, utc_offset_h: float | None
) -> tuple[Array, float | None, list[str]]:
    """Stamps as local standard time, the offset from universal time, and remarks.

    A stamp with an offset (2026-01-31T04:00-05:00) is moved to standard time:
    the offset given or, where none is, the lowest one among the stamps.
    """
    clocks, zones = [], []
    for text, row in zip(texts, file_row, strict=True):
        match = _STAMP.fullmatch(text.strip())
        if match is None:
            raise _unreadable(text, row, path)
        day, clock, zone = match.groups()
        clocks.append(f"{day}T{clock}")
        zones.append(zone)
    stamps = _parse(clocks, file_row, path)
    kinds = set(zones)
    if kinds == {None}:
        return stamps, utc_offset_h, []
    if None in kinds:
        at = zones.index(None)
        raise WeatherError(
            f"{path}, row {file_row[at]}: stamp {texts[at]!r} has no offset while "
            "others have one; write all stamps alike, such as 2026-01-31T04:00-06:00"
        )
    hours = {zone: _hours(zone) for zone in kinds}
    offset = min(hours.values()) if utc_offset_h is None else utc_offset_h
    move = np.array([round((offset - hours[zone]) * HOUR_S) for zone in zones])
    note = f"stamps moved to local standard time, {offset:+g} h from universal time"
    return stamps + move.astype("timedelta64[s]"), offset, [note] if move.any() else []


def _unreadable(text: str, row: int, path: str) -> WeatherError:
    return WeatherError(
        f"{path}, row {row}: cannot read the time {text[:40]!r}; "
        "write year, month, day and hour, such as 2026-01-31 04:00"
    )


def _parse(clocks: list[str], file_row: Array, path: str) -> Array:
    """ISO texts as datetime64[s]; 24:00 is midnight at the end of its day."""
    late = [clock.endswith("24:00") for clock in clocks]
    if any(late):
        clocks = [clock.replace("T24:00", "T00:00") for clock in clocks]
    try:
        stamps = np.array(clocks, dtype="datetime64[s]")
    except ValueError:
        for clock, row in zip(clocks, file_row, strict=True):
            try:
                np.datetime64(clock, "s")
            except ValueError as problem:
                raise _unreadable(clock, row, path) from problem
        raise
    return stamps + np.array(late).astype("timedelta64[D]")


def _hours(text: str) -> float:
    if text == "Z":
        return 0.0
    sign = -1.0 if text[0] == "-" else 1.0
    digits = text[1:].replace(":", "")
    return sign * (int(digits[:2]) + int(digits[2:]) / 60.0)


def to_hours(rows: Rows, ending: bool) -> None:
    """Turn stamps into beginnings of hours, in place; rows within an hour are averaged.

    Steps of an hour: an hour-ending stamp moves an hour back; a stamp at half
    past is the middle of its hour; other minutes (53 past) round to the nearest hour.
    """
    stamps = rows.stamps
    steps = np.diff(stamps).astype(int)
    step = int(np.median(steps)) if len(steps) else HOUR_S
    if len(steps) and (steps > 0).all() and step <= HOUR_S // 2:
        _average(rows, step, ending)
        return
    into = stamps.astype(np.int64) % HOUR_S
    if into.any():
        _round(rows, into, rising=bool((steps > 0).all()))
        if (into == HOUR_S // 2).all():
            return
    if ending:
        rows.stamps = rows.stamps - np.timedelta64(HOUR_S, "s")


def _round(rows: Rows, into: Array, rising: bool) -> None:
    """Stamps to the full hour: half past down, others to the nearest; one row is kept an hour."""
    down = into <= HOUR_S // 2
    whole = rows.stamps.astype(np.int64) - into + np.where(down, 0, HOUR_S)
    rows.stamps = whole.astype("datetime64[s]")
    usual = int(np.bincount(into).argmax())
    if (into == HOUR_S // 2).all():
        rows.notes.append("stamps at half past taken as the middle of their hour")
        return
    rows.notes.append(f"stamps at :{usual // 60:02d} past rounded to the nearest hour")
    order = np.lexsort((np.abs(into - usual), whole))
    _, first = np.unique(whole[order], return_index=True)
    if not rising or len(first) == len(whole):
        return
    kept = np.sort(order[first])
    dropped = len(whole) - len(kept)
    rows.notes.append(f"{dropped} rows between the usual ones left out")
    rows.stamps, rows.file_row = rows.stamps[kept], rows.file_row[kept]
    rows.columns = {key: values[kept] for key, values in rows.columns.items()}


def _average(rows: Rows, step: int, ending: bool) -> None:
    """Means of the hours; an hour with fewer than half of its rows stays missing."""
    begin = rows.stamps.astype(np.int64) - (step if ending else 0)
    hour = begin // HOUR_S
    hours, first, member = np.unique(hour, return_index=True, return_inverse=True)
    for key, values in rows.columns.items():
        known = ~np.isnan(values)
        count = np.bincount(member, known)
        total = np.bincount(member, np.where(known, values, 0.0))
        enough = count >= HOUR_S / step / 2.0
        rows.columns[key] = np.where(enough, total / np.maximum(count, 1.0), np.nan)
    rows.stamps = (hours * HOUR_S).astype("datetime64[s]")
    rows.file_row = rows.file_row[first]
    rows.notes.append(f"rows of {step // 60} minutes averaged to hours")
