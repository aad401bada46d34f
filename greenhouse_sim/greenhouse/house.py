"""The whole greenhouse as the hourly kernel sees it."""

from __future__ import annotations

import math
from typing import Any

from greenhouse_sim.greenhouse.chain import Chain, join
from greenhouse_sim.greenhouse.edge import edge_w_k, has_floor
from greenhouse_sim.greenhouse.enclosure import face_chains, is_closed, number
from greenhouse_sim.greenhouse.fitted import fitted
from greenhouse_sim.greenhouse.ground import soil_chain
from greenhouse_sim.greenhouse.leak import air_heat, leak
from greenhouse_sim.greenhouse.loss import wall_halves
from greenhouse_sim.greenhouse.mass import mass_chain
from greenhouse_sim.greenhouse.numbers import House
from greenhouse_sim.greenhouse.part import Shell
from greenhouse_sim.greenhouse.row_cover import under_cover
from greenhouse_sim.greenhouse.shape import shell
from greenhouse_sim.greenhouse.skin import DOWN_DEG, Skin, skins
from greenhouse_sim.greenhouse.table import envelope

IDEAL_COOLER_W_K = 1e12


def build_house(
    scenario: Any,
    deep_ground_C: float,
    *,
    elevation_m: float | None = None,
    latitude: float | None = None,
) -> House:
    """The greenhouse of a scenario, ready for the kernel.

    Parameters
    ----------
    scenario
        The scenario, SI.
    deep_ground_C
        Temperature under the soil layers, °C (see `ground.deep_ground_C`).
    elevation_m
        Height above the sea where the scenario does not say, m.
    latitude
        Degrees, negative in the south, where the scenario does not say: which side is *north*.
    """
    house, walls = scenario.greenhouse, shell(scenario, latitude)
    height = _elevation(scenario, elevation_m)
    air_c = _air_capacity(house, walls, height) * fitted(house, "capacity")
    chains = _chains(house, walls, skins(scenario, walls))
    leak_w_k, leak_stack = leak(house, walls, height)
    ideal = house.ideal_cooling_above is not None
    carried = air_heat(height) * walls.volume_m3 * house.vent_air_changes
    joined = join(chains, first_setpoint(scenario.crop), deep_ground_C)
    return House(
        floor_m2=float(walls.floor_m2),
        air_c=air_c,
        quick_c=air_c + sum(_quick(chain) for chain in chains),
        leak_w_k=float(leak_w_k),
        leak_stack=float(leak_stack),
        edge_w_k=edge_w_k(house, walls),
        vent_at=float(house.ideal_cooling_above if ideal else scenario.crop.vent_at),
        vent_w_k=IDEAL_COOLER_W_K if ideal else float(carried),
        ideal_cooling=1.0 if ideal else 0.0,
        damage_below=float(scenario.crop.damage_below),
        crop_covered=1.0 if chains and chains[0].lit == 1 else 0.0,
        node_gain=_radiant_gain(joined["star_g"]),
        **joined,
    )


def _radiant_gain(star_g: Any) -> Any:
    """Share of the internal gain that each node takes: its radiant part, where faces radiate."""
    whole = float(star_g.sum())
    return star_g * (number("gain_radiant") / whole) if whole > 0.0 else star_g


def first_setpoint(crop: Any) -> float:
    """The setpoint that a greenhouse starts its season at (the lowest of the day), °C."""
    if crop.schedule:
        return float(min(span.at for span in crop.schedule))
    return float(min(crop.setpoint_day, crop.setpoint_night))


def _elevation(scenario: Any, elevation_m: float | None) -> float:
    given = scenario.site.elevation
    return float(given if given is not None else elevation_m or 0.0)


def _air_capacity(house: Any, walls: Shell, height_m: float) -> float:
    """Air, frame, film, benches and crop; what a test box states stands as it is. J/K."""
    if house.shape == "surfaces" and house.heat_capacity is not None:
        return float(house.heat_capacity)
    hanging = envelope("air_side_capacity") * walls.floor_m2
    return float(air_heat(height_m) * walls.volume_m3 + hanging)


def _chains(house: Any, walls: Shell, parts: tuple[Skin, ...]) -> list[Chain]:
    """Soil first, then heavy walls, then added mass."""
    chains: list[Chain] = []
    box = house.shape == "surfaces"
    if not (box and has_floor(house)):
        conductivity = house.floor.conductivity * fitted(house, "soil")
        floor = soil_chain(conductivity, house.floor.heat_capacity, walls)
        floor = under_cover(house, floor, walls.floor_m2)
        chains.append(floor._replace(sun_floor=envelope("box_floor_light") if box else 1.0))
    if is_closed(house):
        chains.extend(face_chains(parts))
    else:
        heavy = [skin for skin in parts if skin.capacity > 0.0]
        chains.extend(_wall_chain(skin, box, parts) for skin in heavy)
    for mass in house.mass:
        built = mass_chain(mass)
        if built is not None:
            chains.append(built)
    return chains


def _wall_chain(skin: Skin, box: bool, parts: tuple[Skin, ...]) -> Chain:
    """A heavy wall: inner film, its capacity, the rest of it, outdoors.

    In a test box every wall takes its share of the sun on inner surfaces; in a greenhouse a
    heavy north wall takes the sun that passes over the crop and meets it.
    """
    inside, outside = wall_halves(skin)
    floor_share = box_light(skin, parts) if box else 0.0
    lit = 0.0 if box else skin.part.area_m2
    return Chain(
        (skin.part.area_m2 * skin.capacity,), (inside,), outside, 1.0, floor_share, lit, 0.0
    )


def box_light(skin: Skin, parts: tuple[Skin, ...]) -> float:
    """Share of the sun inside a test box that one opaque surface takes.

    The floor takes 0.642 and the other opaque surfaces the rest by area (Standard 140, case 600).
    """
    floor = envelope("box_floor_light")
    is_floor = skin.part.tilt_deg > DOWN_DEG
    kin = [p for p in parts if p.opaque and (p.part.tilt_deg > DOWN_DEG) == is_floor]
    return (
        (floor if is_floor else 1.0 - floor) * skin.part.area_m2 / sum(p.part.area_m2 for p in kin)
    )


def _quick(chain: Chain) -> float:
    """The part of a chain's first node that follows the air within the quick time, J/K."""
    if chain.node_c[0] <= 0.0:
        return 0.0
    followed = 1.0 - math.exp(-envelope("quick_time") * chain.node_g[0] / chain.node_c[0])
    return chain.node_c[0] * followed
