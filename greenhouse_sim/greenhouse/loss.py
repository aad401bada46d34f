"""Heat lost through the shell, with the wind of the hour and the night curtain."""

from __future__ import annotations

import numpy as np

from greenhouse_sim.greenhouse.numbers import Array
from greenhouse_sim.greenhouse.skin import Skin
from greenhouse_sim.greenhouse.table import envelope
from greenhouse_sim.greenhouse.wind import outside_film

LEAST_REST = 0.01
"""Resistance that is left of the poorest cover without its outer film, m²K/W."""
LEAST_U = 1e-9
"""A surface given as perfectly insulated, W/m²K."""


def windy_u(skin: Skin, wind_m_s: Array) -> tuple[Array, Array]:
    """U-value and outer film of a part in the wind at eave height, both W/m²K.

    A published U-value holds an outer film at its reference wind; take that film's
    resistance out and put the hour's in: 1/U(v) = 1/U - 1/h(v_ref) + 1/h(v).
    """
    film = outside_film(wind_m_s, skin.opaque)
    if skin.sheltered:
        return np.full_like(film, skin.u_value), film
    reference = float(outside_film(skin.reference_wind, skin.opaque))
    rest = max(1.0 / max(skin.u_value, LEAST_U) - 1.0 / reference, LEAST_REST)
    return 1.0 / (rest + 1.0 / film), film


def curtained(u_value: Array, closed: Array, r_value: float, share: float) -> Array:
    """U-value behind a curtain of resistance ``r_value`` that covers ``share`` when closed.

    U = share / (1/U + R) + (1 - share)·U: a resistance in series, so that it saves most
    where the cover alone loses most (in wind and through a single film).
    """
    covered = share * closed
    return covered / (1.0 / u_value + r_value) + (1.0 - covered) * u_value


def wall_halves(skin: Skin) -> tuple[float, float]:
    """Conductance inside and outside of a heavy wall's heat capacity, both W/K.

    The capacity lies behind the inner film and what of the wall is before the capacity's middle,
    the rest of the resistance between it and outdoors.
    """
    inside = 1.0 / envelope("inside_film") + skin.capacity_behind
    rest = max(1.0 / max(skin.u_value, LEAST_U) - inside, LEAST_REST)
    return skin.part.area_m2 / inside, skin.part.area_m2 / rest
