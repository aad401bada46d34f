"""Vapour of whole greenhouses: how it is built, and what growers know of damp houses."""

from __future__ import annotations

from pathlib import Path

import pytest

import greenhouse_sim as gs
from greenhouse_sim.greenhouse.vapour import canopy_vapour_share, saturated, vapour_number
from greenhouse_sim.season import moist_air
from greenhouse_sim.season import vapour as kernel
from vapour_at_hand import moist

BOX = """
[site]
weather = ["tamarack_flats_typical.csv"]
[greenhouse]
shape = "surfaces"
floor_area = "48 m^2"
volume = "129.6 m^3"
air_changes = "0.5 /hour"
[[greenhouse.surface]]
area = "48 m^2"
tilt = 0
azimuth = 180
u_value = "0.3 W/m^2/K"
opaque = true
absorptance = 0.6
[heater]
kind = "ideal"
"""


def test_numbers_by_hand() -> None:
    """Floor A, planted 0.7 at leaf area 2 and 1000 s/m, the whole soil at 1000 s/m."""
    house = moist(greenhouse__planted_share=0.7)
    assert house.v.moist_m3_s == pytest.approx(house.floor_m2 * (0.7 * 2.0 + 1.0) / 1000.0)
    bare = moist(greenhouse__planted_share=0.0)
    assert bare.v.moist_m3_s == pytest.approx(bare.floor_m2 / 1000.0)


def test_inner_cover_temperature_by_hand() -> None:
    """Double film at U 4.0 all round: the inner film 8.7 holds 4.0/8.7 of the fall; 20 W more
    on each square metre by a clear sky cool it by another 20/8.7 K."""
    house = moist(greenhouse__cover="double poly inflated")
    t, out_share = moist_air.inner_cover_t(house.v, 10.0, -10.0, house.loss_w_k, 0.0)
    assert out_share == pytest.approx(4.0 / 8.7)
    assert t == pytest.approx(10.0 - 20.0 * 4.0 / 8.7)
    sky_w = 20.0 * house.loss_w_k / 4.0
    colder, _ = moist_air.inner_cover_t(house.v, 10.0, -10.0, house.loss_w_k, sky_w)
    assert t - colder == pytest.approx(20.0 / 8.7)


def test_a_crop_turns_as_much_sun_into_vapour_as_the_source_says() -> None:
    """0.40·(1 − exp(−0.64·2)) of the sun above the crop, over the 0.88 that it absorbs."""
    assert canopy_vapour_share() == pytest.approx(0.289 / 0.88, abs=0.001)


def test_a_cold_crop_turns_less_sun_into_vapour() -> None:
    """Penman and Monteith: ε/(ε + n) is 0.40 at 20 °C, so n = 1.5 ε(20); at 8 °C ε is 0.52 of
    that: 0.257/0.40 of the water. What is left warms the air."""
    house = moist(greenhouse__cover="double poly inflated")
    v = house.v._replace(moist_m3_s=0.0)
    used = {}
    for t in (20.0, 8.0):
        hour = kernel.vapour_hour(v, 0.003, t, t, 0.003, 1000.0, 5.0, house.loss_w_k, 0.0)
        used[t] = hour.transpired_w
    assert used[20.0] == pytest.approx(1000.0, rel=0.03)
    assert used[8.0] == pytest.approx(1000.0 * 0.257 / 0.40, rel=0.04)


def test_a_box_has_no_vapour(tmp_path: Path) -> None:
    path = tmp_path / "box.toml"
    path.write_text(BOX, encoding="utf-8")
    assert moist(gs.read_scenario(path)).v.volume_m3 == 0.0


# Growers, state university notes on tight houses (after Colorado Flower Growers Bulletin 383,
# abstract read): damp is worst while it is mild outside but too cold to vent; as it gets colder
# outside, the cold cover dries the air. Seginer et al. 1990 (abstract read): high humidity at
# night is characteristic of well insulated houses in mild weather.


def test_damp_is_worst_in_mild_nights() -> None:
    house = moist(greenhouse__cover="double poly inflated")
    humidity = [house.settle_at(7.0, t_out).humidity for t_out in (5.0, 0.0, -10.0, -20.0)]
    assert humidity == sorted(humidity, reverse=True)
    assert humidity[0] > vapour_number("near_saturation")
    assert humidity[-1] < 0.65


def test_damp_is_worst_in_well_insulated_houses() -> None:
    covers = ("single poly", "double poly inflated", "triple-wall polycarbonate 16 mm")
    humid = [moist(greenhouse__cover=name).settle_at(7.0, 0.0).humidity for name in covers]
    assert humid == sorted(humid)


def test_tight_is_damper_than_leaky() -> None:
    house = moist(greenhouse__cover="double poly inflated")
    humid = [house.settle_at(7.0, 0.0, changes_h=n).humidity for n in (0.4, 1.0, 2.5)]
    assert humid == sorted(humid, reverse=True)


def test_cold_air_let_in_dries_the_house() -> None:
    house = moist(greenhouse__cover="double poly inflated")
    shut, open_ = house.settle_at(10.0, -10.0), house.settle_at(10.0, -10.0, changes_h=20.0)
    assert shut.wet == pytest.approx(1.0)
    assert open_.wet == 0.0
    assert open_.humidity < 0.35 < 0.6 < shut.humidity


def test_covers_drip_at_night() -> None:
    """Ten frosty hours: water on the cover of the order of 0.1 mm over the floor."""
    hour = moist(greenhouse__cover="double poly inflated").settle_at(7.0, -5.0)
    u_share = 4.0 / vapour_number("cover_film")
    drips_mm = 10.0 * 3600.0 * hour.cover_w / u_share / 2.45e6
    floor = moist().floor_m2
    assert 0.05 < drips_mm / floor < 0.3


def test_humid_summer_air_dews_a_cold_house() -> None:
    """Air at 25 °C and 80 % let into a house at 10 °C: saturated, and the fog warms it."""
    hour = moist().settle_at(10.0, 25.0, changes_h=2.0)
    assert hour.humidity == pytest.approx(1.0)
    assert hour.chi == pytest.approx(saturated(10.0))
    assert hour.returned_w > 0.0 > hour.out_w
