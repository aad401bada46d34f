"""What a heater used, in the measure in which its fuel is bought."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any, NamedTuple

from greenhouse_sim.heater.fuel import fuel_for
from greenhouse_sim.report.words import Units, few, whole
from greenhouse_sim.units import CORD_M3, PELLET_BAG_KG, from_si

FACE_CORDS = 3.0
"""Face cords of 16-inch sticks in a full cord: 48 in over 16 in, by definition."""


class Measure(NamedTuple):
    """A fuel's measure: its name in tables, and how much of it a ledger's kg are."""

    unit: str
    per_kg: float

    def of(self, kg: float) -> float:
        """So many of the unit in so many kg as fired."""
        return kg * self.per_kg


def kind_of(row: Mapping[str, Any]) -> str:
    """Kind of a ledger's fuel: wood, pellets, propane, compost, electricity, none."""
    if row["cords"] is not None:
        return "wood"
    return fuel_for(str(row["fuel"])).kind


def measure(row: Mapping[str, Any], units: Units) -> Measure:
    """The measure of a ledger's fuel.

    Cords (stacked m³) of wood, tons of pellets and of compost's dry matter, gallons
    (litres) of propane; kWh of electricity and of ``ideal`` heat, which have no mass.
    """
    kind = kind_of(row)
    if kind == "wood":
        per_kg = row["cords"] / row["fuel_kg"] if row["fuel_kg"] > 0.0 else 0.0
        return Measure("cords", per_kg) if units.us else Measure("m³ stacked", per_kg * CORD_M3)
    if kind == "propane":
        return propane_measure(units)
    if kind in ("electricity", "none"):
        return Measure("kWh", 0.0)
    return Measure("tons" if units.us else "t", units.tons(1.0))


def propane_measure(units: Units) -> Measure:
    """Gallons, or litres, of liquid propane."""
    return Measure("gal", gallons(1.0)) if units.us else Measure("L", _litres(1.0))


def amount(row: Mapping[str, Any], units: Units) -> float:
    """Fuel of a season in its `measure`."""
    if kind_of(row) in ("electricity", "none"):
        return float(row["fuel_energy_kWh"])
    if kind_of(row) == "wood":
        return float(row["cords"]) * (1.0 if units.us else CORD_M3)
    return measure(row, units).of(row["fuel_kg"])


def gallons(kg: float) -> float:
    """US gallons of liquid propane."""
    return from_si(kg / _density("propane"), "m^3", "gal")


def _litres(kg: float) -> float:
    return kg / _density("propane") * 1000.0


def _density(fuel: str) -> float:
    density = fuel_for(fuel).bulk_kg_m3
    if density is None:
        raise ValueError(f"{fuel} is not bought by volume")
    return density


def wood_text(cords: float, kg: float, units: Units, span: str = "") -> str:
    """Wood: "7.4 cords (22 face cords, 4.9 tons)"; ``span`` goes first in the brackets."""
    if units.us:
        parts = [span, f"{few(cords * FACE_CORDS)} face cords", units.tons_text(kg)]
        word = "cord" if few(cords) == "1.0" else "cords"
        return f"{few(cords)} {word} ({', '.join(part for part in parts if part)})"
    parts = [span, units.tons_text(kg)]
    return f"{few(cords * CORD_M3)} m³ stacked ({', '.join(part for part in parts if part)})"


def pellets_text(kg: float, units: Units, span: str = "") -> str:
    """Pellets: "6.2 tons of pellets (310 bags)" of 40 lb; in tonnes alone where SI."""
    parts = [span, f"{whole(kg / PELLET_BAG_KG)} bags" if units.us else ""]
    inside = ", ".join(part for part in parts if part)
    return f"{units.tons_text(kg)} of pellets" + (f" ({inside})" if inside else "")


def propane_text(kg: float, units: Units) -> str:
    """Propane: "85 gal of propane"."""
    if units.us:
        return f"{whole(gallons(kg))} gal of propane"
    return f"{whole(_litres(kg))} L of propane"


def backup_text(row: Mapping[str, Any], kind: str | None, units: Units) -> str:
    """Back-up: "85 gal of back-up propane", "310 kWh of back-up electricity"; "" where none."""
    used = row["backup_fuel_kWh"]
    if used <= 0.0:
        return ""
    if kind is not None and "propane" in kind:
        kg = used * 3.6e6 / fuel_for("propane").gross_J_kg
        return propane_text(kg, units).replace("of propane", "of back-up propane")
    word = "electricity" if kind is not None and "electric" in kind else "heat"
    return f"{whole(used)} kWh of back-up {word}"
