"""Snow on the roof and around the house."""

from __future__ import annotations

from typing import Any

import numpy as np
import pytest
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from greenhouse_sim.drive.drive import make_drive
from greenhouse_sim.drive.inside import entered
from greenhouse_sim.drive.snow import (
    bright_ground,
    fresh_m,
    held_share,
    on_roof,
    snowed_u,
    under_snow,
)
from greenhouse_sim.drive.sun import on_surfaces, sun_position
from greenhouse_sim.greenhouse.cover import cover_names
from greenhouse_sim.greenhouse.shape import shell
from greenhouse_sim.greenhouse.skin import skins

FIXTURES = settings(
    max_examples=40, deadline=None, suppress_health_check=[HealthCheck.function_scoped_fixture]
)


def falls(depth_m: float, hours: int = 72, at: int = 30) -> np.ndarray:
    """A depth that falls within one hour and then lies."""
    return np.where(np.arange(hours) >= at, depth_m, 0.0)


def inside(drive: Any) -> np.ndarray:
    return np.asarray(drive.sun_air_w + drive.sun_floor_w + drive.sun_mass_w + drive.sun_latent_w)


def test_only_new_snow_lies_on_a_heated_roof() -> None:
    """It lies half a day after it fell; old snow on the ground is none on the roof."""
    lying = fresh_m(falls(0.1))
    assert lying[29] == 0.0
    assert lying[30:42] == pytest.approx(np.full(12, 0.1))
    assert (lying[42:] == 0.0).all()
    assert (fresh_m(np.full(72, 0.5)) == 0.0).all()
    melting = fresh_m(np.linspace(0.5, 0.0, 72))
    assert (melting == 0.0).all()


def test_unknown_depth_is_no_snow(farm: Any, weather: Any) -> None:
    gap = falls(0.1)
    gap[10:40] = np.nan
    assert np.isfinite(fresh_m(gap)).all()
    assert (fresh_m(gap)[10:40] == 0.0).all()
    parts = skins(farm(), shell(farm(), 45.0))
    assert on_roof(parts, np.full(72, np.nan)) is None
    assert bright_ground(0.2, np.full(3, np.nan)) == pytest.approx(np.full(3, 0.2))
    unknown, none = (make_drive(farm(), weather(72, 1.0, snow_m=s)) for s in (np.nan, 0.0))
    for a, b in zip(unknown, none, strict=True):
        assert (a == b).all()


def test_slope_factor_of_slippery_roofs() -> None:
    """(60 - tilt)/45 between 15 and 60 degrees (National Building Code of Canada)."""
    share = held_share(np.array([0.0, 15.0, 37.5, 60.0, 90.0, 180.0]))
    assert share == pytest.approx([1.0, 1.0, 0.5, 0.0, 0.0, 0.0])


def test_snow_is_a_resistance_in_series() -> None:
    """5 cm of 0.1 W/mK on U = 4: 1/(0.25 + 0.5)."""
    assert snowed_u(np.array([4.0]), np.array([0.05])) == pytest.approx([4.0 / 3.0])


def test_white_ground_around() -> None:
    """0.2 bare, 0.7 above 2 cm; who gives more keeps it."""
    assert bright_ground(0.2, np.array([0.0, 0.02, 0.03])) == pytest.approx([0.2, 0.2, 0.7])
    assert bright_ground(0.8, np.array([0.5])) == pytest.approx([0.8])


def test_white_ground_lights_a_clear_house(farm: Any, weather: Any) -> None:
    """Old snow: nothing on the roof, more light from around."""
    bare, white = (make_drive(farm(), weather(48, 1.0, snow_m=s)) for s in (0.0, 0.4))
    noon = int(np.argmax(inside(bare)))
    assert 1.0 < inside(white)[noon] / inside(bare)[noon] < 1.6
    assert (white.loss_w_k == bare.loss_w_k).all()


@given(
    depth=st.floats(0.0, 1.0), shape=st.sampled_from(["hoop", "gothic", "gable"]),
    latitude=st.floats(-60.0, 60.0),
)  # fmt: skip
@FIXTURES
def test_snow_never_adds_sun_through_the_roof(
    farm: Any, weather: Any, depth: float, shape: str, latitude: float
) -> None:
    record = weather(72, 1.0, snow_m=falls(depth), latitude=latitude)
    scene = farm(shape=shape)
    roof = tuple(s for s in skins(scene, shell(scene, latitude)) if s.part.part == "roof")
    tilt = np.array([skin.part.tilt_deg for skin in roof])
    azimuth = np.array([skin.part.azimuth_deg for skin in roof])
    light = on_surfaces(tilt, azimuth, sun_position(record), record, 0.2)
    lying = on_roof(roof, record.snow_m)
    if lying is not None:
        assert 0.0 <= lying.min() <= lying.max() <= 0.05
    ones = np.ones(72)
    bare = np.add(*entered(roof, light, ones))
    under = np.add(*entered(roof, under_snow(light, lying), ones))
    assert (under <= bare + 1e-9).all()


@given(
    depth=st.floats(0.0, 1.0), cloud=st.floats(0.0, 1.0), wind=st.floats(0.0, 25.0),
    cold=st.floats(-40.0, 0.0), name=st.sampled_from(cover_names("cover")),
)  # fmt: skip
@FIXTURES
def test_snow_never_adds_loss(
    farm: Any, weather: Any, cover_all: Any, depth: float, cloud: float, wind: float, cold: float,
    name: str,
) -> None:  # fmt: skip
    """In the dark, crop at 15 °C: with snow on the roof no hour needs more heat than without."""
    sky = {"cloud": cloud, "wind_m_s": wind, "t_out_C": cold, "t_dew_C": cold - 3.0}
    scene = farm(cover=cover_all(name), crop_setpoint_day=15.0, crop_setpoint_night=15.0)
    bare = make_drive(scene, weather(72, snow_m=0.0, **sky))
    snowy = make_drive(scene, weather(72, snow_m=falls(depth), **sky))
    assert (snowy.loss_w_k <= bare.loss_w_k + 1e-9).all()
    assert (snowy.need_w <= bare.need_w + 1e-6).all()


def test_a_snowfall_darkens_and_saves(farm: Any, weather: Any) -> None:
    """10 cm in an hour: the roof lets less light and heat through for half a day."""
    bare = make_drive(farm(), weather(72, 1.0, snow_m=0.0))
    snowy = make_drive(farm(), weather(72, 1.0, snow_m=falls(0.1)))
    day = slice(33, 40)
    assert (inside(snowy)[day] < 0.8 * inside(bare)[day]).all()
    assert (snowy.loss_w_k[30:42] < 0.9 * bare.loss_w_k[30:42]).all()
    assert (snowy.loss_w_k[42:] == bare.loss_w_k[42:]).all()


def test_a_test_box_knows_no_snow(farm: Any, weather: Any) -> None:
    from types import SimpleNamespace

    roof = SimpleNamespace(
        name="roof", area=48.0, tilt=0.0, azimuth=180.0, u_value=2.0, solar_transmittance=0.7,
        opaque=False, absorptance=0.6, heat_capacity=0.0,
    )  # fmt: skip
    scene = farm(
        shape="surfaces", surface=(roof,), floor_area=48.0, volume=129.6, floor_u_value=0.04,
        air_changes=0.5 / 3600.0, width=None, heat_capacity=2e6,
    )  # fmt: skip
    bare, snowy = (make_drive(scene, weather(72, 1.0, snow_m=s)) for s in (0.0, falls(0.3)))
    assert (bare.loss_w_k == snowy.loss_w_k).all()
    assert (inside(bare) == inside(snowy)).all()
