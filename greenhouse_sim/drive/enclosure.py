"""What sun and sky do to a closed room of listed surfaces (`greenhouse.enclosure`)."""

from __future__ import annotations

import numpy as np

from greenhouse_sim.drive.absorbed import Absorbed
from greenhouse_sim.drive.envelope import Outside
from greenhouse_sim.drive.sun import Light
from greenhouse_sim.greenhouse.enclosure import alike
from greenhouse_sim.greenhouse.loss import wall_halves
from greenhouse_sim.greenhouse.skin import Skin
from greenhouse_sim.greenhouse.sky import KELVIN, SIGMA, sky_view
from greenhouse_sim.greenhouse.table import envelope
from greenhouse_sim.greenhouse.wind import outside_film

Array = np.ndarray


def outside_heat(skins: tuple[Skin, ...], light: Light, outside: Outside) -> Array:
    """Heat that sun and sky send in behind the face of each kind of surface, W (hours, kinds).

    The outer surface takes up α·I of the sun and loses ε·F·β·(σT⁴ − L) to a sky that sends
    L. With the hour's outer film h that is as if it stood in air (α·I − ε·F·β·(σT⁴ − L))/h
    warmer (sol-air), and so much more goes in through the resistance behind the face.
    """
    cold = SIGMA * (outside.t_out_C + KELVIN) ** 4 - outside.infrared_W
    place = {id(skin): k for k, skin in enumerate(skins)}
    columns = []
    for one in alike(skins):
        heat = np.zeros_like(outside.t_out_C)
        for skin in one.skins:
            if not skin.sheltered:
                k = place[id(skin)]
                view = sky_view(skin.part.tilt_deg) * envelope("emissivity")
                sun = light.beam[k] + light.diffuse[k]
                through = wall_halves(skin)[1] / outside_film(outside.wind_m_s, skin.opaque)
                heat += through * (skin.absorptance * sun - view * cold)
        columns.append(heat)
    return np.stack(columns, axis=1)


def on_faces(inside: Array) -> Absorbed:
    """Sun inside a closed room: all on its faces, but for what leaves by the window."""
    kept = inside * (1.0 - envelope("box_light_leaves"))
    none = np.zeros_like(kept)
    return Absorbed(none, kept, none, none)
