"""[site]: where the greenhouse stands and which winters it sees."""

from __future__ import annotations

from datetime import datetime
from typing import Annotated, Any

from pydantic import BeforeValidator, Field

from greenhouse_sim.scenario.clock import MonthDay, Trips
from greenhouse_sim.scenario.kinds import Number, Quantity, Text, share
from greenhouse_sim.scenario.names import row_of
from greenhouse_sim.scenario.problem import Problem
from greenhouse_sim.scenario.section import Section

_WEATHER_EXAMPLE = '["weather/typical.epw"]'


def _a_list(value: Any) -> Any:
    if isinstance(value, str):
        return [value]
    if not isinstance(value, (list, tuple)) or not value:
        raise Problem(f"names no weather file; write weather = {_WEATHER_EXAMPLE}")
    return value


def _degrees(limit: float, example: str) -> Number:
    return Number(low=-limit, high=limit, unit="deg", word="degrees", example=example, none="none")


class Season(Section):
    """The heating season, first day to last day, as (month, day)."""

    start: Annotated[tuple[int, int], MonthDay(example="10-01")]
    end: Annotated[tuple[int, int], MonthDay(example="04-30")]


class Site(Section):
    """Where the greenhouse stands. What is None comes from the weather file."""

    name: Annotated[str, Text(example="Tamarack Flats")]
    weather: Annotated[
        tuple[Annotated[str, Text(example="weather/typical.epw")], ...],
        BeforeValidator(_a_list),
        Field(examples=[_WEATHER_EXAMPLE]),
    ]
    season: Annotated[Season, Field(examples=['{ start = "10-01", end = "04-30" }'])]
    latitude: Annotated[float | None, _degrees(90.0, "46.9")]
    """Degrees north."""
    longitude: Annotated[float | None, _degrees(180.0, "-96.8")]
    """Degrees east."""
    elevation: Annotated[
        float | None, Quantity(unit="m", low=-430, high=6000, example="270 m", none="none")
    ]
    """m above the sea."""
    utc_offset: Annotated[
        float | None,
        Number(low=-12, high=14, unit="h", word="hours", example="-6", none="none"),
    ]
    """Standard time less universal time, h."""
    terrain: Annotated[str, row_of("terrain", "terrain", "open")]
    ground_reflectance: Annotated[float, share("0.2")]
    deep_ground: Annotated[
        float | None, Quantity(unit="degC", low=-30, high=40, example="48 degF", none="none")
    ]
    """Temperature of the deep ground, °C."""
    power_cuts: Annotated[
        tuple[tuple[datetime, datetime], ...],
        Trips(word="power cut", example='[["2026-01-10 17:00", "2026-01-10 23:00"]]'),
    ]

    @property
    def season_start(self) -> tuple[int, int]:
        """First day of the season, (month, day)."""
        return self.season.start

    @property
    def season_end(self) -> tuple[int, int]:
        """Last day of the season, (month, day)."""
        return self.season.end
