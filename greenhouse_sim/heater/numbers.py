"""The heater as the hourly kernel sees it: SI floats, all units of ``count`` together.

Every heater of the trade is the same four steps with other numbers: *charge*,
*burn*, *store*, *release*. Heats of fuel are gross (higher heating value).
"""

from __future__ import annotations

from typing import NamedTuple

IDEAL = 0.0
"""As much heat as needed, at once."""
SET_AND_LEAVE = 1.0
"""The operator sets the air at each visit; the fire holds that rate down to its coals."""
ROOM_THERMOSTAT = 2.0
"""Modulates on room air, goes out below its lowest rate, relights by itself."""
STORE_THERMOSTAT = 3.0
"""Fires hard below one store temperature, idles above another; idling still eats wood."""
FULL_BURN = 4.0
"""Each charge is burnt flat out into the store, then the fire is out."""
DECAY = 5.0
"""Compost: the rate follows temperature, air and what is left to decay."""

LAWS = {
    "ideal": IDEAL,
    "set and leave": SET_AND_LEAVE,
    "thermostat on room air": ROOM_THERMOSTAT,
    "thermostat on store": STORE_THERMOSTAT,
    "full burn": FULL_BURN,
    "decay": DECAY,
}


class Heater(NamedTuple):
    """One heater (or ``count`` alike) with its fuel."""

    law: float
    # charge
    charge_kg: float
    """Most fuel it holds, kg as fired."""
    heat_j_kg: float
    """Gross heat of the fuel as fired, J/kg."""
    kg_per_j: float
    """Its reciprocal, kg/J."""
    hand_fed: float
    """1.0 where somebody must load it; 0.0 for piped gas, electricity, ideal and compost."""
    # burn
    burn_max_w: float
    """Fuel power (gross) with the air open, W."""
    burn_min_w: float
    """Lowest fuel power it can hold, W."""
    idle_w: float
    """Fuel power while a store thermostat has shut the air, W."""
    coal_kg: float
    """Below this much fuel the fire is coals and the rate falls with what is left, kg."""
    efficiency_max: float
    """Useful heat at burn_max_w, share of gross fuel heat."""
    efficiency_min: float
    """Useful heat at burn_min_w and below, share of gross fuel heat."""
    efficiency_slope: float
    """Growth of the efficiency from burn_min_w to burn_max_w, 1/W."""
    # store
    store_c: float
    """Heat capacity of the store's core, J/K; 0 for none."""
    skin_c: float
    """Heat capacity of the store's skin, J/K; 0 where core and skin are one."""
    core_skin_w_k: float
    """Conductance between core and skin, W/K."""
    store_start: float
    """Store temperature at the start of the season, °C."""
    fire_below: float
    """Store temperature under which a store thermostat fires, °C."""
    fire_above: float
    """Store temperature over which it idles, °C."""
    store_limit: float
    """Store temperature never passed (boil-over, cracking), °C: heat beyond it is lost."""
    # release
    direct_share: float
    """Share of the useful heat that reaches the greenhouse at once instead of by the store."""
    floor_share: float
    """Share of the heat released that shines on or is laid in the soil instead of the air."""
    skin_w_k: float
    """Store skin to greenhouse air at 0 K excess, W/K; 0 where the store stands elsewhere."""
    skin_slope: float
    """Growth of skin_w_k for each kelvin of excess (radiation), 1/K."""
    out_w_k: float
    """Store to outdoor air, W/K."""
    pipe_w_k: float
    """Pipe between store and greenhouse, to the ground, while the pump runs, W/K."""
    coil_w_k: float
    """Most that pump and coil carry from store to greenhouse for each kelvin, W/K; 0 for none."""
    coil_above: float
    """Store temperature under which the pump stops, °C."""
    # electricity
    burn_electric_w: float
    """Fan, auger, controls while burning, W."""
    pump_electric_w: float
    """Pump and coil fan while they run, W."""
    ignition_j: float
    """Electricity of one self-ignition, J."""
    needs_power: float
    """1.0 where fire and release stop in a power cut."""
    # decay
    dry_kg: float
    """Dry matter of the pile, kg."""
    decay_share: float
    """Share of the dry matter that can decay."""
    decay_rate: float
    """First-order rate at 20 °C, 1/s."""
    decay_j_kg: float
    """Heat of a kilogram that has decayed, J/kg."""
    air_limit_w: float
    """Most decay heat that the pile's own draft can feed with oxygen, W."""
    # labour, s
    load_s: float
    """One load."""
    light_s: float
    """Laying and lighting a fire."""
    night_s: float
    """One night visit with its walk, beyond the load."""
    watch_share: float
    """Share of the burning time that somebody must stay by."""
    ash_s_kg: float
    """Ash carried out, for each kilogram of fuel."""


class Backup(NamedTuple):
    """A heater that starts by itself when the greenhouse is too cold."""

    max_w: float
    """Most heat into the greenhouse, W; 0 for none."""
    starts_below: float
    """Air temperature that it holds, °C."""
    efficiency: float
    """Heat into the greenhouse, share of gross fuel heat (or electricity)."""
    electric_w: float
    """Fan and controls while running, W."""
    is_electric: float
    """1.0 where its heat is mains electricity."""
    needs_power: float
    """1.0 where a power cut stops it."""
