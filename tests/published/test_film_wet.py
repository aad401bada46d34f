"""Dry and wet film under thermal radiation: published dew law, trials of films, effect sizes."""

from __future__ import annotations

import math

import numpy as np
import pytest

from greenhouse_sim.drive.wet import film_wetness
from greenhouse_sim.greenhouse.cover import cover, cover_names
from greenhouse_sim.greenhouse.film import dry_surplus, let_through, wet_part
from greenhouse_sim.greenhouse.loss import windy_u
from greenhouse_sim.greenhouse.part import SurfacePart
from greenhouse_sim.greenhouse.skin import Skin
from greenhouse_sim.greenhouse.sky import (
    berdahl_martin,
    reference_radiation,
    sky_loss,
    sky_radiation,
)
from greenhouse_sim.greenhouse.table import envelope

FILMS = [name for name in cover_names("cover") if cover(name).longwave_dry > 0.1]


def flat(name: str) -> Skin:
    row = cover(name)
    part = SurfacePart("roof", "roof", 1.0, 1.0, 0.0, 180.0, 1.0)
    return Skin(
        part, row.u_value, row.reference_wind, False, row.solar_direct, row.solar_diffuse,
        row.layers, row.longwave_dry, row.longwave_wet, 0.0, 0.0, math.nan,
    )  # fmt: skip


def lost_W(name: str, wetness: float, cloud: float = 0.0) -> float:
    """A square metre of flat roof, 30 K over -20 °C (dew point -25 °C), 4 m/s."""
    skin, t_out = flat(name), np.array([-20.0])
    u_value, film = windy_u(skin, np.array([4.0]))
    sky = sky_radiation(
        berdahl_martin(np.array([-25.0]), np.array([1e5]), np.array([6.0]), np.array([cloud])),
        t_out,
    )
    deficit = reference_radiation(t_out) - sky
    wet = np.array([wetness])
    u_value = u_value + dry_surplus(skin, u_value, film, wet)
    beyond = sky_loss(skin, u_value, film, deficit, np.ones(1), wet)
    return float(u_value[0] * 30.0 + beyond[0])


@pytest.mark.parametrize(
    ("water", "left"), [(0.0, 1.0), (20.0, 0.632), (40.0, 0.221), (100.0, 0.039)]
)
def test_dew_stops_what_dry_film_lets_out(water: float, left: float) -> None:
    """1 - exp(-(20/W)²), Kon et al. 1985: emissivity rises fast past 3 mg/cm² (30 g/m²)."""
    assert wet_part(water) == pytest.approx(left, abs=5e-4)
    assert wet_part(30.0) < 0.4


@pytest.mark.parametrize("name", FILMS)
def test_wet_column_is_the_dry_one_under_the_tables_water(name: str) -> None:
    row = cover(name)
    assert row.longwave_wet == pytest.approx(
        row.longwave_dry * wet_part(envelope("film_water")), abs=0.005
    )


def test_films_lie_where_handbooks_have_them() -> None:
    """From memory: polyethylene 0.5 to 0.8 dry and 0.1 to 0.2 wet, infrared film 0.2 to 0.3."""
    assert 0.5 <= cover("single poly").longwave_dry <= 0.8
    assert 0.1 <= cover("single poly").longwave_wet <= 0.2
    assert 0.2 <= cover("single poly IR").longwave_dry <= 0.3
    half = let_through(0.7, 0.15, np.array([0.0, 0.5, 1.0]))
    assert half == pytest.approx([0.7, 0.425, 0.15])


@pytest.mark.parametrize("cloud", [0.0, 0.5, 1.0])
@pytest.mark.parametrize("name", FILMS)
def test_wet_film_loses_less_than_dry(name: str, cloud: float) -> None:
    """Wet films always lose less than dry ones (Geoola et al. 2009; Feuilloley and Issanchou
    1996, J. Agric. Eng. Res. 65:129). The trade press has "up to 50 %"."""
    wet, dry = lost_W(name, 1.0, cloud), lost_W(name, 0.0, cloud)
    assert 0.5 * dry < wet < dry


@pytest.mark.parametrize(
    ("name", "cloudy", "clear"),
    [("single poly", 0.13, 0.22), ("double poly inflated", 0.09, 0.23), ("single glass", 0.0, 0.0)],
)
def test_size_of_the_effect(name: str, cloudy: float, clear: float) -> None:
    """How much more a dry film loses than a wet one: the figures of this model, for its readers."""
    ours = [lost_W(name, 0.0, cloud) / lost_W(name, 1.0, cloud) - 1.0 for cloud in (1.0, 0.0)]
    assert ours == pytest.approx([cloudy, clear], abs=0.01)


def test_dry_surplus_against_the_sheet_solved_outright() -> None:
    """One sheet with what it lets through, its balance solved for two transmittances, against
    the slope 2·hr·s·(1 - s) half-way between."""
    inside, outside, radiant = 3.0, 16.0, envelope("radiant_film")

    def loss(clear: float) -> tuple[float, float]:
        """U-value, and the sheet's own path over the outer film."""
        into, out = inside + radiant * (1 - clear), outside + radiant * (1 - clear)
        sheet = into * out / (into + out)
        return clear * radiant + sheet, sheet / out

    solved = loss(0.45)[0] - loss(0.35)[0]
    s = loss(0.40)[1]
    assert solved == pytest.approx(2.0 * radiant * s * (1.0 - s) * 0.1, rel=1e-3)


def test_the_reference_sky_is_counted_once() -> None:
    """Under the sky that U-values hold, a wet cover loses its U-value and no more."""
    skin, wet = flat("single poly"), np.ones(1)
    u_value, film = windy_u(skin, np.array([4.0]))
    assert sky_loss(skin, u_value, film, np.zeros(1), np.ones(1), wet)[0] == 0.0
    assert u_value[0] + dry_surplus(skin, u_value, film, wet)[0] == pytest.approx(6.8)


def test_film_over_plants_is_wet_and_over_nothing_dry() -> None:
    assert film_wetness(0.7, 3).tolist() == [1.0, 1.0, 1.0]
    assert film_wetness(0.0, 2).tolist() == [0.0, 0.0]


@pytest.mark.parametrize(("name", "from_K"), [("single poly", 4.1), ("double poly inflated", 7.0)])
def test_face_of_a_film_meets_the_dew_point(name: str, from_K: float) -> None:
    """The rule's own sum, with the Magnus formula (17.62, 243.12 °C; WMO guide no. 8)."""
    inside_C, humidity = 10.0, 0.80
    g = math.log(humidity) + 17.62 * inside_C / (243.12 + inside_C)
    dew_C = 243.12 * g / (17.62 - g)
    face_C = inside_C - from_K * cover(name).u_value / envelope("inside_film")
    assert face_C == pytest.approx(dew_C, abs=0.1)
