"""Water on the inner face of a film: it stops the thermal radiation that dry polyethylene lets out.

Kon, Doi, Hanyu and Nakayama (1985, J. Agric. Meteorology 41(2):115-120) measured the emissivity
of polyethylene under dew in clear nights. With W of condensate (g/m²) and ε0 of the dry film,

    ε = ε0 + (1 - ε0)·exp(-(C/W)²),    C = 20 g/m²

so that, reflection left aside, a film that lets τ through when dry lets τ·(1 - exp(-(C/W)²))
through when wet: nearly all of it under 10 g/m², a fifth at 40, next to nothing at 100.

A dry film also has the higher U-value. Take it as one sheet between the inner film of air and
the outer one, h, and s = U/h. Radiation in a share τ of it goes straight through, with hr = 4σT³ε,
and the sheet takes and gives so much less: hr·(1 - s)² less of the loss comes in from inside and
hr·s² less leaves outside, so that

    dU/dτ = hr·(1 - (1 - s)² - s²) = 2·hr·s·(1 - s)

U-values in tables are for heated houses on winter nights, and are taken to hold a wet face.
"""

from __future__ import annotations

import numpy as np

from greenhouse_sim.greenhouse.numbers import Array
from greenhouse_sim.greenhouse.skin import Skin
from greenhouse_sim.greenhouse.table import envelope


def wet_part(water_g_m2: float) -> float:
    """What is left of a dry film's thermal transmittance under this much condensate (g/m²)."""
    if water_g_m2 <= 0.0:
        return 1.0
    return float(1.0 - np.exp(-((envelope("dew_stops") / water_g_m2) ** 2)))


def let_through(dry: float, wet: float, wetness: Array) -> Array:
    """Share of thermal radiation that a cover lets through.

    Parameters
    ----------
    dry, wet
        With a dry inner face, and with condensate over all of it.
    wetness
        Share of the inner face that is wet, any shape.
    """
    return np.asarray(dry + (wet - dry) * wetness)


def dry_surplus(skin: Skin, u_value: Array, film: Array, wetness: Array) -> Array:
    """What a cover loses more than its U-value says where its inner face is not wet, W/m²K.

    Parameters
    ----------
    skin
        The part.
    u_value, film
        Its U-value and its outer film in the hour, W/m²K, shape (hours,).
    wetness
        Share of its inner face that is wet, shape (hours,).
    """
    more = let_through(skin.longwave_dry, skin.longwave_wet, wetness) - skin.longwave_wet
    s = u_value / film
    return np.asarray(2.0 * envelope("radiant_film") * s * (1.0 - s) * more)
