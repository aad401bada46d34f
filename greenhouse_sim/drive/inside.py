"""Sun that gets in: where it lands, and what leaves again.

Light that passes the shell either meets the floor (crop or soil) or flies on to the far side.
How much does which follows from geometry alone: the flat areas of a closed shell times their
outward normals add up to zero, so of the beam that the sunny parts intercept,

    Σ_sunny A cos i - Σ_shaded A |cos i| = floor × cos z

and the floor's share is floor·cos z / Σ_sunny A cos i. For the even sky and light from the
ground the same holds on average: the floor gets floor × (even sky), the rest flies on. On
the far side an opaque wall keeps what it meets; through a cover it leaves, but for what plants,
benches and frame catch on the way. Of what meets crop and soil a part is reflected out.
"""

from __future__ import annotations

from typing import NamedTuple

import numpy as np

from greenhouse_sim.drive.glazing import at_angle
from greenhouse_sim.drive.sun import Light, Sun
from greenhouse_sim.greenhouse.skin import Skin
from greenhouse_sim.greenhouse.table import envelope
from greenhouse_sim.greenhouse.window import by_angle

Array = np.ndarray


class Caught(NamedTuple):
    """Sun absorbed inside, W, shape (hours,)."""

    floor: Array
    """By crop and soil."""
    wall: Array
    """By opaque walls, from inside."""


class Landing(NamedTuple):
    """Shares of the light inside."""

    floor_of_beam: Array
    """Of the beam, what meets the floor at once; shape (hours,)."""
    wall_of_beam: Array
    """Of the beam that flies on, what meets opaque walls; shape (hours,)."""
    floor_of_even: Array
    wall_of_even: float
    """The same of the light from everywhere."""


def entered(skins: tuple[Skin, ...], light: Light, open_light: Array) -> tuple[Array, Array]:
    """Sun that gets in as beam and as diffuse light, W, each of shape (hours,).

    ``open_light`` is the share left by structure, dirt and a closed curtain, shape (hours,).
    """
    beam, diffuse = let_in(skins, light)
    return beam * open_light, diffuse * open_light


def let_in(skins: tuple[Skin, ...], light: Light) -> tuple[Array, Array]:
    """Sun that passes the clear parts themselves as beam and as diffuse light, W, (hours,) each."""
    beam = np.zeros(light.cosine.shape[1])
    diffuse = np.zeros_like(beam)
    for k, skin in enumerate(skins):
        if skin.opaque or skin.direct <= 0.0:
            continue
        area = skin.part.flat_m2
        aslant = (by_angle if skin.building_glass else at_angle)(light.cosine[k], skin.layers)
        beam += area * skin.direct * aslant * light.beam[k]
        diffuse += area * skin.diffuse * light.diffuse[k]
    return beam, diffuse


def landing(
    skins: tuple[Skin, ...], light: Light, sun: Sun, floor_even: Array, floor_m2: float
) -> Landing:
    """Where light lands that has passed this shell (see the module).

    ``floor_even`` is the even sky on the horizontal, W/m².
    """
    area = np.array([skin.part.flat_m2 for skin in skins])[:, np.newaxis]
    dark = np.array([1.0 if skin.opaque else 0.0 for skin in skins])[:, np.newaxis]
    sunny = np.sum(area * np.maximum(light.cosine, 0.0), axis=0)
    shaded = np.maximum(-light.cosine, 0.0) * area
    beam_floor = _share(floor_m2 * sun.cosine, sunny)
    beam_wall = _share(np.sum(dark * shaded, axis=0), np.sum(shaded, axis=0))
    even_floor = _share(floor_m2 * floor_even, np.sum(area * light.diffuse, axis=0))
    even_wall = float(np.sum(dark * area) / np.sum(area))
    return Landing(beam_floor, beam_wall, even_floor, even_wall)


def caught(to: Landing, beam: Array, diffuse: Array) -> Caught:
    """Split what has entered (W) into floor and walls; the rest has left."""
    aside_beam, aside_even = beam * (1.0 - to.floor_of_beam), diffuse * (1.0 - to.floor_of_even)
    wall = aside_beam * to.wall_of_beam + aside_even * to.wall_of_even
    loose = aside_beam + aside_even - wall
    on_floor = beam * to.floor_of_beam + diffuse * to.floor_of_even
    on_floor = on_floor + loose * envelope("aside_caught")
    kept = 1.0 - envelope("light_leaves")
    return Caught(on_floor * kept, wall * kept)


def _share(part: Array, whole: Array) -> Array:
    """part / whole within 0 to 1, and 0 where there is no whole."""
    safe = np.where(whole > 1e-9, whole, 1.0)
    return np.where(whole > 1e-9, np.clip(part / safe, 0.0, 1.0), 0.0)
