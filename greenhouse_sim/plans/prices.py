"""The prices in force: those of the scenario, or typical ones of ``tables/money.csv``."""

from __future__ import annotations

from typing import TYPE_CHECKING, NamedTuple

from greenhouse_sim.heater.fuel import Fuel
from greenhouse_sim.tables.read import read_keyed
from greenhouse_sim.units import CORD_M3, SHORT_TON_KG

if TYPE_CHECKING:
    from greenhouse_sim.scenario import Scenario

PRICES = (
    "wage", "wood", "own_wood", "pellets", "propane", "electricity", "compost", "crop_value",
)  # fmt: skip
"""Keys that are prices; the rest say how money is counted."""
OWN = "the scenario"


class Price(NamedTuple):
    """A price with its range; a price of the scenario has none."""

    value: float
    low: float
    high: float
    unit: str
    source: str

    @property
    def own(self) -> bool:
        """Whether it stands in the scenario."""
        return self.source == OWN


def price(scenario: Scenario, key: str) -> Price | None:
    """A price in force, in the unit of its row; None where it is not known."""
    row = read_keyed("money")[key]
    own = scenario.money.rates
    if key in own:
        value = own[key]
        return None if value is None else Price(value, value, value, row.unit, OWN)
    if row.value == "none" or (key in PRICES and scenario.money.prices == "own"):
        return None
    return Price(row.number, float(row.low), float(row.high), row.unit, row.source)


def counted(scenario: Scenario, key: str) -> float:
    """A number that says how money is counted: interest, years and the like."""
    found = price(scenario, key)
    assert found is not None, key
    return found.value


def any_own(scenario: Scenario) -> bool:
    """Whether the scenario gives any price of its own."""
    return scenario.fuel.price is not None or any(
        key in PRICES and value is not None for key, value in scenario.money.rates.items()
    )


def fuel_price(scenario: Scenario, fuel: Fuel) -> tuple[str, Price | None]:
    """Key and price of wood (a cord) or pellets (a short ton), ``fuel.price`` first.

    Own wood costs its outlay; what it might be sold for is left out.
    """
    if fuel.kind == "wood" and scenario.fuel.source == "cut":
        return "own_wood", price(scenario, "own_wood")
    key = "wood" if fuel.kind == "wood" else fuel.kind
    given = scenario.fuel.price
    if given is not None and scenario.fuel.species == fuel.name:
        unit = read_keyed("money")[key].unit
        each_kg = CORD_M3 * (fuel.stacked_kg_m3 or 0.0) if key == "wood" else SHORT_TON_KG
        value = _of_mass(given, each_kg, fuel)
        if value is not None:
            return key, Price(value, value, value, unit, OWN)
    return key, price(scenario, key)


def _of_mass(given: tuple[float, str], kg: float, fuel: Fuel) -> float | None:
    value, unit = given
    if unit == "1/kg":
        return value * kg
    if unit == "1/J":
        return value * kg * fuel.gross_J_kg
    dense = fuel.stacked_kg_m3 or fuel.bulk_kg_m3
    return value * kg / dense if dense else None
