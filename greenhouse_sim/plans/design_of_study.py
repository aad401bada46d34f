"""The points of a study by number, and the parts that they are run in.

Keys that a winter must be prepared anew for change slowest, so that a part prepares few winters.
Any point can be worked out from its number alone; nothing of the size of the study is ever held.
"""

from __future__ import annotations

import math
from collections.abc import Iterator
from typing import NamedTuple

import numpy as np

from greenhouse_sim.plans.study import Place, Study
from greenhouse_sim.plans.study_axis import Axis, Value

ROWS = 1000
"""Seasons of a part, about."""
HOUSES = 60
"""Most winters that a part prepares, where it can be helped."""


class Point(NamedTuple):
    """A farm of the study."""

    number: int
    place: Place
    values: dict[str, Value]
    """Column to value, grid before draw."""
    changes: dict[str, Value]
    """Key of the scenario to what is written there."""


class Part(NamedTuple):
    """Points ``first`` to ``last``, the last not included; all of one place."""

    number: int
    first: int
    last: int


class Design:
    """The points and parts of a study."""

    def __init__(self, study: Study) -> None:
        self.study = study
        self.slow = [axis for axis in study.grid if axis.of_house]
        self.fast = [axis for axis in study.grid if not axis.of_house]
        self.per_fast = math.prod(len(axis.values) for axis in self.fast)
        self.per_house = self.per_fast * study.draws
        drawn_house = any(axis.of_house for axis in study.draw)
        self.alike = self.per_fast if drawn_house else self.per_house
        """Points in a row that stand in the same house."""
        self.per_place = self.per_house * math.prod(len(axis.values) for axis in self.slow)
        self.points = self.per_place * len(study.places)
        self.houses = self.points // self.alike
        """Times that the house changes from one point to the next."""

    @property
    def seasons(self) -> int:
        """Seasons in all."""
        winters = sum(len(place.winters) for place in self.study.places)
        return self.per_place * winters * len(self.study.heaters)

    def point(self, number: int) -> Point:
        """A point by its number."""
        place, rest = divmod(number, self.per_place)
        house, rest = divmod(rest, self.per_house)
        draw, fast = divmod(rest, self.per_fast)
        chosen = _digits(house, self.slow) | _digits(fast, self.fast)
        even = self._even(draw)
        for axis, share in zip(self.study.draw, even, strict=True):
            chosen[axis.key] = axis.between(share)
        order = (*self.study.grid, *self.study.draw)
        values = {axis.column: chosen[axis.key] for axis in order}
        changes = {axis.key: axis.written(chosen[axis.key]) for axis in order}
        return Point(number, self.study.places[place], values, changes)

    def _even(self, draw: int) -> list[float]:
        """Even numbers between 0 and 1 for a draw: its own stream, whatever ran before."""
        if not self.study.draw:
            return []
        stream = np.random.default_rng([self.study.seed, draw])
        return [float(one) for one in stream.random(len(self.study.draw))]

    def per_part(self, place: int) -> int:
        """Points of a part at this place."""
        winters = len(self.study.places[place].winters)
        by_rows = max(ROWS // (winters * len(self.study.heaters)), 1)
        by_houses = max(HOUSES // winters, 1) * self.alike
        return max(min(by_rows, by_houses), 1)

    def parts(self) -> Iterator[Part]:
        """All parts in order."""
        number = 0
        for place in range(len(self.study.places)):
            begin, end = place * self.per_place, (place + 1) * self.per_place
            step = self.per_part(place)
            for first in range(begin, end, step):
                yield Part(number, first, min(first + step, end))
                number += 1

    def part_count(self) -> int:
        """How many parts there are."""
        return sum(
            -(-self.per_place // self.per_part(place)) for place in range(len(self.study.places))
        )

    def seasons_of(self, part: Part) -> int:
        """Seasons of a part."""
        winters = len(self.study.places[part.first // self.per_place].winters)
        return (part.last - part.first) * winters * len(self.study.heaters)


def _digits(number: int, axes: list[Axis]) -> dict[str, Value]:
    """A value for each axis's key by a number: the last axis changes fastest."""
    found: dict[str, Value] = {}
    for axis in reversed(axes):
        number, at = divmod(number, len(axis.values))
        found[axis.key] = axis.values[at]
    return found
