"""From a row of the catalogue to the kernel's numbers."""

from __future__ import annotations

import functools
from typing import NamedTuple

from greenhouse_sim.errors import ScenarioError
from greenhouse_sim.heater.burnt import charge, default_fuel, pile_mass, tested_with
from greenhouse_sim.heater.catalogue import Choice, Overrides, choose, law_of
from greenhouse_sim.heater.efficiency import check_efficiency, gross_efficiency
from greenhouse_sim.heater.fuel import Fuel, constant
from greenhouse_sim.heater.numbers import DECAY, LAWS, Heater

HAND_FED_FUELS = ("wood", "pellets")
MOST_HEATERS = 100
MOST_KEPT = 256
"""Heaters whose numbers are kept once they are worked out."""


class Burning(NamedTuple):
    """Fuel power (gross, W) and gross efficiency of one heater with one fuel."""

    max_w: float
    min_w: float
    efficiency_max: float
    efficiency_min: float


def heater_numbers(
    kind: str,
    count: int = 1,
    overrides: Overrides | None = None,
    fuel: Fuel | None = None,
    where: str = "[heater]",
) -> Heater:
    """The kernel's numbers of ``count`` alike heaters.

    Parameters
    ----------
    kind
        A name of the catalogue.
    count
        How many of them, 1 to 100; they are tended together.
    overrides
        Key of the heater's table to a value in the unit of its row.
    fuel
        The scenario's fuel. A heater that does not burn it burns its own (`default_fuel`).
    where
        The section to name in a message.

    Returns
    -------
    Heater
        All floats, SI; heats of fuel gross, masses as fired.

    Raises
    ------
    ScenarioError
        Unknown heater or key, a value that cannot be, an efficiency over 100 % on its basis.
    """
    return _numbers(kind, count, tuple(sorted((overrides or {}).items())), fuel, where)


@functools.lru_cache(maxsize=MOST_KEPT)
def _numbers(
    kind: str, count: int, own: tuple[tuple[str, float | str], ...], fuel: Fuel | None, where: str
) -> Heater:
    """Kept: every season asks for its heater anew."""
    choice, but_for_fuel = _but_for_fuel(kind, count, own, where)
    burnt = default_fuel(kind, fuel)
    n = float(count)
    burning = _burning(choice, burnt)
    held = n * charge(choice, burnt)
    if LAWS[law_of(choice)] == DECAY:
        _check_decay(choice, burnt, where)
    return but_for_fuel(
        charge_kg=held,
        heat_j_kg=float(burnt.gross_J_kg),
        kg_per_j=1.0 / float(burnt.gross_J_kg),
        hand_fed=1.0 if burnt.kind in HAND_FED_FUELS else 0.0,
        burn_max_w=n * burning.max_w,
        burn_min_w=n * burning.min_w,
        coal_kg=held * choice.number("coal_share"),
        efficiency_max=burning.efficiency_max,
        efficiency_min=burning.efficiency_min,
        efficiency_slope=_slope(burning) / n,
    )


@functools.lru_cache(maxsize=MOST_KEPT)
def _but_for_fuel(
    kind: str, count: int, own: tuple[tuple[str, float | str], ...], where: str
) -> tuple[Choice, functools.partial[Heater]]:
    """The heater, checked, with the numbers that are the same whatever it burns."""
    if not 1 <= count <= MOST_HEATERS:
        raise ScenarioError(f"{where} count: {count} heaters; write 1 to {MOST_HEATERS}")
    choice = choose(kind, dict(own), where)
    law = LAWS[law_of(choice)]
    if "pile_volume" not in choice.table:
        efficiency_notes(choice.name, choice.overrides, where)
    n = float(count)
    core, skin = _store(choice)
    but_for_fuel = functools.partial(
        Heater,
        law=law,
        idle_w=n * choice.number("idle_power", "W"),
        store_c=n * core,
        skin_c=n * skin,
        core_skin_w_k=n * choice.number("core_skin_w_k", "W/K"),
        store_start=choice.number("store_start", "degC"),
        fire_below=choice.number("fire_below", "degC"),
        fire_above=choice.number("fire_above", "degC"),
        store_limit=choice.number("store_limit", "degC"),
        direct_share=choice.number("direct_share"),
        floor_share=choice.number("floor_share"),
        skin_w_k=n * choice.number("skin_w_k", "W/K"),
        skin_slope=choice.number("skin_slope", "1/K"),
        out_w_k=n * choice.number("out_w_k", "W/K"),
        pipe_w_k=n * choice.number("pipe_w_k", "W/K"),
        coil_w_k=n * choice.number("coil_w_k", "W/K"),
        coil_above=choice.number("coil_above", "degC"),
        burn_electric_w=n * choice.number("burn_electric", "W"),
        pump_electric_w=n * choice.number("pump_electric", "W"),
        ignition_j=n * choice.number("ignition_energy", "J"),
        needs_power=choice.number("needs_power"),
        dry_kg=n * pile_dry_mass(choice),
        decay_share=choice.number("degradable_share"),
        decay_rate=choice.number("decay_rate", "1/s"),
        decay_j_kg=choice.number("decay_heat", "J/kg"),
        air_limit_w=n * _air_limit(choice),
        load_s=n * choice.number("load_time", "s"),
        light_s=n * choice.number("light_time", "s"),
        night_s=choice.number("night_time", "s"),
        watch_share=choice.number("watch_share"),
        ash_s_kg=choice.number("ash_time", "s/kg"),
    )
    return choice, but_for_fuel


