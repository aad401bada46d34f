"""KERNEL: saturated air, and the covers on which its vapour condenses.

Heat q lost by each m² of cover passes the inner film h, which leaves the inner side at
t_air − q/h. Condensation adds its heat there: by the conductances on either side, the share
1 − U/h comes back to the inside and U/h goes out. The covers warm by it, which with saturation
there, χ_cover, linear in temperature makes the conductance of vapour

    K = k·A / (1 + (λk/h)·χ_cover'·(1 − U/h)).
"""

from __future__ import annotations

import math
from typing import NamedTuple

from greenhouse_sim.greenhouse.vapour_numbers import KELVIN, VAPOUR_J_KGK, Vapour

COLDEST = -90.0
HOTTEST = 90.0
"""Beyond these saturation is taken as there, °C."""


class Cover(NamedTuple):
    """The covers of an hour as vapour meets them."""

    t: float
    out_share: float
    """U/h: share of the heat of condensation that goes out."""
    dew: float
    """Saturation at their inner side, kg/m³."""
    slope: float
    """Its slope over the air's temperature, kg/m³K."""
    flow: float
    """K, m³/s; 0 where they are no colder than the air."""


def saturation(v: Vapour, t: float) -> float:
    """Absolute humidity of saturated air, kg/m³ (Magnus, over liquid water)."""
    t = min(max(t, COLDEST), HOTTEST)
    pressure = v.magnus_pa * math.exp(v.magnus_a * t / (v.magnus_b + t))
    return pressure / (VAPOUR_J_KGK * (t + KELVIN))


def saturation_slope(v: Vapour, t: float, saturated: float) -> float:
    """Slope of `saturation` over temperature, kg/m³K."""
    t = min(max(t, COLDEST), HOTTEST)
    from_zero = v.magnus_b + t
    return saturated * (v.magnus_a * v.magnus_b / (from_zero * from_zero) - 1.0 / (t + KELVIN))


def inner_cover_t(
    v: Vapour, air_t: float, t_out: float, loss_w_k: float, sky_w: float
) -> tuple[float, float]:
    """Inner temperature of the covers, °C, and their U/h (U the hour's, h the inner film).

    ``loss_w_k`` and ``sky_w`` are the shell's, as in `Drive`.
    """
    out_share = min(max(loss_w_k * v.cover_drop, 0.0), 1.0)
    return air_t - out_share * (air_t - t_out) - sky_w * v.cover_drop, out_share


def cover_now(
    v: Vapour, air_t: float, t_out: float, loss_w_k: float, sky_w: float, most: float
) -> Cover:
    """The covers of the hour; ``most`` is saturation at the air's temperature."""
    t, out_share = inner_cover_t(v, air_t, t_out, loss_w_k, sky_w)
    dew = saturation(v, t)
    if dew >= most:
        return Cover(t, out_share, dew, 0.0, 0.0)
    slope = saturation_slope(v, t, dew)
    back = 1.0 - out_share
    return Cover(
        t, out_share, dew, slope * back, v.cover_m3_s / (1.0 + v.film_warms * slope * back)
    )
