"""Snow around the house and on its roof, where the weather file knows its depth.

Around: snow on the ground sends more sun up. On the roof lies only what fell lately, since
a heated cover melts and sheds snow within half a day: the rise of the depth on the ground over its
lowest of the last hours (`fresh_m`), of which a flat roof keeps a share, a steep and slippery one
nothing (`held_share`), and none more than a few centimetres. It lets less light through,

    exp(-extinction · depth),

and adds depth / conductivity to the resistance of the part. The heat that melts it is not
counted, so that snow saves rather too much while it lies. Hours of unknown depth have no snow.
"""

from __future__ import annotations

import numpy as np

from greenhouse_sim.drive.sun import Light
from greenhouse_sim.greenhouse.skin import Skin
from greenhouse_sim.greenhouse.table import envelope

Array = np.ndarray


def bright_ground(reflectance: float, snow_m: Array) -> Array:
    """Share of the global sun that the ground around sends back, shape (hours,)."""
    white = max(reflectance, envelope("snow_reflectance"))
    depth = np.nan_to_num(snow_m, nan=0.0)
    return np.where(depth > envelope("snow_covers"), white, reflectance)


def fresh_m(snow_m: Array) -> Array:
    """Snow that fell within the time that a heated roof keeps it, m; 0 where unknown."""
    lowest = np.array(snow_m, dtype=float)
    for back in range(1, int(envelope("snow_stays")) + 1):
        lowest[back:] = np.fmin(lowest[back:], snow_m[:-back])
    return np.nan_to_num(snow_m - lowest, nan=0.0)


def held_share(tilt_deg: Array | float) -> Array:
    """Share of the snow that a slippery roof of this tilt holds: 1 to 15°, none from 60°."""
    full, none = envelope("snow_all_held"), envelope("snow_slides")
    return np.clip((none - np.asarray(tilt_deg, dtype=float)) / (none - full), 0.0, 1.0)


def on_roof(skins: tuple[Skin, ...], snow_m: Array) -> Array | None:
    """Depth of snow on every part, m, shape (parts, hours); None where no snow lies at all."""
    fallen = fresh_m(snow_m) * envelope("snow_kept")
    if not (fallen > 0.0).any():
        return None
    held = held_share(np.array([skin.part.tilt_deg for skin in skins]))[:, np.newaxis]
    return np.asarray(np.minimum(held * fallen, envelope("snow_most")))


def clear_share(depth_m: Array) -> Array:
    """Share of the light, and of what thermal radiation a film lets out, that passes the snow.

    Snow stops thermal radiation within a millimetre, but so thin it lies in patches.
    """
    return np.asarray(np.exp(-envelope("snow_extinction") * depth_m))


def under_snow(light: Light, depth_m: Array | None) -> Light:
    """The sun that is left under the snow of every part."""
    if depth_m is None:
        return light
    clear = clear_share(depth_m)
    return Light(light.beam * clear, light.diffuse * clear, light.cosine)


def snowed_u(u_value: Array, depth_m: Array) -> Array:
    """U-value of a part under snow, W/m²K: its resistance and the snow's in series."""
    return np.asarray(u_value / (1.0 + u_value * depth_m / envelope("snow_conductivity")))
