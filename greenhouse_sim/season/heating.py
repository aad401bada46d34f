"""KERNEL: what the heater gives in a sub-step, and why an hour was cold."""

from __future__ import annotations

from typing import NamedTuple

from greenhouse_sim.heater.burn import Fire, decay_power, efficiency, hand_fed_power
from greenhouse_sim.heater.numbers import DECAY, IDEAL, STORE_THERMOSTAT, Heater
from greenhouse_sim.heater.store import Store
from greenhouse_sim.season import tally as at
from greenhouse_sim.season.step import STEP_S

UNLIMITED_W = 1.0e12
RELIGHT_K = 0.25
"""A room thermostat calls for heat this far under the setpoint, K."""
OVERSHOOT_K = 1.0
"""... and shuts a heater at its lowest rate this far over it, K."""
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
    least_w: float
    """Least controlled heat, W."""
    most_w: float
    """Most controlled heat, W."""


def uncontrolled(heater: Heater, fire: Fire, store: Store, taken_w: float) -> Fuelled:
    """Fires that do not ask the room: batch, store-thermostat, full burn, decay.

    ``taken_w`` is what the coil drew of late: a store thermostat shuts the air within the
    sub-step, when the store is full.
    """
    if heater.law == DECAY:
        heat = decay_power(heater, store.dry_kg, store.core)
        return Fuelled(heat, 0.0, heat, 0.0, 0.0)
    wanted = fire.setting_w
    if heater.law == STORE_THERMOSTAT:
        wanted = heater.idle_w
        if fire.hard > 0.5:
            room_w = (heater.fire_above + 1.0 - store.core) * heater.store_c / STEP_S + taken_w
            share = min(1.0, max(0.0, room_w / (heater.burn_max_w * heater.efficiency_max)))
            wanted = share * heater.burn_max_w + (1.0 - share) * heater.idle_w
    power = hand_fed_power(heater, fire, wanted, STEP_S)
    useful = power * efficiency(heater, power)
    if heater.store_c <= 0.0:
        return Fuelled(power, useful, 0.0, 0.0, 0.0)
    direct = heater.direct_share * useful
    return Fuelled(power, direct, useful - direct, 0.0, 0.0)


def controlled(heater: Heater, fire: Fire, power: float) -> Fuelled:
    """Heaters that follow the room: ideal, and burners under a room thermostat."""
    if heater.law == IDEAL:
        return Fuelled(0.0, 0.0, 0.0, 0.0, UNLIMITED_W)
    if fire.lit < 0.5 or (heater.needs_power > 0.5 and power < 0.5):
        return Fuelled(0.0, 0.0, 0.0, 0.0, 0.0)
    most = heater.burn_max_w
    if heater.hand_fed > 0.5:
        most = min(most, fire.fuel_kg * heater.heat_j_kg / STEP_S)
    least = min(heater.burn_min_w, most)
    return Fuelled(
        0.0, 0.0, 0.0, least * efficiency(heater, least), most * efficiency(heater, most)
    )


def thermostat(heater: Heater, fire: Fire, air_t: float, hold: float, power: float) -> Fire:
    """Light or put out a burner under a room thermostat."""
    fuelled = heater.hand_fed < 0.5 or fire.fuel_kg > 0.0
    powered = heater.needs_power < 0.5 or power > 0.5
    lit = fire.lit
    if not (fuelled and powered) or air_t > hold + OVERSHOOT_K:
        lit = 0.0
    elif air_t < hold - RELIGHT_K or heater.burn_min_w <= 0.0:
        lit = 1.0
    return Fire(fire.fuel_kg, fire.setting_w, lit, fire.hard)


def flat_out(heater: Heater, fire: Fire, fuel_w: float, heat_w: float, most_w: float) -> bool:
    """Whether the heater gives all it can (``heat_w`` of ``most_w`` where it follows the room)."""
    if heater.law == DECAY or (
        heater.burn_max_w > 0.0 and fuel_w >= NEARLY_ALL * heater.burn_max_w
    ):
        return True
    return fire.lit > 0.5 and most_w > 0.0 and heat_w >= NEARLY_ALL * most_w


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
    if share_of_most > NEARLY_ALL or opened or heater.hand_fed < 0.5:
        return at.CAUSE_FULL
    if away > 0.5:
        return at.CAUSE_AWAY
    if asleep > 0.5:
        return at.CAUSE_ASLEEP
    return at.CAUSE_OUT
