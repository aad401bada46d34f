"""Curtains and inner films against measured coefficients and savings.

The law is a resistance in series with the cover (`loss.curtained`), over the share that is closed.
"""

from __future__ import annotations

import math

import numpy as np
import pytest

from greenhouse_sim.greenhouse.cover import cover, curtain
from greenhouse_sim.greenhouse.loss import curtained, windy_u
from greenhouse_sim.greenhouse.part import SurfacePart
from greenhouse_sim.greenhouse.skin import Skin
from greenhouse_sim.tables import read_keyed

GLASS, FILM = (4.41, 0.40), (4.87, 0.54)
"""Overall coefficient k = a + b·w of bare model houses on winter nights, W/m²K at w m/s
(Mihara and Hayashi 1979, J. Agric. Meteorology 35(1):13-19, abstract read)."""
OVER_FILM_CURTAIN = {"single glass": (GLASS, (3.00, 0.16)), "single poly": (FILM, (3.15, 0.17))}
"""The same houses bare, and over a polyethylene curtain that stayed dry."""
WINDS = np.array([1.0, 2.0, 3.0, 4.0, 5.0])


def line(k: tuple[float, float]) -> np.ndarray:
    return k[0] + k[1] * WINDS


def u_in_wind(name: str, wind_m_s: np.ndarray) -> np.ndarray:
    row = cover(name)
    part = SurfacePart("roof", "roof", 1.0, 1.0, 20.0, 180.0, 1.0)
    skin = Skin(
        part, row.u_value, row.reference_wind, False, row.solar_direct, row.solar_diffuse,
        row.layers, row.longwave_dry, row.longwave_wet, 0.0, 0.0, math.nan,
    )  # fmt: skip
    return windy_u(skin, wind_m_s)[0]


def closed_u(bare: np.ndarray, name: str, share: float = 1.0) -> np.ndarray:
    return curtained(bare, np.ones_like(bare), curtain(name).r_value, share)


@pytest.mark.parametrize("name", OVER_FILM_CURTAIN)
def test_one_resistance_in_series_holds_for_both_houses_in_any_wind(name: str) -> None:
    """From the measured bare line, one resistance gives the measured line over a curtain to 4 %."""
    bare, closed = (line(k) for k in OVER_FILM_CURTAIN[name])
    assert closed_u(bare, "inner film") == pytest.approx(closed, rel=0.04)


@pytest.mark.parametrize("name", OVER_FILM_CURTAIN)
def test_covers_of_the_table_over_an_inner_film(name: str) -> None:
    """The same with our own covers in the wind, to 6 % (polyethylene here, PVC there)."""
    measured = line(OVER_FILM_CURTAIN[name][1])
    assert closed_u(u_in_wind(name, WINDS), "inner film") == pytest.approx(measured, rel=0.06)


@pytest.mark.parametrize(("name", "saved"), [("single glass", 0.33), ("single poly", 0.386)])
def test_saving_of_a_film_curtain_at_one_metre_a_second(name: str, saved: float) -> None:
    """Glasshouse 33 % (as printed); film house 38.6 %, from the lines. Within 5 points."""
    bare = u_in_wind(name, np.array([1.0]))
    assert 1.0 - closed_u(bare, "inner film")[0] / bare[0] == pytest.approx(saved, abs=0.05)


def test_a_double_plastic_house_with_and_without_its_curtain() -> None:
    """Measured 3.85 and 2.76 W/m²K, -28 % (Kim et al. 2018, Energies 11(3):578), one winter.

    The curtain's resistance is from this very pair: the check is that our own cover, in the wind
    of 2 to 4 m/s that such nights have, comes to the same pair.
    """
    bare = u_in_wind("double poly inflated", np.array([2.0, 4.0]))
    closed = closed_u(bare, "thermal curtain")
    assert bare == pytest.approx(3.85, rel=0.06)
    assert closed == pytest.approx(2.76, rel=0.04)
    assert closed / bare == pytest.approx(0.72, abs=0.02)


def test_screens_save_more_in_wind_as_in_three_lettuce_houses() -> None:
    """8 to 22 % in very low wind, 17 to 36 % at 4 m/s (Çaylı and Akyüz 2019), plastic houses.

    The scenario's usual share closed. A double film lies within both. A single film saves 29 % in
    calm here: more than these houses, less than the 38 % of the film house above; the two trials
    do not agree, and how well the edges were sealed is not printed.
    """
    share = read_keyed("defaults")["greenhouse.night_curtain.share"].number
    saved = {}
    for name in ("double poly inflated", "single poly"):
        bare = u_in_wind(name, np.array([0.0, 4.0]))
        saved[name] = 1.0 - closed_u(bare, "thermal curtain", share) / bare
    assert 0.08 < saved["double poly inflated"][0] < 0.22
    for calm, windy in saved.values():
        assert 0.17 < windy < 0.38
        assert calm < windy
    assert saved["single poly"][0] == pytest.approx(0.29, abs=0.01)


def test_curtains_over_double_film_lie_within_the_university_trials() -> None:
    """22 to 58 % saved over double film; the edge seal decides (extension report of trials)."""
    bare = u_in_wind("double poly inflated", np.array([4.0]))
    for name in ("thermal curtain", "aluminised curtain", "inner film"):
        for share in (0.8, 1.0):
            assert 0.22 < 1.0 - closed_u(bare, name, share)[0] / bare[0] < 0.58


def test_double_film_against_single() -> None:
    """Saves 34 % (hot-box model), 35 % (extension), 30 to 40 % of transmission (handbook)."""
    single, double = (
        u_in_wind(name, np.array([4.0]))[0] for name in ("single poly", "double poly inflated")
    )
    assert 0.30 < 1.0 - double / single < 0.45


def test_gaps_let_out_what_the_bare_cover_would() -> None:
    """Share closed and leak: halves weigh by area, none closed saves nothing."""
    bare = np.array([4.0, 6.8])
    whole, half, none = (closed_u(bare, "thermal curtain", share) for share in (1.0, 0.5, 0.0))
    assert half == pytest.approx(0.5 * (whole + bare))
    assert none == pytest.approx(bare)
    assert whole == pytest.approx(1.0 / (1.0 / bare + 0.103))
