"""What the grower does not know of a farm, and how far it may lie from what was written.

The rows of ``tables/unknowns.csv`` that have a meaning on this farm with this heater. Most are
factors on what the scenario says; a few (moisture, planted share, light) are added to it.
"""

from __future__ import annotations

import math
from typing import TYPE_CHECKING, NamedTuple

import numpy as np

from greenhouse_sim.greenhouse.enclosure import is_closed
from greenhouse_sim.greenhouse.table import named_row
from greenhouse_sim.heater.burnt import default_fuel
from greenhouse_sim.heater.catalogue import heater_table
from greenhouse_sim.heater.fuel import MOST_MOISTURE, constants, fuel_for
from greenhouse_sim.tables.read import read_rows

if TYPE_CHECKING:
    from greenhouse_sim.scenario import Scenario

Array = np.ndarray
WINTER = "winter"
"""Key of the winter, an unknown like any other: drawn evenly from those at hand."""
LEAK, FIXED_LEAK = "greenhouse.tightness", "greenhouse.air_changes"
COVER = "greenhouse.cover"
EDGE = "greenhouse.perimeter_insulation"
SOIL = "greenhouse.floor.conductivity"
PLANTED = "greenhouse.planted_share"
LIGHT = "greenhouse.structure_share"
MOISTURE = "fuel.moisture"
CORD = "fuel.cord"
EFFICIENCY = "heater.efficiency"
MARGIN = "routine.margin"
OF_HOUSE = (WINTER, LEAK, FIXED_LEAK, COVER, EDGE, SOIL, PLANTED, LIGHT)
"""Unknowns that change the heat the house needs; the rest change only how it is met."""
SHARES = {PLANTED: (0.05, 1.0), LIGHT: (0.0, 0.6), MOISTURE: (0.05, MOST_MOISTURE - 0.05)}
"""Bounds of what can be, whatever is added."""


class Unknown(NamedTuple):
    """One unknown: the range that it is drawn from, and its most likely value."""

    key: str
    name: str
    low: float
    likely: float
    high: float
    factor: bool
    """Whether the numbers multiply what the scenario says, rather than stand for it."""
    source: str

    def drawn(self, even: Array) -> Array:
        """Values from numbers drawn evenly between 0 and 1, of the same shape.

        A triangle over low, likely and high, by its inverse; a winter's number evenly.
        """
        if self.key == WINTER:
            return np.minimum(np.floor(even * self.high), self.high - 1.0)
        span, rise = self.high - self.low, self.likely - self.low
        below = np.sqrt(even * span * rise)
        above = np.sqrt((1.0 - even) * span * (span - rise))
        return np.where(even * span < rise, self.low + below, self.high - above)


def unknowns(scenario: Scenario, heater: str, winters: int) -> tuple[Unknown, ...]:
    """The unknowns of this farm with this heater; a winter is one where there are several."""
    found = []
    for row in read_rows("unknowns"):
        key = row["key"]
        if not _matters(key, scenario, heater):
            continue
        written = _written(key, scenario)
        if row["how"] == "row":
            low, high = _of_row(key, scenario, heater)
        else:
            low, high = float(row["low"]), float(row["high"])
        factor = row["how"] != "plus"
        likely = 1.0 if factor else written
        least, most = SHARES.get(key, (-math.inf, math.inf))
        low, high = (low, high) if factor else (written + low, written + high)
        low, high = max(low, least), min(high, most)
        if high > low:
            likely = min(max(likely, low), high)
            found.append(Unknown(key, row["name"], low, likely, high, factor, row["source"]))
    if winters > 1:
        found.append(Unknown(WINTER, "winter", 0.0, 0.0, float(winters), False, "the weather"))
    return tuple(found)


def _matters(key: str, scenario: Scenario, heater: str) -> bool:
    """Whether an unknown has a meaning here."""
    house = scenario.greenhouse
    free = house.shape == "surfaces"
    burnt = default_fuel(heater, fuel_for(scenario.fuel.species, scenario.fuel.moisture))
    own_wood = burnt.kind == "wood" and burnt.name == scenario.fuel.species
    known = {
        LEAK: house.air_changes is None,
        FIXED_LEAK: bool(house.air_changes),
        COVER: not free,
        EDGE: not free,
        SOIL: not is_closed(house) and house.floor_u_value is None,
        PLANTED: not free and house.planted_share > 0.0,
        LIGHT: not free,
        MOISTURE: own_wood,
        CORD: burnt.kind == "wood",
        EFFICIENCY: "efficiency_max" in heater_table(heater),
        MARGIN: burnt.kind in ("wood", "pellets"),
    }
    return known[key]


def _written(key: str, scenario: Scenario) -> float:
    """The scenario's own value of what is added to; 0 for what is multiplied."""
    if key == MOISTURE:
        return fuel_for(scenario.fuel.species, scenario.fuel.moisture).moisture
    house = scenario.greenhouse
    return {PLANTED: house.planted_share, LIGHT: house.structure_share}.get(key, 0.0)


def _of_row(key: str, scenario: Scenario, heater: str) -> tuple[float, float]:
    """Low and high over the value, of the row that the scenario names."""
    house = scenario.greenhouse
    if key == CORD:
        row = constants()["solid_ft3_in_cord"]
        return float(row.low) / row.number, float(row.high) / row.number
    if key == EFFICIENCY:
        row = heater_table(heater)["efficiency_max"]
        return float(row.low) / row.number, float(row.high) / row.number
    table, name, column = {
        LEAK: ("tightness", house.tightness, "air_changes_h"),
        COVER: ("covers", house.cover.roof, "u_value"),
        EDGE: ("perimeter", house.perimeter_insulation, "f_value"),
    }[key]
    line = named_row(table, name, f"[greenhouse] {table}")
    middle = float(line[column])
    return float(line["low"]) / middle, float(line["high"]) / middle
