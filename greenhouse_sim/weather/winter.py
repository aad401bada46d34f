"""Cut heating seasons from a weather record."""

from __future__ import annotations

import calendar
from dataclasses import replace
from datetime import datetime, timedelta
from typing import Any

import numpy as np

from greenhouse_sim.errors import WeatherError
from greenhouse_sim.weather.checks import gap_remedy, gap_words
from greenhouse_sim.weather.weather import Gap, Weather

MonthDay = tuple[int, int]
HOUR = timedelta(hours=1)
NAMES = calendar.month_name


def winters(
    record: Weather, start: MonthDay = (10, 1), end: MonthDay = (4, 30)
) -> tuple[Weather, ...]:
    """Every whole season of a record, in order.

    A season that crosses New Year is cut from consecutive years, or, from one
    calendar or typical year, its December is joined to its own January. The
    stamps of a joined season increase: a typical year stamped 2001 gives the
    winter 2001-02, and 29 February is in it only where the file has one.

    Parameters
    ----------
    start, end
        First and last day as (month, day), both within the season; the season
        crosses New Year where the end comes before the start.

    A season that holds a gap (see `Weather.gaps`) is left out, which the notes of
    the others tell.

    Raises
    ------
    WeatherError
        A day that no calendar has, or no season wholly covered and without gaps.
    """
    for day in (start, end):
        _check_day(day, record.name)
    spans = [_span(year, start, end) for year in _years(record)]
    stop = record.start + record.hours * HOUR
    whole = [span for span in spans if span[0] >= record.start and span[1] <= stop]
    if whole:
        several = len(whole) > 1
        holed = {span: gap for span in whole if (gap := _first_gap(record, span)) is not None}
        if len(holed) == len(whole):
            raise _no_season(record, holed[whole[0]], [_name(span) for span in holed])
        told = tuple(
            f"winter {_name(span)} left out: {gap_words(gap, record.times()[0])}; to have it, fill "
            "the gap from a neighbouring station"
            for span, gap in holed.items()
        )
        return tuple(_cut(record, span, several, told) for span in whole if span not in holed)
    if _is_cycle(record):
        return (_wrapped(record, start, end),)
    raise WeatherError(
        f"weather {record.name}: covers {record.start:%Y-%m-%d %H:%M} to {stop:%Y-%m-%d %H:%M}, "
        f"not a whole season from {_words(start)} to {_words(end)}; name a file that covers it "
        "(or a whole calendar year), or shorten the season"
    )


def _check_day(day: MonthDay, name: str) -> None:
    month, number = day
    if not 1 <= month <= 12 or not 1 <= number <= calendar.monthrange(2000, month)[1]:
        raise WeatherError(
            f"weather {name}: a season cannot start or end on month {month}, day {number}; "
            'write month and day such as "10-01"'
        )


def _words(day: MonthDay) -> str:
    return f"{day[1]} {NAMES[day[0]]}"


def _years(record: Weather) -> range:
    last = record.start + (record.hours - 1) * HOUR
    return range(record.start.year - 1, last.year + 1)


def _midnight(year: int, day: MonthDay) -> datetime:
    month, number = day
    return datetime(year, month, min(number, calendar.monthrange(year, month)[1]))


def _span(year: int, start: MonthDay, end: MonthDay) -> tuple[datetime, datetime]:
    """First hour of the season that starts in a year, and the hour after its last."""
    last = _midnight(year + 1 if end < start else year, end)
    return _midnight(year, start), last + timedelta(days=1)


def _places(record: Weather, span: tuple[datetime, datetime]) -> tuple[int, int]:
    return (span[0] - record.start) // HOUR, (span[1] - record.start) // HOUR


def _first_gap(record: Weather, span: tuple[datetime, datetime]) -> Gap | None:
    first, last = _places(record, span)
    return next((gap for gap in record.gaps if gap.first < last and gap.stop > first), None)


def _no_season(record: Weather, gap: Gap, names: list[str]) -> WeatherError:
    rest = f" (and gaps in {', '.join(names[1:4])})" if len(names) > 1 else ""
    return WeatherError(
        f"weather {record.name}: {gap_words(gap, record.times()[0])}{rest}; {gap_remedy()}"
    )


def _cut(
    record: Weather, span: tuple[datetime, datetime], several: bool, told: tuple[str, ...]
) -> Weather:
    first, last = _places(record, span)
    parts = {key: values[first:last] for key, values in record.columns().items()}
    name = _name(span) if several else record.name
    return _with(record, parts, name=name, start=span[0], notes=(*record.notes, *told))


def _with(record: Weather, parts: dict[str, np.ndarray], **changes: Any) -> Weather:
    return replace(record, gaps=(), **{**parts, **changes})


def _name(span: tuple[datetime, datetime]) -> str:
    first, last = span[0].year, (span[1] - HOUR).year
    return f"{first}" if first == last else f"{first}-{last % 100:02d}"


def _is_cycle(record: Weather) -> bool:
    """True where the hour after the last is the first one again, a year on."""
    stop = record.start + record.hours * HOUR
    same = (stop.month, stop.day, stop.hour) == (
        record.start.month,
        record.start.day,
        record.start.hour,
    )
    return same and stop.year == record.start.year + 1


def _wrapped(record: Weather, start: MonthDay, end: MonthDay) -> Weather:
    """The season from one year's file, its December joined to its own January."""
    first, stop = _span(_stamp_year(record, start, end), start, end)
    own = _own_place(record, first)
    hours = (stop - first) // HOUR
    order = (own + np.arange(hours)) % record.hours
    for gap in record.gaps:
        if ((order >= gap.first) & (order < gap.stop)).any():
            raise _no_season(record, gap, [record.name])
    parts = {key: values[order] for key, values in record.columns().items()}
    joined = record.start + record.hours * HOUR - HOUR
    note = (
        f"one year's file wrapped: {_words((joined.month, joined.day))} is followed by "
        f"{_words((record.start.month, record.start.day))} of the same file, "
        f"stamped as {_name((first, stop))}"
    )
    return _with(record, parts, start=first, notes=(*record.notes, note))


def _own_place(record: Weather, first: datetime) -> int:
    """Position in the record of the month, day and hour of a season's first hour."""
    for year in (record.start.year, record.start.year + 1):
        position = (_midnight(year, (first.month, first.day)) - record.start) // HOUR
        if 0 <= position < record.hours:
            return position
    raise WeatherError(f"weather {record.name}: has no {first:%d %B}; name another file")


def _stamp_year(record: Weather, start: MonthDay, end: MonthDay) -> int:
    """Year of the season's start: the file's own, or the nearest whose 29 February fits the file.

    A joined season has as many hours as its stamps: a file with a leap day is
    stamped so that the season holds one, a file without so that it holds none.
    """
    middle = record.start + (record.hours // 2) * HOUR
    leap = _holds_leap_day(record.start, record.start + record.hours * HOUR)
    for away in (0, -1, 1, -2, 2, -3, 3):
        if _holds_leap_day(*_span(middle.year + away, start, end)) == leap:
            return middle.year + away
    return middle.year


def _holds_leap_day(first: datetime, stop: datetime) -> bool:
    leap_days = [datetime(y, 2, 29) for y in range(first.year, stop.year + 1) if calendar.isleap(y)]
    return any(first <= day < stop for day in leap_days)
