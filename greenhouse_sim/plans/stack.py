"""Stacks of firewood: how long, on how much ground, in how many face cords and loads.

A cord is a stack of 4 × 4 × 8 ft = 128 ft³, sticks, bark and air together. A face cord is
4 × 8 ft and one stick deep, so that a cord of 16 in sticks is three of them.
"""

from __future__ import annotations

import math
from typing import NamedTuple

from greenhouse_sim.errors import ScenarioError
from greenhouse_sim.tables.read import read_keyed
from greenhouse_sim.units import from_si, quoted, to_si

LOWEST_M, HIGHEST_M = 0.2, 3.5
SHORTEST_M, LONGEST_M = 0.1, 2.5


class Rack(NamedTuple):
    """How the wood is stacked, m."""

    height_m: float
    stick_m: float


class Stack(NamedTuple):
    """A stack one stick deep."""

    length_m: float
    footprint_m2: float
    face_cords: float
    pickup_loads: int
    """By whichever fills up first, the bed or the springs."""
    loads_by_weight: bool


def number(key: str, unit: str) -> float:
    """A number of ``tables/woodpile.csv`` in ``unit``."""
    row = read_keyed("woodpile")[key]
    return row.number if row.unit == unit else from_si(row.number, row.unit, unit)


def usual_rack() -> Rack:
    """The rack of the table."""
    return Rack(number("rack_height", "m"), number("stick_length", "m"))


def rack(height: str | None, stick: str | None) -> Rack:
    """The rack that was asked for, each measure with its unit.

    Raises
    ------
    ScenarioError
        A measure without a unit, or one that no stack of firewood has.
    """
    usual = usual_rack()
    return Rack(
        _measure(height, usual.height_m, "--rack-height", "4 ft", LOWEST_M, HIGHEST_M),
        _measure(stick, usual.stick_m, "--stick", "16 in", SHORTEST_M, LONGEST_M),
    )


def _measure(
    text: str | None, usual: float, where: str, example: str, low: float, high: float
) -> float:
    if text is None:
        return usual
    value = to_si(text, "m", where, example)
    if not low <= value <= high:
        unit = example.split()[1]
        ends = [from_si(end, "m", unit) for end in (low, high)]
        raise ScenarioError(
            f"{where}: {quoted(text)} holds no firewood; write one from {math.ceil(ends[0])} to "
            f'{math.floor(ends[1])} {unit}, such as "{example}"'
        )
    return value


def stack(volume_m3: float, mass_kg: float, held: Rack) -> Stack:
    """A stacked volume on a rack.

    Parameters
    ----------
    volume_m3, mass_kg
        Stacked volume (sticks and air), and what it weighs as it lies there.
    held
        The rack.
    """
    face_m3 = number("face_cord_height", "m") * number("face_cord_length", "m") * held.stick_m
    by_volume = volume_m3 / number("pickup_volume", "m^3")
    by_weight = mass_kg / number("pickup_payload", "kg")
    length = volume_m3 / (held.height_m * held.stick_m)
    return Stack(
        length,
        length * held.stick_m,
        volume_m3 / face_m3,
        math.ceil(max(by_volume, by_weight) - 1e-9),
        by_weight > by_volume,
    )
