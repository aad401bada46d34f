"""Leaves, soil, air and covers of a scenario as conductances for water vapour.

**Leaves.** Transpiration has a part driven by sun and one driven by how dry the air is (Baille et
al. 1994: λE = A·(1 − exp(−k·L))·G + B·L·D, L the leaf area index, D the deficit). The second is
written here with the deficit of absolute humidity and a leaf resistance r,

    E = L / r · (χ_saturated(air) − χ),

so that it is linear in χ. A deficit of 1 kPa at 20 °C is 7.4 g/m³, hence B of 14 to
37 g/m²h kPa is r = 1900 to 700 s/m: the same as measured on vegetables at night.

A was measured in warm houses. By Penman and Monteith it goes with temperature as ε/(ε + n), ε =
λ·χ_sat'/(ρ·c) (saturation's slope over the psychrometric constant) and n the leaf's resistance
over its boundary layer's; n follows from A at the reference temperature. In the cold a crop
turns less of the sun into vapour and more into warmth.

**Soil** under and between the crop evaporates through a resistance of its own, boundary layer and
dried surface together, at the air's temperature; the sun on bare soil is counted beside it
(`drive.absorbed`). Soil that is warmer than the air at night gives off more than that: on the demo
farm the nights would be 3 to 5 points more humid in November and March, 2 in January.

**Covers.** Vapour reaches a cold cover as convected heat does (Lewis): k = h_convection /
(ρ·c·Le^⅔), m/s. Opaque walls, floor and frame are taken as too warm to condense on.
"""

from __future__ import annotations

import math
from typing import Any

from greenhouse_sim.greenhouse.house import IDEAL_COOLER_W_K, first_setpoint
from greenhouse_sim.greenhouse.leak import air_heat
from greenhouse_sim.greenhouse.part import Shell
from greenhouse_sim.greenhouse.skin import skins
from greenhouse_sim.greenhouse.table import envelope
from greenhouse_sim.greenhouse.vapour_numbers import KELVIN, LATENT_J_KG, VAPOUR_J_KGK, Vapour
from greenhouse_sim.tables.read import read_keyed


def vapour_number(key: str) -> float:
    """A number of the vapour table, in the unit that its row states."""
    return read_keyed("vapour")[key].number


def canopy_vapour_share() -> float:
    """Share of the sun that a crop absorbs which it turns into vapour at `sun_share_at`.

    Published for the sun above the canopy, of which `light_leaves` is reflected.
    """
    closed = 1.0 - math.exp(-vapour_number("extinction") * vapour_number("leaf_area"))
    return vapour_number("sun_share") * closed / (1.0 - envelope("light_leaves"))


def saturated(t_C: float) -> float:
    """Absolute humidity of saturated air (over liquid water, Magnus), kg/m³."""
    weather = read_keyed("weather")
    a, b = weather["magnus_a"].number, weather["magnus_b"].number
    pressure = vapour_number("magnus_pa") * math.exp(a * t_C / (b + t_C))
    return pressure / (VAPOUR_J_KGK * (t_C + KELVIN))


def slope_ratio(t_C: float, air_heat_J_m3K: float) -> float:
    """Slope of saturation over the psychrometric constant, ε of Penman and Monteith."""
    slope = (saturated(t_C + 0.01) - saturated(t_C - 0.01)) / 0.02
    return LATENT_J_KG * slope / air_heat_J_m3K


def build_vapour(scenario: Any, walls: Shell, elevation_m: float) -> Vapour:
    """The greenhouse's vapour for the kernel; a test box has none.

    Parameters
    ----------
    scenario
        The scenario, SI.
    walls
        Its shape (`shape.shell`).
    elevation_m
        Height above the sea, m.
    """
    house = scenario.greenhouse
    box = house.shape == "surfaces"
    heat = air_heat(elevation_m)
    film, convection = vapour_number("cover_film"), vapour_number("cover_convection")
    speed = convection / (heat * vapour_number("lewis_factor"))
    area_m2, lost = _covers(scenario, walls)
    leaves_m2 = house.planted_share * walls.floor_m2 * vapour_number("leaf_area")
    moist = leaves_m2 / vapour_number("leaf_resistance")
    moist += walls.floor_m2 / vapour_number("soil_resistance")
    weather = read_keyed("weather")
    start = vapour_number("start_humidity") * saturated(first_setpoint(scenario.crop))
    share = vapour_number("sun_share")
    half = slope_ratio(vapour_number("sun_share_at"), air_heat(0.0)) * (1.0 / share - 1.0)
    ideal = house.ideal_cooling_above is not None
    carried = heat * walls.volume_m3 * house.vent_air_changes
    return Vapour(
        volume_m3=0.0 if box else float(walls.volume_m3),
        moist_m3_s=0.0 if box else float(moist),
        sun_scale=1.0 / share,
        sun_half=half,
        cover_m3_s=area_m2 * speed,
        cover_drop=lost / (area_m2 * film) if area_m2 > 0.0 else 0.0,
        film_warms=LATENT_J_KG * speed / film,
        air_heat=heat,
        vent_w_k=IDEAL_COOLER_W_K if ideal else float(carried),
        near_saturation=vapour_number("near_saturation"),
        start_chi=start,
        magnus_pa=vapour_number("magnus_pa"),
        magnus_a=weather["magnus_a"].number,
        magnus_b=weather["magnus_b"].number,
    )


def _covers(scenario: Any, walls: Shell) -> tuple[float, float]:
    """Area of the covers, m², and their share of the shell's loss coefficient."""
    light = [skin for skin in skins(scenario, walls) if skin.capacity <= 0.0]
    clear = [skin for skin in light if not skin.opaque]
    area = sum(skin.part.area_m2 for skin in clear)
    whole = sum(skin.part.area_m2 * skin.u_value for skin in light)
    through = sum(skin.part.area_m2 * skin.u_value for skin in clear)
    return float(area), float(through / whole) if whole > 0.0 else 0.0
