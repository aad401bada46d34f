"""Parts of a heater whose size can be chosen, and the heater with another size of one."""

from __future__ import annotations

from typing import TYPE_CHECKING, NamedTuple

from greenhouse_sim.heater.catalogue import choose
from greenhouse_sim.tables.read import read_rows
from greenhouse_sim.units import from_si

if TYPE_CHECKING:
    from greenhouse_sim.scenario import Scenario

COUNT = "count"


class Part(NamedTuple):
    """A part of a heater, or how many heaters there are."""

    name: str
    """As in ``tables/standard_sizes.csv``."""
    key: str
    """Of the heater's table."""
    si: str
    """Unit in which sizes are kept: m³ or kg."""


PARTS = {
    part.name: part
    for part in (
        Part("stove firebox", "firebox_volume", "m^3"),
        Part("barrel", "firebox_volume", "m^3"),
        Part("boiler firebox", "firebox_volume", "m^3"),
        Part("hopper", "hopper_mass", "kg"),
        Part("tank", "store_water", "m^3"),
        Part("bench", "store_mass", "kg"),
        Part("pile", "pile_volume", "m^3"),
        Part(COUNT, COUNT, "1"),
    )
}
FAMILIES = {
    "wood stove": ("stove firebox",),
    "barrel stove": ("barrel",),
    "rocket mass heater": ("bench",),
    "outdoor boiler": ("boiler firebox", "tank"),
    "gasification boiler": ("boiler firebox", "tank"),
    "pellet stove": ("hopper",),
    "pellet furnace": ("hopper",),
    "compost pile": ("pile",),
}
"""Beginning of a heater's name, and its parts whose size can be chosen."""


def parts_of(kind: str) -> tuple[Part, ...]:
    """What can be chosen of a heater: its parts, and how many of it."""
    own = next((names for name, names in FAMILIES.items() if kind.startswith(name)), ())
    return tuple(PARTS[name] for name in (*own, COUNT))


def standard_sizes(part: Part) -> tuple[float, ...]:
    """Sizes that are sold or built, in the part's unit, the smallest first."""
    rows = [row for row in read_rows("standard_sizes") if row["part"] == part.name]
    return tuple(sorted(from_si(float(row["value"]), row["unit"], part.si) for row in rows))


def size_now(scenario: Scenario, part: Part) -> float:
    """The size of the scenario's heater, in the part's unit; of a store that it lacks 0."""
    if part.key == COUNT:
        return float(scenario.heater.count)
    return choose(scenario.heater.kind, scenario.heater.overrides).number(part.key, part.si)


def with_size(scenario: Scenario, part: Part, size: float) -> Scenario:
    """The scenario with a part of its heater in another size, and what grows with it.

    Parameters
    ----------
    scenario
        The scenario.
    part
        One of `parts_of` its heater.
    size
        In the part's unit; of `COUNT` a whole number.
    """
    heater = scenario.heater
    if part.key == COUNT:
        changed = heater.model_copy(update={"count": round(size)})
    else:
        choice = choose(heater.kind, heater.overrides)
        ratio = size / choice.number(part.key, part.si)
        own = dict(heater.own) | {part.key: from_si(size, part.si, choice.table[part.key].unit)}
        for key, exponent in _follows(part):
            if key in choice.table:
                unit = choice.table[key].unit
                own[key] = choice.number(key, unit) * ratio**exponent
        changed = heater.model_copy(update={"own": tuple(sorted(own.items()))})
    return scenario.model_copy(update={"heater": changed})


def _follows(part: Part) -> list[tuple[str, float]]:
    rows = [row for row in read_rows("size_follows") if row["part"] == part.name]
    return [(row["key"], float(row["exponent"])) for row in rows]
