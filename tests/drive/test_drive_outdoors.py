"""What greenhouses that are tried in one winter share, and that none is given another's."""

from __future__ import annotations

from pathlib import Path
from types import SimpleNamespace
from typing import Any

import numpy as np
import pytest

from greenhouse_sim.drive.cache import made
from greenhouse_sim.drive.outdoors import Outdoors
from greenhouse_sim.drive.sun import Sun, incidence, on_surfaces, sun_position
from greenhouse_sim.greenhouse.ground import site_ground

CURTAIN = SimpleNamespace(cover="thermal curtain", share=0.9, closed="dark")
WALL = SimpleNamespace(r_value=1.8, absorptance=0.6, heat_capacity=0.0)
IR = SimpleNamespace(
    roof="double poly inflated IR", sides="double poly inflated IR",
    ends="double poly inflated IR", north=None,
)  # fmt: skip
CHANGES: dict[str, dict[str, Any]] = {
    "as it is": {},
    "film": {"cover": IR},
    "curtain": {"night_curtain": CURTAIN},
    "wall": {"north_wall": WALL},
    "tightness": {"tightness": "tight"},
    "edge": {"perimeter_insulation": "R10 2 ft"},
    "setpoint": {"crop_setpoint_night": 3.0},
    "beds": {"planted_share": 0.3},
    "frame": {"structure_share": 0.3},
    "shape": {"sidewall": 2.4},
    "terrain": {"site_terrain": "towns"},
    "ground": {"site_ground_reflectance": 0.5},
    "light": {"fitted": SimpleNamespace(loss=1.2, leak=1.0, capacity=1.0, soil=1.0, sun=0.8)},
}


@pytest.fixture(autouse=True)
def own_folder(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Path:
    monkeypatch.setenv("XDG_CACHE_HOME", str(tmp_path / "cache"))
    return tmp_path / "cache" / "greenhouse_sim" / "suns"


def test_a_shared_winter_gives_every_greenhouse_its_own_numbers(farm: Any, weather: Any) -> None:
    """Each made after all others in the same outdoors is, to the bit, as if made alone."""
    record = weather(96, 1.0, snow_m=np.linspace(0.0, 0.3, 96))
    shared = Outdoors(record)
    for change in CHANGES.values():
        made(farm(**change), record, shared)
    for name, change in CHANGES.items():
        together, alone = made(farm(**change), record, shared), made(farm(**change), record)
        for one, other in zip(together[:2], alone[:2], strict=True):
            for field in one._fields:
                assert np.array_equal(getattr(one, field), getattr(other, field)), (name, field)
        assert np.array_equal(together[2].outdoor, alone[2].outdoor), name


def test_light_is_worked_out_for_the_lit_hours_and_is_that_of_all_hours(weather: Any) -> None:
    """Against the same surfaces in every hour; light of a sky without sun is not left out."""
    glow = np.where(np.arange(96) < 5, 0.0, 7.0)  # the first night is dark, the later are not
    record = weather(96, 1.0, dhi_W=glow)
    seen = Outdoors(record)
    hours = seen.daylight.hours
    assert hours[0] >= 5
    assert set(range(24, 96)) <= set(hours.tolist())
    tilt, azimuth = np.array([0.0, 60.0, 90.0]), np.array([180.0, 0.0, 100.0])
    white = np.where(np.arange(96) > 40, 0.7, 0.2)
    whole = on_surfaces(tilt, azimuth, seen.sun, record, white)
    lit = seen.light(tilt, azimuth, white[hours])
    for one, other in zip(lit, whole, strict=True):
        assert np.array_equal(one, other[:, hours])
    for part in ("beam", "diffuse"):
        assert np.array_equal(seen.all_hours(getattr(lit, part)), getattr(whole, part))


def test_the_changes_do_change_the_winter(farm: Any, weather: Any) -> None:
    """Else the test above would hold for an answer that is never told apart."""
    record = weather(96, 1.0)
    base = made(farm(), record)[1]
    for name in ("film", "curtain", "wall", "setpoint", "frame", "shape", "terrain", "light"):
        changed = made(farm(**CHANGES[name]), record)[1]
        assert any(
            not np.array_equal(getattr(base, field), getattr(changed, field))
            for field in base._fields
        ), name


def test_incidence_is_that_of_pvlib(weather: Any) -> None:
    """pvlib.irradiance.aoi_projection, for surfaces that face every way."""
    from pvlib import irradiance

    sun = sun_position(weather(48, 1.0))
    tilt, azimuth = np.array([0.0, 30.0, 90.0, 135.0]), np.array([180.0, 0.0, 270.0, 95.0])
    theirs = irradiance.aoi_projection(
        tilt[:, np.newaxis], azimuth[:, np.newaxis], sun.zenith_deg, sun.azimuth_deg
    )
    assert np.allclose(incidence(tilt, azimuth, sun), theirs, rtol=0.0, atol=1e-14)


def test_a_sun_is_kept_for_its_place_and_hours(weather: Any, own_folder: Path) -> None:
    """Another place and another start are other suns; the same is read, not made."""
    first = sun_position(weather(31, 1.0))
    kept = len(list(own_folder.iterdir()))
    assert kept == 1
    here = sun_position(weather(31, 1.0, latitude=50.0))
    assert len(list(own_folder.iterdir())) == kept + 1
    assert not np.array_equal(first.zenith_deg, here.zenith_deg)
    assert isinstance(first, Sun)
    with pytest.raises(ValueError, match="read-only"):
        first.zenith_deg[0] = 0.0


def test_a_known_yearly_wave_is_the_weathers_own(farm: Any, weather: Any) -> None:
    record = weather(24 * 120, 1.0, t_out_C=np.linspace(5.0, -10.0, 24 * 120))
    assert site_ground(farm(), record) == site_ground(farm(), record, Outdoors(record).year)
