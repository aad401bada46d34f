"""[crop]: the temperatures that the crop wants and fears."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Annotated, Any

from pydantic import Field, ValidationInfo, model_validator

from greenhouse_sim.scenario.clock import Clock
from greenhouse_sim.scenario.days import DaySpan, MonthAndDay
from greenhouse_sim.scenario.kinds import Name, Quantity
from greenhouse_sim.scenario.names import rows
from greenhouse_sim.scenario.problem import Problem, shown
from greenhouse_sim.scenario.section import Section
from greenhouse_sim.tables import read_rows
from greenhouse_sim.units import fahrenheit

_SETPOINT = Quantity(unit="degC", low=-100, high=60, example="50 degF")
_EXAMPLE = '{ day = "50 degF", night = "42 degF" }'


class SetpointSpan(Section):
    """A setpoint from one hour of the day to another; without hours, at all others."""

    start_h: Annotated[float | None, Clock(none="none")] = Field(None, alias="from")
    end_h: Annotated[float | None, Clock(none="none")] = Field(None, alias="to")
    at: Annotated[float, _SETPOINT, Field(examples=['"50 degF"'])]
    """°C."""


class Setpoint(Section):
    """Setpoints by day and night, or a schedule by clock hours (the first span that fits)."""

    day: Annotated[float | None, _SETPOINT] = None
    """°C with the sun above the horizon; None under a schedule."""
    night: Annotated[float | None, _SETPOINT] = None
    schedule: tuple[SetpointSpan, ...] = ()

    @model_validator(mode="before")
    @classmethod
    def _any_form(cls, given: Any, info: ValidationInfo) -> Any:
        if isinstance(given, (list, tuple)):
            return {"schedule": given}
        if isinstance(given, dict):
            return given
        if isinstance(given, bool) or not isinstance(given, (str, int, float)):
            raise Problem(f"{shown(given)} is no setpoint; write {_EXAMPLE}")
        _SETPOINT.read(given, bool((info.context or {}).get("si")))
        return {"day": given, "night": given}

    @model_validator(mode="after")
    def _every_hour(self) -> Setpoint:
        if self.schedule:
            _check_schedule(self.schedule)
        elif self.day is None or self.night is None:
            raise Problem(f"needs a setpoint by day and one by night; write {_EXAMPLE}")
        return self

    @property
    def highest(self) -> float:
        """The highest setpoint of a day, °C."""
        return max(self._all())

    @property
    def lowest(self) -> float:
        """The lowest setpoint of a day, °C."""
        return min(self._all())

    def _all(self) -> list[float]:
        spans = [span.at for span in self.schedule]
        return spans or [at for at in (self.day, self.night) if at is not None]


def _check_schedule(schedule: tuple[SetpointSpan, ...]) -> None:
    for number, span in enumerate(schedule):
        last = number == len(schedule) - 1
        hours = (span.start_h is not None) + (span.end_h is not None)
        if hours == 1:
            raise Problem('has only one of from and to; write both, as "07:00"', "schedule", number)
        if hours == 0 and not last:
            raise Problem("has no hours and must stand last", "schedule", number)
        if hours == 2 and last:
            raise Problem(
                "is the last and has hours; add one without them for all other hours: "
                '{ at = "50 degF" }',
                "schedule",
                number,
            )
        if hours == 2 and span.start_h == span.end_h:
            raise Problem("starts when it ends; write two different times", "schedule", number)


@dataclass(frozen=True, kw_only=True)
class CropOr(Quantity):
    """A temperature, or the name of a crop whose damage temperature the crop table has."""

    def read(self, value: Any, si: bool) -> float:
        if isinstance(value, str) and not any(sign.isdigit() for sign in value):
            crop = Name(known=lambda: rows("crops"), word="crop", example="spinach, hardened")
            name = crop.read(value, si)
            found = next(row for row in read_rows("crops") if row["name"] == name)
            return float(found["damage_below"])
        return Quantity.read(self, value, si)


class Crop(Section):
    """What the crop wants. Temperatures in °C."""

    setpoint: Setpoint
    rise: Annotated[float, Quantity(unit="K/h", low=0.1, high=1000, example="4 degF/hour")]
    """Fastest rise of the setpoint from night to day, K/h."""
    rest: Annotated[tuple[MonthAndDay, MonthAndDay] | None, DaySpan()]
    """First and last day of a rest without crop, as (month, day); None for none."""
    rest_setpoint: Annotated[
        float | None, Quantity(unit="degC", low=-60, high=40, example="34 degF", none="none")
    ]
    """Air that is held in the rest, °C; None for no heat at all."""
    vent_at: Annotated[float, Quantity(unit="degC", low=-50, high=200, example="80 degF")]
    damage_below: Annotated[float, CropOr(unit="degC", low=-150, high=50, example="26 degF")]
    """Air at the plants under which they are hurt: a temperature, or a row of the crop table."""

    @property
    def setpoint_day(self) -> float:
        """Setpoint by day (sun above the horizon), °C; under a schedule its highest."""
        return self.setpoint.highest if self.setpoint.day is None else self.setpoint.day

    @property
    def setpoint_night(self) -> float:
        """Setpoint by night, °C; under a schedule its lowest."""
        return self.setpoint.lowest if self.setpoint.night is None else self.setpoint.night

    @property
    def schedule(self) -> tuple[SetpointSpan, ...]:
        """Setpoints by clock hours; empty where day and night are used."""
        return self.setpoint.schedule


def check_temperatures(crop: Crop, ideal_cooling_above: float | None) -> None:
    """Refuse temperatures in an impossible order; ideal cooling stands in place of the vents.

    Raises
    ------
    Problem
        Naming the section and the key.
    """
    highest, lowest = crop.setpoint.highest, crop.setpoint.lowest
    if ideal_cooling_above is not None and highest >= ideal_cooling_above:
        raise Problem(
            f"{_both(ideal_cooling_above)} is not over the setpoint ({_both(highest)}); "
            "write a higher one",
            "greenhouse",
            "ideal_cooling_above",
        )
    if ideal_cooling_above is None and highest >= crop.vent_at:
        raise Problem(
            f"{_both(highest)} is not under vent_at ({_both(crop.vent_at)}); "
            'write a lower setpoint or a higher vent_at, such as "80 degF"',
            "crop",
            "setpoint",
        )
    if crop.damage_below > lowest:
        raise Problem(
            f"{_both(crop.damage_below)} is over the setpoint ({_both(lowest)}); "
            'write the temperature under which the crop is hurt, such as "26 degF"',
            "crop",
            "damage_below",
        )


def _both(celsius: float) -> str:
    return f"{fahrenheit(celsius):.1f} °F, {celsius:.1f} °C"