def _slope(burning: Burning) -> float:
    """Growth of one heater's efficiency with its fuel power, 1/W."""
    span_w = burning.max_w - burning.min_w
    return (burning.efficiency_max - burning.efficiency_min) / span_w if span_w > 0.0 else 0.0


def efficiency_notes(
    kind: str, overrides: Overrides | None = None, where: str = "[heater]"
) -> tuple[str, ...]:
    """What is hard to believe in a heater's efficiencies; refuses what cannot be."""
    choice = choose(kind, overrides, where)
    tested = tested_with(choice, default_fuel(kind, None))
    notes: list[str] = []
    for key in ("efficiency_max", "efficiency_min"):
        basis = choice.text("efficiency_basis")
        notes += check_efficiency(choice.number(key), basis, tested, f"{where} {key}")
    return tuple(notes)


def _burning(choice: Choice, fuel: Fuel) -> Burning:
    """Fuel power and gross efficiency with ``fuel``.

    Outputs are stated for the test fuel. The fuel power behind them is a property of
    the air that the appliance lets in: air goes with oven-dry matter, and so does gross
    heat, so the gross fuel power stays the same whatever the wood's moisture; the
    efficiency, and with it the output, does not.
    """
    if "pile_volume" in choice.table:
        return Burning(_air_limit(choice), 0.0, 1.0, 1.0)
    basis = choice.text("efficiency_basis")
    tested = tested_with(choice, fuel)
    best, worst = choice.number("efficiency_max"), choice.number("efficiency_min")
    most = choice.number("output_max", "W") / gross_efficiency(best, basis, tested, tested)
    least = choice.number("output_min", "W") / gross_efficiency(worst, basis, tested, tested)
    return Burning(
        most,
        min(least, most),
        gross_efficiency(best, basis, tested, fuel),
        gross_efficiency(worst, basis, tested, fuel),
    )


def _store(choice: Choice) -> tuple[float, float]:
    """Heat capacity of core and skin of one heater's store, J/K."""
    mass = pile_mass(choice) if "pile_volume" in choice.table else choice.number("store_mass", "kg")
    solid = mass * choice.number("store_specific_heat", "J/kg/K")
    water = choice.number("store_water", "m^3") * constant("water_heat") * 1e6
    whole = solid + water
    skin = whole * choice.number("skin_share")
    return whole - skin, skin


def pile_dry_mass(choice: Choice) -> float:
    """Dry matter of a compost pile, kg; 0 for other heaters."""
    if "pile_volume" not in choice.table:
        return 0.0
    return pile_mass(choice) * choice.number("dry_share")


def _air_limit(choice: Choice) -> float:
    return choice.number("pile_volume", "m^3") * choice.number("air_limit", "W/m^3")


def _check_decay(choice: Choice, fuel: Fuel, where: str) -> None:
    """A pile never gives more than the gross heat of the wood it is made of."""
    given = choice.number("degradable_share") * choice.number("decay_heat", "J/kg")
    if given > fuel.gross_dry_J_kg:
        raise ScenarioError(
            f"{where} decay_heat: {given / 1e6:.1f} MJ for each kg of dry matter is more than "
            f"burning it gives ({fuel.gross_dry_J_kg / 1e6:.1f} MJ/kg gross); write less"
        )
