"""The test boxes layer by layer, convection and radiation apart, as the kernel's air with chains.

Inside, every surface exchanges heat with the air by convection and with a common radiant node by
radiation; outside by convection with the air and by radiation with the sky and the surroundings.
Convection coefficients are those that the standard gives for its case 450 (constant
coefficients: inside wall 1.8, roof 1.7, floor 3.7, window 4.5; outside 21.6, 21.8, 5.2, 17.8
W/m²K). `network.modes` brings the whole to air with chains.

The kernel takes two sources inside chains, each with fixed shares: the sun inside, with the
standard's shares by surface (and the radiant part of the internal gain along with it), and what
sun and sky do to the outsides, with the shares that they have over the year.
"""

from __future__ import annotations

from typing import Any

import numpy as np

from greenhouse_sim.drive.clouds import sky_infrared
from greenhouse_sim.drive.sun import on_surfaces, sun_position
from greenhouse_sim.greenhouse.leak import air_heat
from greenhouse_sim.greenhouse.numbers import Drive, House
from greenhouse_sim.greenhouse.sky import sky_temperature, sky_view
from outside.boxes import VOLUME_M3, WALLS, WINDOW_U
from outside.network import house_of, modes

COOL_C = 27.0
INSIDE = {"wall": 1.8, "roof": 1.7, "floor": 3.7, "window": 4.5}
OUTSIDE = {"wall": 21.6, "roof": 21.8, "floor": 5.2, "window": 17.8}
"""Convection, W/m²K (case 450)."""
RADIANT_IN, RADIANT_OUT = 5.7, 5.1
"""4σT³ at 20 and about 10 °C, W/m²K, times an emittance of 0.9 (glass 0.84)."""
AREA = {"wall": sum(area for _, area in WALLS), "roof": 48.0, "floor": 48.0, "window": 12.0}
SUN = {"floor": 0.642, "roof": 0.168, "wall": 0.155}
"""Share of the sun that each keeps inside (edition of 2004, from memory); 0.035 leaves again."""
GAIN_W, RADIANT_SHARE = 200.0, 0.6
RATED_FILMS = 1.0 / 8.3 + 1.0 / 29.0
"""m²K/W, films that the window's U-value holds."""
ABSORBS = 0.6

PLASTERBOARD, QUILT, WOOD = (0.16, 950 * 840), (0.04, 12 * 840), (0.14, 530 * 900)
TIMBER, BLOCK, FOAM = (0.14, 650 * 1200), (0.51, 1400 * 1000), (0.04, 10 * 1400)
SLAB, UNDER = (1.13, 1400 * 1000), (0.04, 0)
"""W/mK, J/m³K."""
LAYERS = {
    "600": {
        "wall": ((0.012, PLASTERBOARD), (0.066, QUILT), (0.009, WOOD)),
        "floor": ((0.025, TIMBER), (1.003, UNDER)),
    },
    "900": {
        "wall": ((0.100, BLOCK), (0.0615, FOAM), (0.009, WOOD)),
        "floor": ((0.080, SLAB), (1.007, UNDER)),
    },
}
ROOF = ((0.010, PLASTERBOARD), (0.1118, QUILT), (0.019, WOOD))
SLICES = 4
"""Slices of a massive layer; an inner board has one. Insulation stores nothing, nor do siding and
roof deck, which follow the outdoor air within a quarter of an hour."""
MASSIVE, LIGHT = 1.0e6, 5.0e5


