"""Days of every year: a stretch of them, or days without fire."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Any, ClassVar

from greenhouse_sim.scenario.clock import MonthDay
from greenhouse_sim.scenario.kinds import Kind
from greenhouse_sim.scenario.problem import Problem, shown

MonthAndDay = tuple[int, int]
MOST_DAYS = 150


@dataclass(frozen=True, kw_only=True)
class DaySpan(Kind):
    """First and last day of a stretch, ``["11-15", "02-15"]``, read into two (month, day)."""

    quotes: ClassVar[bool] = False
    example: str = '["11-15", "02-15"]'
    none: str | None = "none"

    def read(self, value: Any, si: bool) -> tuple[MonthAndDay, MonthAndDay]:
        if not isinstance(value, (list, tuple)) or len(value) != 2:
            raise Problem(f"{shown(value)} is not a first and a last day; write {self.example}")
        first, last = (MonthDay().read(day, si) for day in _written(value))
        if first == last:
            raise Problem(f"starts and ends on one day; write two, as in {self.example}")
        return first, last


@dataclass(frozen=True, kw_only=True)
class FireBans(Kind):
    """Days without fire: a list of days, or how many in a winter, drawn at random."""

    quotes: ClassVar[bool] = False
    example: str = '["01-12", "01-13"]'

    def read(self, value: Any, si: bool) -> tuple[MonthAndDay, ...] | int:
        if value == "none":
            return ()
        if isinstance(value, int) and not isinstance(value, bool):
            if not 0 <= value <= MOST_DAYS:
                raise Problem(f"{value} is out of range; write 0 to {MOST_DAYS} days of a winter")
            return value
        if not isinstance(value, (list, tuple)):
            raise Problem(
                f"{shown(value)} is neither a list of days nor a number of them; write "
                f"{self.example}, or 8 for eight days a winter drawn at random"
            )
        return tuple(sorted({MonthDay(example="01-12").read(day, si) for day in _written(value)}))


def _written(days: Any) -> list[Any]:
    """Days as in the file, also where they were read already."""
    return [f"{day[0]}-{day[1]}" if isinstance(day, (list, tuple)) else day for day in days]
