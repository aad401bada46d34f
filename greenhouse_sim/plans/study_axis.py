"""A key of the scenario and the values that a study gives it."""

from __future__ import annotations

import math
import re
from collections.abc import Iterator, Mapping
from typing import Any, NamedTuple

from greenhouse_sim.errors import ScenarioError
from greenhouse_sim.scenario.problem import shown

HOUSE = ("site", "greenhouse", "crop")
"""Sections that a winter has to be prepared anew for."""
ELSEWHERE = {
    "heater": 'name heaters on top: heaters = ["pellet stove"]',
    "heater.kind": 'name heaters on top: heaters = ["pellet stove"]',
    "site.weather": "write a [[place]] for each place",
    "site.name": "write a [[place]] for each place",
}
MOST_STEPS = 100_000
_NUMBER = re.compile(r"(?!\s*\d+\s*[:-])\s*([+-]?(?:\d+\.?\d*|\.\d+)(?:[eE][+-]?\d+)?)\s*(.*?)\s*$")
"""A number with its unit; "06:00" and "10-01" are words."""
Value = float | int | str | bool


class Axis(NamedTuple):
    """One key and its values: listed or in steps (grid), or from a range (draw)."""

    key: str
    unit: str
    """Unit as it was written; empty where the values are words or have none."""
    values: tuple[Value, ...]
    """Of a grid: numbers (in ``unit``) or words. Of a draw: the two ends."""

    @property
    def column(self) -> str:
        """Its name in the results: "greenhouse.air_changes [/hour]"."""
        return f"{self.key} [{self.unit}]" if self.unit else self.key

    @property
    def of_house(self) -> bool:
        """Whether a winter has to be prepared anew for each of its values."""
        return self.key.split(".")[0] in HOUSE

    @property
    def words(self) -> bool:
        """Whether its values are words."""
        return any(isinstance(value, str) for value in self.values)

    @property
    def ends(self) -> tuple[Value, ...]:
        """Values to try before anything runs: all words, of numbers the least and the most."""
        if self.words:
            return tuple(self.written(value) for value in self.values)
        return (self.written(min(self.values)), self.written(max(self.values)))

    def written(self, value: Value) -> Value:
        """A value as a scenario's file has it."""
        return f"{value!r} {self.unit}" if self.unit else value

    def between(self, even: float) -> Value:
        """Of a draw: the value at an even number between 0 and 1."""
        low, high = (float(end) for end in self.values)
        return low + even * (high - low)


def axes_of(table: Mapping[str, Any], where: str, *, steps: bool) -> tuple[Axis, ...]:
    """The axes of a table of keys.

    Parameters
    ----------
    table
        As TOML has it: ``fuel.moisture`` may be one key or a table in a table.
    where
        What to begin a message with.
    steps
        Of a grid (lists, and ranges with steps); else of a draw (ranges).
    """
    return tuple(_axis(key, given, f"{where} {key}", steps) for key, given in _keys(table))


def _keys(table: Mapping[str, Any], above: str = "") -> Iterator[tuple[str, Any]]:
    for key, value in table.items():
        name = f"{above}{key}"
        if isinstance(value, dict) and not {"from", "to"} & set(value):
            yield from _keys(value, f"{name}.")
        else:
            yield name, value


def _axis(key: str, given: Any, where: str, steps: bool) -> Axis:
    if key in ELSEWHERE:
        raise ScenarioError(f"{where}: cannot be varied here; {ELSEWHERE[key]}")
    if isinstance(given, dict):
        return _range(key, given, where, steps)
    if not steps:
        raise ScenarioError(
            f"{where}: {shown(given)} is not a range; write {{ from = ..., to = ... }}"
        )
    if not isinstance(given, list):
        given = [given]
    if not given:
        raise ScenarioError(f"{where}: the list is empty; write at least one value")
    if any(isinstance(value, list | dict) for value in given):
        raise ScenarioError(f"{where}: write plain values, such as [0.15, 0.20]")
    if len({str(value) for value in given}) < len(given):
        raise ScenarioError(f"{where}: a value stands twice; write each once")
    read = [_number(value) for value in given]
    units = {one[1] for one in read if one is not None}
    if None not in read and len(units) == 1:
        return Axis(key, units.pop(), tuple(one[0] for one in read if one is not None))
    return Axis(key, "", tuple(given))


def _range(key: str, given: Mapping[str, Any], where: str, steps: bool) -> Axis:
    allowed = {"from", "to", "steps"} if steps else {"from", "to"}
    example = '{ from = "0.3 /hour", to = "1.5 /hour"' + (", steps = 5 }" if steps else " }")
    if set(given) != allowed:
        raise ScenarioError(f"{where}: write {example}")
    low, high = _number(given["from"]), _number(given["to"])
    if low is None or high is None or low[1] != high[1]:
        raise ScenarioError(
            f"{where}: from {shown(given['from'])} to {shown(given['to'])} are not two numbers "
            f"with one unit; write {example}"
        )
    if not low[0] < high[0]:
        raise ScenarioError(
            f"{where}: the range from {shown(given['from'])} to {shown(given['to'])} is empty; "
            "write the lower end first"
        )
    if not steps:
        return Axis(key, low[1], (low[0], high[0]))
    count = given["steps"]
    if not isinstance(count, int) or isinstance(count, bool) or not 2 <= count <= MOST_STEPS:
        raise ScenarioError(f"{where}: steps = {shown(count)}; write a whole number from 2 on")
    return Axis(key, low[1], _spaced(low[0], high[0], count))


def _spaced(low: float, high: float, count: int) -> tuple[float, ...]:
    """Even steps, both ends among them, without digits that arithmetic has added."""
    return tuple(float(f"{low + (high - low) * i / (count - 1):.12g}") for i in range(count))


def _number(value: Any) -> tuple[float, str] | None:
    """Number and unit of a value; None for words."""
    if isinstance(value, bool):
        return None
    if isinstance(value, int | float):
        return (float(value), "") if math.isfinite(value) else None
    found = _NUMBER.match(value) if isinstance(value, str) else None
    return (float(found[1]), found[2]) if found and found[2] else None