class Net:
    """A network that grows: capacities, links, links to outdoors."""

    def __init__(self) -> None:
        self.capacity: list[float] = [0.0, 0.0]
        self.links: dict[tuple[int, int], float] = {}
        self.outdoors: dict[int, float] = {}

    def after(self, before: int, g: float, capacity: float = 0.0) -> int:
        """A new node behind another."""
        self.capacity.append(capacity)
        self.links[before, len(self.capacity) - 1] = g
        return len(self.capacity) - 1

    def layer(self, before: int, area: float, thickness: float, material: tuple) -> int:
        """A layer: a node in the middle of each slice, or a resistance alone."""
        conductivity, per_m3 = material
        slices = SLICES if per_m3 > MASSIVE else 1
        half = 2.0 * slices * conductivity * area / thickness
        stored = per_m3 * thickness * area / slices if per_m3 > LIGHT else 0.0
        for _ in range(slices):
            before = self.after(self.after(before, half, stored), half)
        return before


def full_box(case: str, asked: Any, weather: Any, plain: Drive) -> tuple[House, Drive]:
    """House and drive of a case; the sun inside is that of ``plain``, the scenario's own drive."""
    net, inner, outer = Net(), {}, {}
    built = {**LAYERS[case], "roof": ROOF, "window": ()}
    for part, area in AREA.items():
        glass = 0.84 / 0.9 if part == "window" else 1.0
        inner[part] = net.after(0, area * INSIDE[part])
        net.links[1, inner[part]] = area * RADIANT_IN * 0.9 * glass
        last = inner[part]
        for thickness, material in built[part]:
            last = net.layer(last, area, thickness, material)
        if part == "window":
            last = net.after(last, area / (1.0 / WINDOW_U - RATED_FILMS))
        outer[part] = last
        net.outdoors[last] = area * (OUTSIDE[part] + RADIANT_OUT * 0.9 * glass)
    found = modes(net.capacity, net.links, net.outdoors)
    on_outside, falls = outside_heat(asked, weather, outer, len(net.capacity))
    sun_falls = np.zeros(len(net.capacity))
    for part, share in SUN.items():
        sun_falls[inner[part]] = share / sum(SUN.values())
    sun = plain.sun_air_w + plain.sun_floor_w + GAIN_W * RADIANT_SHARE
    height_heat = air_heat(weather.elevation_m) * VOLUME_M3
    house = house_of(found, height_heat, 20.0, found.share @ sun_falls, found.share @ falls)
    at_once = found.air_share @ sun_falls * sun + found.air_share @ falls * on_outside
    still = np.zeros_like(sun)
    drive = plain._replace(
        loss_w_k=still + found.air_outdoors + height_heat * 0.5 / 3600.0,
        sky_w=still,
        sun_air_w=still,
        sun_floor_w=sun,
        sun_mass_w=on_outside,
        gain_w=at_once + GAIN_W * (1.0 - RADIANT_SHARE),
    )
    return house, drive


def outside_heat(
    asked: Any, weather: Any, outer: dict[str, int], count: int
) -> tuple[np.ndarray, np.ndarray]:
    """Sun and sky on the outsides over what outdoor air alone does, W, and where it falls."""
    tilts = np.array([90.0, 90.0, 90.0, 90.0, 0.0])
    azimuths = np.array([0.0, 90.0, 270.0, 180.0, 180.0])
    areas = np.array([*(area for _, area in WALLS), AREA["roof"]])
    sun = sun_position(weather)
    light = on_surfaces(tilts, azimuths, sun, weather, asked.site.ground_reflectance)
    falling = (light.beam + light.diffuse) * areas[:, np.newaxis] * ABSORBS
    colder = sky_temperature(np.asarray(sky_infrared(weather, sun))) - weather.t_out_C
    series = {"wall": falling[:4].sum(axis=0), "roof": falling[4], "window": 0.0}
    falls = np.zeros(count)
    total = np.zeros_like(colder)
    for part, sunny in series.items():
        glass = 0.84 / 0.9 if part == "window" else 1.0
        view = sky_view(0.0 if part == "roof" else 90.0)
        heat = sunny + AREA[part] * RADIANT_OUT * 0.9 * glass * view * colder
        falls[outer[part]] = float(np.sum(heat))
        total = total + heat
    return total, falls / float(np.sum(total))
