"""Times of day, days, dates and spans as a grower writes them."""

from __future__ import annotations

import re
from dataclasses import dataclass
from datetime import date, datetime, time
from itertools import pairwise
from typing import Any, ClassVar

from greenhouse_sim.scenario.kinds import Kind
from greenhouse_sim.scenario.problem import Problem, did_you_mean, shown

DAYS = ("mon", "tue", "wed", "thu", "fri", "sat", "sun")
_CLOCK = re.compile(r"([0-9]{1,2}):([0-9]{2})$")
_YEAR_WITHOUT_LEAP_DAY = 2001


@dataclass(frozen=True, kw_only=True)
class Clock(Kind):
    """A time of day, read into hours after midnight (0 up to 24)."""

    example: str = "06:00"

    def read(self, value: Any, si: bool) -> float:
        if isinstance(value, time):
            return value.hour + value.minute / 60.0 + value.second / 3600.0
        match = _CLOCK.match(value.strip()) if isinstance(value, str) else None
        hour, minute = (int(match[1]), int(match[2])) if match else (99, 99)
        if minute > 59 or hour * 60 + minute > 24 * 60:
            raise Problem(
                f'{shown(value)} is not a time of day; write one such as "{self.example}" '
                "(hours 00 to 23, minutes 00 to 59)"
            )
        return hour + minute / 60.0


@dataclass(frozen=True, kw_only=True)
class MonthDay(Kind):
    """A day of any year, ``"10-01"``, read into (month, day)."""

    example: str = "10-01"

    def read(self, value: Any, si: bool) -> tuple[int, int]:
        match = (
            re.match(r"\s*([0-9]{1,2})-([0-9]{1,2})\s*$", value) if isinstance(value, str) else None
        )
        try:
            if match is None:
                raise ValueError
            day = date(_YEAR_WITHOUT_LEAP_DAY, int(match[1]), int(match[2]))
        except ValueError:
            raise Problem(
                f"{shown(value)} is not a day of every year; "
                f'write month and day as in "{self.example}"'
            ) from None
        return (day.month, day.day)


@dataclass(frozen=True, kw_only=True)
class Trips(Kind):
    """Stretches of time, read into sorted (from, to) pairs that do not overlap."""

    quotes: ClassVar[bool] = False
    example: str = '[["2026-01-10 17:00", "2026-01-12 18:00"]]'
    word: str = "trip"

    def read(self, value: Any, si: bool) -> tuple[tuple[datetime, datetime], ...]:
        if value == "none":
            return ()
        if not isinstance(value, (list, tuple)):
            raise Problem(f"{shown(value)} is not a list of pairs; write {self.example}")
        trips = [self._trip(number, pair) for number, pair in enumerate(value)]
        order = sorted(range(len(trips)), key=lambda number: trips[number])
        for one, other in pairwise(order):
            if trips[other][0] < trips[one][1]:
                raise Problem(
                    f"{self.word} {other + 1} starts at {trips[other][0]:%Y-%m-%d %H:%M}, before "
                    f"{self.word} {one + 1} ends at {trips[one][1]:%Y-%m-%d %H:%M}; "
                    "write overlapping ones as one",
                    other,
                )
        return tuple(trips[number] for number in order)

    def _trip(self, number: int, pair: Any) -> tuple[datetime, datetime]:
        if isinstance(pair, dict) and set(pair) == {"from", "to"}:
            pair = [pair["from"], pair["to"]]
        if not isinstance(pair, (list, tuple)) or len(pair) != 2:
            raise Problem(
                f"{shown(pair)} is not a pair of times; write {self.example[1:-1]}", number
            )
        start, end = (_moment(moment, number) for moment in pair)
        if end <= start:
            raise Problem(
                f"{self.word} {number + 1} ends at {end:%Y-%m-%d %H:%M}, not after it starts at "
                f"{start:%Y-%m-%d %H:%M}; write the earlier time first",
                number,
            )
        return start, end


def _moment(value: Any, number: int) -> datetime:
    """A point in local time; a date alone is its midnight."""
    moment: datetime | None = None
    if isinstance(value, datetime):
        moment = value
    elif isinstance(value, date):
        moment = datetime(value.year, value.month, value.day)
    elif isinstance(value, str):
        try:
            moment = datetime.fromisoformat(value.strip())
        except ValueError:
            moment = None
    if moment is None or moment.tzinfo is not None:
        raise Problem(
            f'{shown(value)} is not a local date and time; write it as in "2026-01-10 17:00"',
            number,
        )
    return moment


@dataclass(frozen=True, kw_only=True)
class Clocks(Kind):
    """A list of times of day, read into sorted hours."""

    quotes: ClassVar[bool] = False
    example: str = '["07:00", "16:30"]'

    def read(self, value: Any, si: bool) -> tuple[float, ...]:
        if value == "none":
            return ()
        if not isinstance(value, (list, tuple)):
            raise Problem(f"{shown(value)} is not a list of times; write {self.example}")
        return tuple(sorted({Clock().read(item, si) for item in value}))


@dataclass(frozen=True, kw_only=True)
class Weekdays(Kind):
    """Days of the week, ``"mon-fri"`` or ``"mon, wed, sat"``, read into numbers (0 = Monday)."""

    example: str = "mon-fri"

    def read(self, value: Any, si: bool) -> tuple[int, ...]:
        parts = value.split(",") if isinstance(value, str) else value
        if not isinstance(parts, (list, tuple)) or not parts:
            raise Problem(f'{shown(value)} names no days; write them as in "{self.example}"')
        days: set[int] = set()
        for part in parts:
            ends = [_weekday(word, self.example) for word in str(part).split("-", 1)]
            first, last = ends[0], ends[-1]
            days.update((first + step) % 7 for step in range((last - first) % 7 + 1))
        return tuple(sorted(days))


def _weekday(word: str, example: str) -> int:
    day = word.strip().lower()[:3]
    if day not in DAYS:
        raise Problem(
            f'{shown(word)} is not a day of the week{did_you_mean(word, DAYS)}; write "{example}"'
        )
    return DAYS.index(day)
