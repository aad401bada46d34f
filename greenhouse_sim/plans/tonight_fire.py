"""The present state, as a grower tells it: the fire and the store."""

from __future__ import annotations

from typing import TYPE_CHECKING, NamedTuple

from greenhouse_sim.errors import ScenarioError
from greenhouse_sim.heater.heater import heater_numbers
from greenhouse_sim.heater.numbers import DECAY, Heater
from greenhouse_sim.season.run import scenario_fuel
from greenhouse_sim.units import LB_KG, fahrenheit, quoted, read_quantity, to_si

if TYPE_CHECKING:
    from greenhouse_sim.scenario import Scenario

WORDS = {"full": 1.0, "half": 0.5, "quarter": 0.25}
EXAMPLES = '"out", "coals", "half", "40 %" of a load, or "25 lb"'
COLDEST_C, HOTTEST_C = -40.0, 55.0
"""Air that a thermometer in a greenhouse may show."""
HINT_C = 20.0
"""Air over this after dark in the heating season is asked about."""


class Present(NamedTuple):
    """What the grower sees now; None for what is taken from the days run before."""

    air_C: float
    fuel_kg: float | None = None
    store_C: float | None = None
    by_journal: bool = False
    """Whether the air is the journal's last reading."""


def read_air(text: str, name: str = "--now") -> float:
    """The air inside, °C.

    Raises
    ------
    ScenarioError
        No temperature, or one that cannot be; with the other scale where that fits better.
    """
    found = to_si(text, "degC", name, "48 degF")
    if COLDEST_C <= found <= HOTTEST_C:
        return found
    other = ""
    if text.strip().endswith("C") and COLDEST_C <= (found - 32.0) / 1.8 <= HOTTEST_C:
        other = f'; meant as Fahrenheit? Write "{found:g} degF"'
    raise ScenarioError(
        f"{name}: {quoted(text)} cannot be the air in a greenhouse ({fahrenheit(found):.0f} °F)"
        f"{other or '; write one such as 48 degF'}"
    )


def doubtful_air(text: str, air_C: float) -> str:
    """A hint where Celsius was probably meant as Fahrenheit, or the other way; else ""."""
    if text.strip().endswith("C") and air_C > HINT_C and (air_C - 32.0) / 1.8 > -HINT_C:
        return (
            f"--now: {quoted(text)} is {fahrenheit(air_C):.0f} °F; if Fahrenheit was meant, write "
            f'"{air_C:g} degF"'
        )
    if text.strip().endswith("F") and fahrenheit(air_C) < HINT_C:
        return (
            f"--now: {quoted(text)} is {air_C:.0f} °C, a hard frost inside; if Celsius was meant, "
            f'write "{fahrenheit(air_C):g} degC"'
        )
    return ""


def read_fire(text: str, heater: Heater, kind: str) -> float:
    """Fuel in firebox or hopper, kg.

    Raises
    ------
    ScenarioError
        No such state, or one that this heater cannot have.
    """
    if heater.hand_fed < 0.5:
        feeds = "a pile" if heater.law == DECAY else "no fire that anybody feeds"
        raise ScenarioError(f"--fire: {kind} has {feeds}; leave --fire out")
    words = " ".join(text.lower().split())
    if words == "out":
        return 0.0
    if words == "coals":
        if heater.coal_kg <= 0.0:
            raise ScenarioError(
                f'--fire: {kind} has no bed of coals; write "out" or what is in its hopper, '
                'such as "25 lb" or "half"'
            )
        return 0.5 * heater.coal_kg
    fuel_kg = WORDS[words] * heater.charge_kg if words in WORDS else _amount(text, heater)
    if not 0.0 <= fuel_kg <= 1.02 * heater.charge_kg:
        raise ScenarioError(
            f"--fire: {quoted(text)} is not what {kind} can hold; it takes 0 to "
            f"{heater.charge_kg:.0f} kg ({heater.charge_kg / LB_KG:.0f} lb)"
        )
    return min(fuel_kg, heater.charge_kg)


def _amount(text: str, heater: Heater) -> float:
    bare = text.strip()
    try:
        if bare.endswith("%"):
            return float(bare[:-1]) / 100.0 * heater.charge_kg
        share = float(bare)
    except ValueError:
        pass
    else:
        if 0.0 <= share <= 1.0:
            return share * heater.charge_kg
    try:
        return read_quantity(text, "kg", "25 lb")
    except ValueError:
        raise ScenarioError(f"--fire: cannot read {quoted(text)}; write {EXAMPLES}") from None


def read_store(text: str, heater: Heater, kind: str) -> float:
    """Temperature of the heater's store, °C.

    Raises
    ------
    ScenarioError
        The heater has none, or the temperature cannot be.
    """
    if heater.store_c <= 0.0:
        raise ScenarioError(f"--store: {kind} has no tank, bench or pile; leave --store out")
    found = to_si(text, "degC", "--store", "150 degF")
    if not -30.0 <= found <= heater.store_limit:
        raise ScenarioError(
            f"--store: {quoted(text)} is not possible in {kind}; its store stays under "
            f"{fahrenheit(heater.store_limit):.0f} °F ({heater.store_limit:.0f} °C)"
        )
    return found


def heater_of(scenario: Scenario) -> Heater:
    """The scenario's heater with its fuel."""
    own = scenario.heater
    return heater_numbers(own.kind, own.count, own.overrides, scenario_fuel(scenario))
