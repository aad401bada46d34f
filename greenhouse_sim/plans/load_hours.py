"""How long a full load carries the greenhouse on the design night.

Steady: the house loses ``need_W``, outdoors stays at the design temperature, the fire is set to
what the need asks, as far as it can. A stove's load counts down to its coals. A store counts once,
full, from its limit down to where it can no longer give the need; its jacket loses on the way.
"""

from __future__ import annotations

from typing import NamedTuple

from greenhouse_sim.heater.burn import efficiency, fuel_power_for
from greenhouse_sim.heater.numbers import DECAY, FULL_BURN, STORE_THERMOSTAT, Heater


class LoadHours(NamedTuple):
    """A full load on the design night."""

    hours: float | None
    """None for a heater that nobody loads."""
    store_hours: float | None
    """What a full store carries beyond it; None without a store that is drawn from."""
    output_W: float
    """Most useful heat, W."""
    share: float
    """Of the need that this output reaches, 1 at most."""


def load_hours(heater: Heater, need_W: float, inside_C: float, out_C: float) -> LoadHours:
    """Hours of a full load and of a full store.

    Parameters
    ----------
    heater
        The kernel's numbers.
    need_W
        Steady loss of the house, W, above 0.
    inside_C, out_C
        Air inside and outside, °C.
    """
    most_W = heater.burn_max_w * efficiency(heater, heater.burn_max_w)
    if heater.law == DECAY:
        return LoadHours(None, None, most_W, min(1.0, most_W / need_W))
    jacket_W = heater.out_w_k * max(0.0, _middle_C(heater, inside_C) - out_C)
    asked_W = min(need_W + jacket_W, most_W)
    hours = None
    if heater.hand_fed > 0.5:
        fuel_W = max(fuel_power_for(heater, asked_W), heater.burn_min_w * _steady(heater))
        load_J = (heater.charge_kg - heater.coal_kg) * heater.heat_j_kg
        hours = load_J / max(fuel_W, 1e-9) / 3600.0
    reaches = min(1.0, max(most_W - jacket_W, 0.0) / need_W)
    return LoadHours(hours, _store_hours(heater, need_W, jacket_W, inside_C), most_W, reaches)


def _steady(heater: Heater) -> float:
    """1.0 where the fire cannot go below its lowest rate: one that is set and left."""
    cycles = heater.law in (STORE_THERMOSTAT, FULL_BURN) or heater.hand_fed < 0.5
    return 0.0 if cycles or heater.coal_kg <= 0.0 else 1.0


def _floor_C(heater: Heater, need_W: float, inside_C: float) -> float:
    """Store temperature at which it can just give the need."""
    conductance = heater.coil_w_k if heater.coil_w_k > 0.0 else heater.skin_w_k
    return max(heater.coil_above, inside_C + need_W / max(conductance, 1e-9))


def _middle_C(heater: Heater, inside_C: float) -> float:
    """Temperature of a store in the middle of its work; the room's where there is none."""
    if heater.coil_w_k <= 0.0:
        return inside_C
    top = heater.fire_above if heater.law == STORE_THERMOSTAT else heater.store_limit
    return 0.5 * (top + heater.coil_above)


def _store_hours(heater: Heater, need_W: float, jacket_W: float, inside_C: float) -> float | None:
    """Hours from a full store to one that cannot give the need; iron of a stove is no store."""
    if heater.store_c <= 0.0 or heater.law not in (STORE_THERMOSTAT, FULL_BURN):
        return None
    top = heater.fire_above if heater.law == STORE_THERMOSTAT else heater.store_limit
    drop = max(0.0, top - _floor_C(heater, need_W, inside_C))
    return (heater.store_c + heater.skin_c) * drop / (need_W + jacket_W) / 3600.0
