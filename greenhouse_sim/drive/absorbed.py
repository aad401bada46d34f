"""What the sun inside turns into: warm air, warm soil, warm mass, or vapour."""

from __future__ import annotations

from typing import Any, NamedTuple

import numpy as np

from greenhouse_sim.drive.inside import Caught
from greenhouse_sim.greenhouse.edge import has_floor
from greenhouse_sim.greenhouse.house import box_light
from greenhouse_sim.greenhouse.mass import lit_m2
from greenhouse_sim.greenhouse.skin import Skin
from greenhouse_sim.greenhouse.table import envelope
from greenhouse_sim.greenhouse.vapour import canopy_vapour_share

Array = np.ndarray


class Absorbed(NamedTuple):
    """Sun by the place that it ends in, W, shape (hours,)."""

    air: Array
    floor: Array
    mass: Array
    latent: Array


def in_greenhouse(house: Any, skins: tuple[Skin, ...], caught: Caught, floor_m2: float) -> Absorbed:
    """Split among crop, soil and mass; crop and moist soil may turn part into vapour.

    How much of that part they do depends on temperature, see `greenhouse_sim.season.vapour`.
    """
    dark = sum(lit_m2(mass) for mass in house.mass)
    to_mass = caught.floor * min(dark / floor_m2, envelope("most_on_mass"))
    left = caught.floor - to_mass
    crop = left * house.planted_share
    bare = left - crop
    crop_vapour = crop * canopy_vapour_share()
    soil_vapour = bare * envelope("soil_latent")
    air = crop - crop_vapour
    if any(skin.capacity > 0.0 for skin in skins):
        to_mass = to_mass + caught.wall
    else:
        air = air + caught.wall
    return Absorbed(air, bare - soil_vapour, to_mass, crop_vapour + soil_vapour)


def in_box(house: Any, skins: tuple[Skin, ...], inside: Array) -> Absorbed:
    """Sun in a test box: to heavy surfaces by their share, the rest to the air; no vapour."""
    kept = inside * (1.0 - envelope("box_light_leaves"))
    stored = sum(box_light(skin, skins) for skin in skins if skin.capacity > 0.0)
    if not has_floor(house):
        stored += envelope("box_floor_light")
    none = np.zeros_like(kept)
    return Absorbed(kept * (1.0 - stored), kept * stored, none, none)
