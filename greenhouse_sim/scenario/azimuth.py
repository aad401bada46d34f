"""Directions: the way something faces, and the line along which a ridge runs."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Any

from greenhouse_sim import units
from greenhouse_sim.scenario.kinds import Kind, as_float
from greenhouse_sim.scenario.problem import Problem, did_you_mean, shown

WINDS = {
    "north": 0.0,
    "northeast": 45.0,
    "east": 90.0,
    "southeast": 135.0,
    "south": 180.0,
    "southwest": 225.0,
    "west": 270.0,
    "northwest": 315.0,
}
LINES = {
    "north-south": 0.0,
    "northeast-southwest": 45.0,
    "east-west": 90.0,
    "southeast-northwest": 135.0,
}


@dataclass(frozen=True, kw_only=True)
class Azimuth(Kind):
    """A direction by name or in degrees clockwise from north, read into 0 up to 360."""

    example: str = "south"

    def read(self, value: Any, si: bool) -> float:
        return _direction(value, WINDS, "direction") % 360.0


@dataclass(frozen=True, kw_only=True)
class RidgeLine(Kind):
    """A line by its two ends or in degrees clockwise from north, read into 0 up to 180."""

    example: str = "east-west"

    def read(self, value: Any, si: bool) -> float:
        if isinstance(value, str):
            value = "-".join(reversed(value.split("-"))) if value.lower() not in LINES else value
        return _direction(value, LINES, "ridge line") % 180.0


def _direction(value: Any, names: dict[str, float], word: str) -> float:
    if isinstance(value, bool) or not isinstance(value, (str, int, float)):
        raise Problem(f"{shown(value)} is not a {word}; write one of {', '.join(names)}")
    if not isinstance(value, str):
        degrees = as_float(value)
    elif value.strip().lower() in names:
        degrees = names[value.strip().lower()]
    elif value.strip()[:1].isdigit():
        degrees = units.read_quantity(value, "deg", "75 deg")
    else:
        raise Problem(f"no {word} {shown(value)}{did_you_mean(value, names)}, or degrees: 75")
    if not -360.0 <= degrees <= 360.0:
        raise Problem(f"{shown(value)} is out of range; write degrees from 0 to 360")
    return degrees
