"""KERNEL: what the heater gives in a sub-step, and why an hour was cold."""

from __future__ import annotations

from typing import NamedTuple

from greenhouse_sim.heater.burn import Fire, decay_power, efficiency, hand_fed_power
from greenhouse_sim.heater.numbers import (
    DECAY,
    FULL_BURN,
    IDEAL,
    ROOM_THERMOSTAT,
    STORE_THERMOSTAT,
    Heater,
)
from greenhouse_sim.heater.store import Store
from greenhouse_sim.season import tally as at
from greenhouse_sim.substep import PER_STEP_S

UNLIMITED_W = 1.0e12
NEARLY_ALL = 0.9
"""Share of its most from which a heater counts as at full output."""


class Fuelled(NamedTuple):
    """What the fire gives in a sub-step before the air is known."""

    fuel_w: float
    """Fuel power already decided, W."""
    direct_w: float
    """Useful heat straight into the greenhouse, W."""
    charge_w: float
    """Useful heat into the store, W."""
    most_w: float
    """Most controlled heat, W."""


def uncontrolled(heater: Heater, fire: Fire, store: Store, taken_w: float, power: float) -> Fuelled:
    """Fires that do not ask the room: batch, store-thermostat, full burn, decay.

    ``taken_w`` is what the coil drew of late: a store thermostat shuts the air within the
    sub-step, when the store is full.
    """
    if heater.law == DECAY:
        heat = decay_power(heater, store.dry_kg, store.core)
        return Fuelled(heat, 0.0, heat, 0.0)
    wanted = fire.setting_w
    if heater.needs_power > 0.5 and power < 0.5 and heater.law == FULL_BURN:
        wanted = 0.0
    share = 1.0
    if heater.law == STORE_THERMOSTAT:
        share = 0.0
        if fire.hard > 0.5:
            room_w = (heater.fire_above + 1.0 - store.core) * heater.store_c * PER_STEP_S + taken_w
            share = min(1.0, max(0.0, room_w / (heater.burn_max_w * heater.efficiency_max)))
        wanted = share * heater.burn_max_w + (1.0 - share) * heater.idle_w
    fuel_w = hand_fed_power(heater, fire, wanted)
    if heater.law == STORE_THERMOSTAT:
        # hard for its share of the time, idling for the rest: each at its own efficiency
        idle_w = min(fuel_w, (1.0 - share) * heater.idle_w)
        useful = (fuel_w - idle_w) * heater.efficiency_max + idle_w * heater.efficiency_min
    else:
        useful = fuel_w * efficiency(heater, fuel_w)
    if heater.store_c <= 0.0:
        return Fuelled(fuel_w, useful, 0.0, 0.0)
    direct = heater.direct_share * useful
    return Fuelled(fuel_w, direct, useful - direct, 0.0)


def controlled(heater: Heater, fire: Fire, power: float) -> Fuelled:
    """Heaters that follow the room: ideal, and burners under a room thermostat.

    Under its lowest rate a burner goes out and relights, within the sub-step as often as it
    must; over the sub-step it gives what the room asks, at its lowest rate's efficiency.
    """
    if heater.law == IDEAL:
        return Fuelled(0.0, 0.0, 0.0, UNLIMITED_W)
    if heater.needs_power > 0.5 and power < 0.5:
        return Fuelled(0.0, 0.0, 0.0, 0.0)
    most = heater.burn_max_w
    if heater.hand_fed > 0.5:
        most = min(most, fire.fuel_kg * heater.heat_j_kg * PER_STEP_S)
    return Fuelled(0.0, 0.0, 0.0, most * efficiency(heater, most))


def ignitions(heater: Heater, fire: Fire, fuel_w: float) -> float:
    """Self-ignitions in a sub-step of a burner with a lowest rate: one if it had been out."""
    return 1.0 if fuel_w > 0.0 and fire.hard < 0.5 and heater.burn_min_w > 0.0 else 0.0


def running_share(heater: Heater, fuel_w: float) -> float:
    """Share of the sub-step for which a fire burns: less than 1 where a burner cycles."""
    if heater.law != ROOM_THERMOSTAT:
        return 1.0
    if heater.burn_min_w > 0.0:
        return min(1.0, fuel_w / heater.burn_min_w)
    return fuel_w / heater.burn_max_w


def flat_out(heater: Heater, fire: Fire, fuel_w: float, heat_w: float, most_w: float) -> bool:
    """Whether the heater gives all it can (``heat_w`` of ``most_w`` where it follows the room)."""
    if heater.law == DECAY or (
        heater.burn_max_w > 0.0 and fuel_w >= NEARLY_ALL * heater.burn_max_w
    ):
        return True
    self_lit = heater.law == ROOM_THERMOSTAT or fire.lit > 0.5
    return self_lit and most_w > 0.0 and heat_w >= NEARLY_ALL * most_w


def cause_of_cold(
    heater: Heater,
    fire: Fire,
    share_of_most: float,
    opened: bool,
    power: float,
    away: float,
    asleep: float,
    pile_kg: float,
) -> int:
    """Why an hour was cold: the first that holds of these.

    ``opened``: somebody came in this hour and left the air wide open, so the fire did what
    it could. "Fire out" is also a fire left too low by someone who was there.
    """
    if heater.needs_power > 0.5 and power < 0.5:
        return at.CAUSE_POWER
    if heater.hand_fed > 0.5 and fire.lit < 0.5 and pile_kg <= 0.0:
        return at.CAUSE_FUEL
    self_fed = heater.hand_fed < 0.5 or (heater.law == ROOM_THERMOSTAT and fire.fuel_kg > 0.0)
    if share_of_most > NEARLY_ALL or opened or self_fed:
        return at.CAUSE_FULL
    if away > 0.5:
        return at.CAUSE_AWAY
    if asleep > 0.5:
        return at.CAUSE_ASLEEP
    return at.CAUSE_OUT
