"""Rules of standards and of the trade, as sums to hold the catalogue against.

None of them drives the simulation: burn times come from the heat drawn.
"""

from __future__ import annotations


def buffer_volume_L(burn_h: float, rated_kW: float, need_kW: float, least_kW: float) -> float:
    """Least buffer tank of a log boiler, litres: 15·T_B·Q_N·(1 − 0.3·Q_H/Q_min).

    Burn time of a charge, rated output, heat need of the building, least output.
    EN 303-5:2012, as reproduced in a boiler's manual.
    """
    return 15.0 * burn_h * rated_kW * (1.0 - 0.3 * need_kW / least_kW)


def masonry_power_kW(load_kg: float, storage_h: float) -> float:
    """Nominal power of a masonry heater, kW: 3.25 kWh of useful heat from a kg of wood.

    3.25 = 4.16 kWh/kg (net, as fired) × 0.78. EN 15544 (from memory).
    """
    return 3.25 * load_kg / storage_h


def burn_time_h(load_kg: float, moisture_dry_basis: float, dry_rate_kg_h: float) -> float:
    """Hours that a load lasts at a burn rate in kg *dry* wood an hour (EPA Method 28)."""
    return load_kg / (1.0 + moisture_dry_basis) / dry_rate_kg_h


def method28_load_kg(firebox_m3: float) -> float:
    """Load of an EPA Method 28 test, kg: 7 lb for each ft³ of usable firebox (112 kg/m³)."""
    return firebox_m3 * 7.0 * 0.45359237 / (0.3048 * 0.3048 * 0.3048)


def bag_life_h(bag_kg: float, feed_kg_h: float) -> float:
    """Hours that a bag of pellets lasts at a feed rate."""
    return bag_kg / feed_kg_h
