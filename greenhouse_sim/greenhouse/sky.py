"""Thermal radiation from the sky, and what it takes beyond a published U-value.

A published U-value is used with the outdoor air temperature and already holds a sky
some 11 K colder than the air. Only the difference between that sky and the hour's counts. With
L the sky's radiation and T the outdoor air in K, the outside of a part radiates

    ε·F·β·[σ(T - 11)⁴ - L]    W/m²

more than the U-value holds (less, under cloud). F = (1 + cos tilt)/2 is the view of the sky,
β = √F the share of that view which is sky and not air near the ground (Walton
1983). Of this the share U/h reaches the inside, h being the outer film. A film that
lets the share τ of thermal radiation through does so at once for that share, and τ
falls when the film is wet (`film`).
"""

from __future__ import annotations

import numpy as np

from greenhouse_sim.greenhouse.film import let_through
from greenhouse_sim.greenhouse.numbers import Array
from greenhouse_sim.greenhouse.skin import Skin
from greenhouse_sim.greenhouse.table import envelope

SIGMA = 5.6697e-8
"""Stefan-Boltzmann constant as the published sky correlations use it, W/m²K⁴."""
KELVIN = 273.15


def berdahl_martin(t_dew_C: Array, pressure_Pa: Array, solar_hour: Array, cloud: Array) -> Array:
    """Emittance of the sky after Berdahl and Martin (1984), with dew point, pressure and cloud.

    ε0 = 0.711 + 0.56 (Td/100) + 0.73 (Td/100)² + 0.013 cos(2πt/24) + 0.00012 (P - 1000 hPa);
    ε = ε0 + 0.784 (1 - ε0) n with the cloud share n.
    """
    td = t_dew_C / 100.0
    daily = 0.013 * np.cos(2.0 * np.pi * solar_hour / 24.0)
    clear = 0.711 + (0.56 + 0.73 * td) * td + daily + 1.2e-4 * (pressure_Pa / 100.0 - 1000.0)
    return clear + envelope("cloud_weight") * (1.0 - clear) * cloud


def clark_allen(t_dew_C: Array, cloud: Array) -> Array:
    """Emittance of the sky after Clark and Allen (1978) with the cloud factor of Walton (1983).

    ε = (0.787 + 0.764 ln(Td/273)) (1 + 0.0224 N - 0.0035 N² + 0.00028 N³), Td in K, N in tenths.
    """
    n = 10.0 * cloud
    factor = 1.0 + (0.0224 + (-0.0035 + 0.00028 * n) * n) * n
    return (0.787 + 0.764 * np.log((t_dew_C + KELVIN) / 273.0)) * factor


def sky_radiation(emittance: Array, t_out_C: Array) -> Array:
    """Downward thermal radiation ε σ T⁴, W/m²."""
    warm = t_out_C + KELVIN
    return emittance * SIGMA * warm**4


def sky_temperature(radiation_W: Array) -> Array:
    """Temperature of a black sky that sends this radiation (W/m²), °C."""
    return (radiation_W / SIGMA) ** 0.25 - KELVIN


def reference_radiation(t_out_C: Array) -> Array:
    """Radiation of the sky that published U-values hold, W/m²."""
    return SIGMA * (t_out_C + KELVIN - envelope("reference_sky")) ** 4


def sky_view(tilt_deg: float) -> float:
    """F·β of a surface: how much of the cold sky it sees (1 for a flat roof)."""
    view = 0.5 * (1.0 + np.cos(np.radians(tilt_deg)))
    return float(view * np.sqrt(view))


def sky_loss(
    skin: Skin, u_value: Array, film: Array, deficit_W: Array, open_share: Array, wet: Array
) -> Array:
    """Loss of one part beyond its U-value, W (negative under a warm sky).

    Parameters
    ----------
    skin
        The part.
    u_value, film
        Its U-value with curtain and its outer film in the hour, W/m²K, shape (hours,).
    deficit_W
        Reference sky's radiation less the hour's, W/m², shape (hours,).
    open_share
        Share of the part that no closed curtain covers, shape (hours,).
    wet
        How wet its inner face is, 0 to 1, shape (hours,).
    """
    if skin.sheltered:
        return np.zeros_like(deficit_W)
    emissivity = envelope("emissivity")
    clear = let_through(skin.longwave_dry, skin.longwave_wet, wet)
    through = u_value / film * (1.0 - clear) + clear * open_share
    return skin.part.flat_m2 * sky_view(skin.part.tilt_deg) * emissivity * deficit_W * through
