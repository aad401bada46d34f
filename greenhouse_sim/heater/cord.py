"""A cord of wood: its mass, and its heat on each of the three bases that tables use.

Published "heat per cord" is silently one of three things:

==================  =====================================================  ============
basis               what is counted                                        red oak, 20 %
==================  =====================================================  ============
gross, oven-dry     gross heat of the dry matter in the cord               28.7 GJ
gross, as fired     the same number: water adds mass and no heat           28.7 GJ
net, as fired       less the heat that the vapour carries up the flue      25.9 GJ
==================  =====================================================  ============

The first two agree *for one and the same dry matter*; tables differ because some
count the dry matter by green volume (Utah State: specific gravity green) and some
by air-dry volume (Kentucky), and because 80 to 90 ft³ of a cord are taken as solid.
"""

from __future__ import annotations

from typing import NamedTuple

from greenhouse_sim.heater.fuel import Fuel, fuel_for
from greenhouse_sim.units import CORD_M3


class CordHeat(NamedTuple):
    """Heat of one full cord (128 ft³ stacked) of a wood at one moisture (wet basis)."""

    dry_kg: float
    """Oven-dry matter in it, kg."""
    as_fired_kg: float
    """Its mass as fired, kg."""
    gross_J: float
    """Gross heat, J: that of its dry matter, whatever its moisture."""
    net_J: float
    """Net heat as fired, J."""


def cord_heat(species: str, moisture: float) -> CordHeat:
    """Mass and heat of a full cord of ``species`` at ``moisture`` (wet basis)."""
    fuel = fuel_for(species, moisture)
    mass = _cord_kg(fuel)
    return CordHeat(mass * fuel.dry_share, mass, mass * fuel.gross_J_kg, mass * fuel.net_J_kg)


def cords_of(mass_kg: float, fuel: Fuel) -> float:
    """Full cords (128 ft³ stacked) in a mass as fired; only for cordwood."""
    return mass_kg / _cord_kg(fuel)


def mass_of_cords(cords: float, fuel: Fuel) -> float:
    """Mass as fired, kg, of full cords (128 ft³ stacked); only for cordwood."""
    return cords * _cord_kg(fuel)


def mass_of_stack(stacked_m3: float, fuel: Fuel) -> float:
    """Mass as fired, kg, of a stacked volume in m³; only for cordwood."""
    return mass_of_cords(stacked_m3 / CORD_M3, fuel)


def _cord_kg(fuel: Fuel) -> float:
    if fuel.cord_kg is None:
        raise ValueError(f"{fuel.name} is not stacked in cords")
    return fuel.cord_kg
