"""KERNEL: how fast fuel is used now, and what of it is useful heat.

A hand-fed fire burns at the rate its air allows until it is down to coals
(``coal_kg``); from there the rate falls in proportion to what is left, so the tail
is an exponential with time constant coal_kg·heat_j_kg/rate. Below a twentieth of
the coals it is out.
"""

from __future__ import annotations

import math
from typing import NamedTuple

from greenhouse_sim.exponential import exp
from greenhouse_sim.heater.numbers import Heater
from greenhouse_sim.substep import PER_STEP_S, STEP_S

OUT_SHARE = 0.05
"""A fire with less than this share of its coals left is out (common practice, no source)."""


class Fire(NamedTuple):
    """The fire's state."""

    fuel_kg: float
    """Fuel in the firebox or hopper."""
    setting_w: float
    """Fuel power that the air control is set to, W."""
    lit: float
    """1.0 while there is fire (or live coals)."""
    hard: float
    """1.0 while a store thermostat fires hard."""


def efficiency(heater: Heater, fuel_w: float) -> float:
    """Useful share of gross fuel heat: linear between the lowest and highest fuel power."""
    above_w = min(fuel_w, heater.burn_max_w) - heater.burn_min_w
    return heater.efficiency_min + heater.efficiency_slope * max(0.0, above_w)


def fuel_power_for(heater: Heater, heat_w: float) -> float:
    """Fuel power that gives this useful heat (the inverse of power × efficiency), W.

    With efficiency e₀ + s·(P − P₀) the heat is a quadratic in the power P.
    """
    if heater.efficiency_slope == 0.0 or heat_w <= heater.burn_min_w * heater.efficiency_min:
        return heat_w / heater.efficiency_min
    slope = heater.efficiency_slope
    level = heater.efficiency_min - slope * heater.burn_min_w
    return 2.0 * heat_w / (level + math.sqrt(level * level + 4.0 * slope * heat_w))


def hand_fed_power(heater: Heater, fire: Fire, wanted_w: float) -> float:
    """Mean fuel power over a sub-step of a batch fire with its air set to ``wanted_w``, W."""
    if fire.lit < 0.5 or fire.fuel_kg <= 0.0:
        return 0.0
    burnt = wanted_w * STEP_S * heater.kg_per_j
    left = fire.fuel_kg
    if left - burnt >= heater.coal_kg:
        return wanted_w
    # down to the coals at the set rate, then an exponential tail
    power_per_kg = heater.heat_j_kg * PER_STEP_S
    if heater.coal_kg <= 0.0:
        return min(burnt, left) * power_per_kg
    above = max(0.0, left - heater.coal_kg)
    rest_kg = burnt - above  # what the set rate would still burn in the rest of the sub-step
    tail = (left - above) * (1.0 - exp(-rest_kg / heater.coal_kg))
    return (above + tail) * power_per_kg


def after_burning(heater: Heater, fire: Fire, power_w: float) -> Fire:
    """The fire after a sub-step at this fuel power."""
    left = max(0.0, fire.fuel_kg - power_w * STEP_S * heater.kg_per_j)
    lit = fire.lit
    if left <= OUT_SHARE * heater.coal_kg or left <= 0.0:
        lit = 0.0
    return Fire(left, fire.setting_w, lit, fire.hard)


def fires_hard(heater: Heater, hard: float, store_t: float) -> float:
    """The store thermostat with its two temperatures."""
    if store_t < heater.fire_below:
        return 1.0
    if store_t > heater.fire_above:
        return 0.0
    return hard


def decay_power(heater: Heater, dry_kg: float, pile_t: float) -> float:
    """Heat of a compost pile, W.

    First-order decay of what is left to decay, dB/dt = −k·B, with
    k(T) = k₂₀·(1.066^(T−20) − 1.21^(T−60)), never below 0 (Haug, *The Practical
    Handbook of Compost Engineering*, 1993; from memory), and never more than the
    pile's own draft can feed with oxygen.
    """
    factor = exp(0.06391332574365 * (pile_t - 20.0)) - exp(0.19062035960865 * (pile_t - 60.0))
    rate = heater.decay_rate * max(0.0, factor)
    return min(dry_kg * rate * heater.decay_j_kg, heater.air_limit_w)
