"""Which fuel a heater burns, and how much of it the firebox, hopper or pile holds."""

from __future__ import annotations

from greenhouse_sim.heater.catalogue import Choice, burns, heater_table
from greenhouse_sim.heater.fuel import Fuel, constant, constants, fuel_for

OTHER_FUEL = {
    "pellets": "pellets",
    "propane": "propane",
    "electricity": "electricity",
    "compost": "compost mix",
    "none": "none",
}
"""Kind of fuel to the row of ``tables/fuels.csv`` that a heater of that kind burns."""


def default_fuel(name: str, scenario_fuel: Fuel | None) -> Fuel:
    """The fuel that a heater burns, given the scenario's own.

    A wood heater burns the scenario's wood at its moisture; where the scenario names
    something that is not cordwood, red oak at 20 % (wet basis). Pellet stoves burn
    pellets, compost is made of its own mix, propane and electricity are what they are.
    """
    kind = burns(name)
    if kind != "wood":
        return fuel_for(OTHER_FUEL[kind])
    if scenario_fuel is not None and scenario_fuel.kind == "wood":
        return scenario_fuel
    return fuel_for(constants()["fallback_wood"].value, constant("fallback_moisture"))


def fuel_note(name: str, scenario_fuel: Fuel) -> str:
    """A sentence where a heater does not burn the scenario's fuel, else an empty text."""
    burnt = default_fuel(name, scenario_fuel)
    if burnt.name == scenario_fuel.name:
        return ""
    at = f" at {burnt.moisture:.0%} water (wet basis)" if burnt.kind == "wood" else ""
    return f"{heater_table(name)['name'].value} burns {burnt.name}{at}, not {scenario_fuel.name}"


def charge(choice: Choice, fuel: Fuel) -> float:
    """Most fuel that one heater holds, kg as fired.

    A hopper holds its mass. A firebox holds a volume: the loading density of the table
    is that of hard maple at 18 % water (wet basis), and another wood weighs as much more
    or less as its specific gravity and its water make it.
    """
    if "pile_volume" in choice.table:
        return pile_mass(choice)
    if "hopper_mass" in choice.table:
        return choice.number("hopper_mass", "kg")
    room = choice.number("firebox_volume", "m^3") * choice.number("usable_share")
    mass = room * choice.number("loading_density", "kg/m^3")
    if fuel.specific_gravity is None:
        return mass
    heavier = fuel.specific_gravity / constant("load_specific_gravity")
    wetter = (1.0 - constant("load_moisture")) / (1.0 - fuel.moisture)
    return mass * heavier * wetter


def pile_mass(choice: Choice) -> float:
    """Wet mass of a compost pile, kg."""
    return choice.number("pile_volume", "m^3") * choice.number("wet_density", "kg/m^3")


def tested_with(choice: Choice, fuel: Fuel) -> Fuel:
    """The fuel that a heater's efficiency and output are stated for.

    Hardwood (red oak, 20.1 MJ/kg gross, dry) at the table's test moisture (wet basis) for
    wood heaters; for the rest the fuel itself.
    """
    if fuel.kind != "wood":
        return fuel
    return fuel_for(constants()["fallback_wood"].value, choice.number("test_moisture"))
