"""[routine]: when the grower is up, at home, and willing to tend the fire."""

from __future__ import annotations

from datetime import datetime
from typing import Annotated, Any

from pydantic import BeforeValidator, Field, model_validator

from greenhouse_sim.scenario.clock import Clock, Clocks, Trips, Weekdays
from greenhouse_sim.scenario.days import FireBans
from greenhouse_sim.scenario.kinds import Number, Quantity, one_of
from greenhouse_sim.scenario.problem import Problem
from greenhouse_sim.scenario.section import Section, none_or_table

_LEAST_SLEEP_H = 3.0
_MOST_SLEEP_H = 14.0


class WeekTimes(Section):
    """A time of day on weekdays and at the weekend, in hours."""

    weekday: Annotated[float, Clock()]
    weekend: Annotated[float, Clock()]

    @model_validator(mode="before")
    @classmethod
    def _one_for_all(cls, given: Any) -> Any:
        if isinstance(given, dict):
            return given
        Clock().read(given, False)
        return {"weekday": given, "weekend": given}


class Work(Section):
    """Hours away from home on working days."""

    days: Annotated[tuple[int, ...], Weekdays(), Field(examples=['"mon-fri"'])]
    """0 is Monday."""
    start_h: Annotated[float, Clock(example="08:00"), Field(alias="from", examples=['"08:00"'])]
    end_h: Annotated[float, Clock(example="17:30"), Field(alias="to", examples=['"17:30"'])]

    @model_validator(mode="after")
    def _forward(self) -> Work:
        if self.end_h <= self.start_h:
            raise Problem(
                "work ends before it starts; write the earlier time first: "
                'from = "08:00", to = "17:30"',
                "to",
            )
        return self


class Routine(Section):
    """The grower's days. Times of day are hours after midnight."""

    up: WeekTimes
    bed: WeekTimes
    gets_up_below: Annotated[
        float | None, Quantity(unit="degC", low=-60, high=50, example="36 degF", none="never")
    ]
    """Air temperature at which an alarm gets the grower up, °C; None for never."""
    away: Annotated[tuple[tuple[datetime, datetime], ...], Trips()]
    work: Annotated[Work | None, BeforeValidator(none_or_table)]
    chores: Annotated[tuple[float, ...], Clocks()]
    """Hours at which the grower looks in; empty for any waking hour at home."""
    looks_ahead: Annotated[str, one_of("way to look ahead", "forecast", "habit")]
    load_for: Annotated[float, Quantity(unit="h", low=0.25, high=48, example="4 h")]
    """Hours that a daytime load should last."""
    stays_by: Annotated[float, Quantity(unit="h", low=0, high=24, example="5 h")]
    """Most hours a day that somebody stays by a fire which must be watched."""
    clock_every: Annotated[
        float | None, Quantity(unit="h", low=1, high=12, example="3 h", none="none")
    ]
    """Hours after falling asleep, and again, at which a clock gets the grower up; None for none."""
    no_burn: Annotated[tuple[tuple[int, int], ...] | int, FireBans()]
    """Days on which nothing is lit or loaded: (month, day) each, or how many in a winter."""
    margin: Annotated[float, Number(low=0.1, high=10, word="a number", example="1.15")]
    """Fuel loaded for each unit that is thought to be needed."""

    @model_validator(mode="after")
    def _whole_hours(self) -> Routine:
        if self.clock_every is not None and self.clock_every % 1.0 != 0.0:
            raise Problem(
                f'{self.clock_every:g} h is not a whole number of hours; write one such as "3 h"',
                "clock_every",
            )
        return self

    @model_validator(mode="after")
    def _sleeps(self) -> Routine:
        for part in ("weekday", "weekend"):
            _check_sleep(part, getattr(self.up, part), getattr(self.bed, part))
            for hour in self.chores:
                up, bed = getattr(self.up, part), getattr(self.bed, part)
                if (hour - up) % 24.0 > (bed - up) % 24.0:
                    raise Problem(
                        f"the chore at {_clock(hour)} falls into the hours of sleep "
                        f"({_clock(bed)} to {_clock(up)}); write a time between up and bed",
                        "chores",
                    )
        return self

    @property
    def up_weekday(self) -> float:
        """Hour of getting up on weekdays."""
        return self.up.weekday

    @property
    def up_weekend(self) -> float:
        """Hour of getting up at the weekend."""
        return self.up.weekend

    @property
    def bed_weekday(self) -> float:
        """Hour of going to bed on weekdays."""
        return self.bed.weekday

    @property
    def bed_weekend(self) -> float:
        """Hour of going to bed at the weekend."""
        return self.bed.weekend


def _check_sleep(part: str, up: float, bed: float) -> None:
    """Bed may be after midnight; a night too short or too long means the two were mixed up."""
    sleep = (up - bed) % 24.0
    if not _LEAST_SLEEP_H <= sleep <= _MOST_SLEEP_H:
        raise Problem(
            f"bed at {_clock(bed)} and up at {_clock(up)} leave {sleep:g} h of sleep on a {part}; "
            f"write times with {_LEAST_SLEEP_H:g} to {_MOST_SLEEP_H:g} h between them, such as "
            'bed = "22:00" and up = "06:00" (bed may be after midnight: "00:30")',
            "bed",
        )


def _clock(hour: float) -> str:
    minutes = round(hour * 60.0)
    return f"{minutes // 60:02d}:{minutes % 60:02d}"
