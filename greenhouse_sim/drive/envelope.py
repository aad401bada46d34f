"""The shell hour by hour: its loss coefficient, and the sky and sun on its outside."""

from __future__ import annotations

import math
from typing import Any, NamedTuple

import numpy as np

from greenhouse_sim.drive.snow import clear_share, snowed_u
from greenhouse_sim.drive.sun import Light
from greenhouse_sim.drive.wet import film_wetness
from greenhouse_sim.greenhouse.cover import curtain
from greenhouse_sim.greenhouse.film import dry_surplus
from greenhouse_sim.greenhouse.fitted import fitted
from greenhouse_sim.greenhouse.loss import curtained, windy_u
from greenhouse_sim.greenhouse.skin import Skin
from greenhouse_sim.greenhouse.sky import reference_radiation, sky_loss

Array = np.ndarray


class Outside(NamedTuple):
    """What happens at the outside of the shell, arrays of shape (hours,)."""

    t_out_C: Array
    wind_m_s: Array
    """At eave height."""
    infrared_W: Array
    """Thermal radiation of the sky, W/m²."""
    closed: Array
    """1.0 where the night curtain is closed."""


def envelope_loss(
    house: Any, skins: tuple[Skin, ...], light: Light, outside: Outside, snow_m: Array | None = None
) -> tuple[Array, Array]:
    """Loss coefficient (W/K) and loss beyond it (W) of the shell, as `Drive` wants them.

    A heavy part is left out of the coefficient: it is a chain of its own. Where snow lies on the
    parts (``snow_m``, shape (parts, hours)), ``light`` is what is left under it.
    """
    loss_w_k = np.zeros_like(outside.t_out_C)
    sky_w = np.zeros_like(outside.t_out_C)
    deficit = reference_radiation(outside.t_out_C) - outside.infrared_W
    wet = film_wetness(house.planted_share, len(outside.t_out_C))
    # parts that differ by size and stand only share their film and their U-value in the wind
    alike: dict[tuple[Any, ...], tuple[Array, Array]] = {}
    behind: dict[tuple[Any, ...], tuple[Array, Array]] = {}
    for k, skin in enumerate(skins):
        kind = skin[1:], skin.sheltered
        if kind not in alike:
            in_wind, film = windy_u(skin, outside.wind_m_s)
            alike[kind] = in_wind + dry_surplus(skin, in_wind, film, wet), film
        u_value, film = alike[kind]
        if snow_m is not None:
            u_value, open_share = _inside_of(house, skin, u_value, outside.closed, snow_m[k])
        else:
            if kind not in behind:
                behind[kind] = _inside_of(house, skin, u_value, outside.closed, None)
            u_value, open_share = behind[kind]
        if skin.capacity <= 0.0:
            loss_w_k += skin.part.area_m2 * u_value
        sky_w += sky_loss(skin, u_value, film, deficit, open_share, wet)
        if skin.opaque:
            sky_w -= sun_outside(skin, u_value / film, light.beam[k] + light.diffuse[k])
        if not math.isnan(skin.other_side_C):
            sky_w += skin.part.area_m2 * u_value * (outside.t_out_C - skin.other_side_C)
    if house.shape == "surfaces" and house.floor_u_value is not None:
        loss_w_k += house.floor_u_value * house.floor_area
    factor = fitted(house, "loss")
    return loss_w_k * factor, sky_w * factor


def _inside_of(
    house: Any, skin: Skin, u_value: Array, closed: Array, snow_m: Array | None
) -> tuple[Array, Array]:
    """U-value with the snow on a part and the curtain behind it, W/m²K, and its open share."""
    drape = house.night_curtain
    open_share = np.ones_like(u_value)
    if snow_m is not None:
        u_value = snowed_u(u_value, snow_m)
        open_share = clear_share(snow_m)
    if drape is not None and not skin.opaque:
        r_value = curtain(drape.cover).r_value
        u_value = curtained(u_value, closed, r_value, drape.share)
        open_share = open_share * (1.0 - drape.share * closed)
    return u_value, open_share


def sun_outside(skin: Skin, through: Array, sun_W: Array) -> Array:
    """Sun absorbed on the outside of an opaque part that reaches the inside, W (sol-air).

    Of a watt absorbed at the surface the share U / h (inside film and wall against outer film)
    goes in, the rest back to outdoors. ``sun_W`` is the sun on the surface, W/m².
    """
    if not skin.opaque or skin.sheltered:
        return np.zeros_like(through)
    return skin.part.flat_m2 * skin.absorptance * through * sun_W
