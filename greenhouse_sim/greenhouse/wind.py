"""Wind at the house, and the film of air that it leaves on the outside."""

from __future__ import annotations

import numpy as np

from greenhouse_sim.greenhouse.numbers import Array
from greenhouse_sim.greenhouse.table import envelope, named_row

STATION_HEIGHT_M = 10.0


def wind_factor(terrain: str, height_m: float) -> float:
    """Wind at a height over the site as a share of the wind 10 m up at the weather station.

    The profile of the ASHRAE handbook (Fundamentals 2005, ch. 16):
    v = v10 · (δm / 10)^αm · (z / δ)^α, the station standing in open country.
    """
    station = named_row("terrain", "open", "[site] terrain")
    here = named_row("terrain", terrain, "[site] terrain")
    lift = (float(station["layer_m"]) / STATION_HEIGHT_M) ** float(station["exponent"])
    return float(lift * (height_m / float(here["layer_m"])) ** float(here["exponent"]))


def outside_film(wind_m_s: Array | float, opaque: bool) -> Array:
    """Combined outside film (convection, and radiation to surroundings at air temperature), W/m²K.

    h = d + e·v + f·v²: the rows of ASHRAE Fundamentals 1989, p. 22.4,
    smooth glass for covers, smooth plaster for opaque parts. Wind over 30 m/s counts as 30.
    """
    v = np.minimum(np.asarray(wind_m_s, dtype=float), 30.0)
    if opaque:
        return envelope("wall_film_d") + envelope("wall_film_e") * v
    return envelope("glass_film_d") + (envelope("glass_film_e") + envelope("glass_film_f") * v) * v
