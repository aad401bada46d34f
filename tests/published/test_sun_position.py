"""Sun and wind against published and independent values."""

from __future__ import annotations

from datetime import datetime
from types import SimpleNamespace

import numpy as np
import pytest

from greenhouse_sim.drive.clouds import cloud_from_sun
from greenhouse_sim.drive.glazing import at_angle
from greenhouse_sim.drive.sun import on_surfaces, sun_position
from greenhouse_sim.greenhouse.wind import wind_factor


def place(**change: object) -> SimpleNamespace:
    """Weather of one hour as far as the sun needs it."""
    fields: dict[str, object] = {
        "start": datetime(2003, 10, 17, 12), "utc_offset_h": -7.0, "latitude": 39.742476,
        "longitude": -105.1786, "elevation_m": 1830.14, "pressure_Pa": np.array([82000.0]),
        "t_out_C": np.array([11.0]), "dni_W": np.array([800.0]), "dhi_W": np.array([100.0]),
        "ghi_W": np.array([600.0]),
    }  # fmt: skip
    fields.update(change)
    made = SimpleNamespace(**fields)
    made.times = lambda: np.array([np.datetime64(made.start, "s")])
    return made


def test_solar_position_worked_example() -> None:
    """NREL/TP-560-34302 (Reda and Andreas): 17 Oct 2003 12:30:30 UTC-7, zenith 50.11162, azimuth
    194.34024. The middle of our hour is 12:30:00; in 30 s the azimuth moves by 0.16 degrees."""
    sun = sun_position(place(start=datetime(2003, 10, 17, 12)))
    assert sun.zenith_deg[0] == pytest.approx(50.1116, abs=0.06)
    assert sun.azimuth_deg[0] == pytest.approx(194.3402, abs=0.18)


def test_solar_position_on_the_second() -> None:
    """The same example with the clock zone shifted by those 30 s."""
    sun = sun_position(place(utc_offset_h=-7.0 - 30.0 / 3600.0))
    assert sun.zenith_deg[0] == pytest.approx(50.11162 + 0.0135, abs=0.02)
    assert sun.azimuth_deg[0] == pytest.approx(194.34024, abs=1e-3)


def test_winter_noon() -> None:
    """44.88 N, 93.22 W, 255 m, 21 Dec 2019 12:00 CST: apparent zenith 68.3224, azimuth 177.3074
    (pvlib 0.16.1). Refraction at that height is about 0.04 degrees; ours is the true zenith."""
    noon = place(
        start=datetime(2019, 12, 21, 12), utc_offset_h=-5.5, latitude=44.88, longitude=-93.22,
        elevation_m=255.0,
    )  # fmt: skip
    sun = sun_position(noon)
    assert sun.zenith_deg[0] == pytest.approx(68.3224 + 0.04, abs=0.02)
    assert sun.azimuth_deg[0] == pytest.approx(177.3074, abs=0.01)
    assert sun.space_W[0] == pytest.approx(1412.709, rel=2e-3)


@pytest.mark.parametrize("beam", [0.0, 30.0, 150.0, 400.0, 800.0, 950.0])
@pytest.mark.parametrize("hour", [7, 8, 10, 12, 16])
def test_tilted_sun_against_pvlib(beam: float, hour: int) -> None:
    """Perez's sky as pvlib codes it, five outlooks, from overcast to clear, a low sun to a high."""
    from pvlib import atmosphere, irradiance

    weather = place(start=datetime(2003, 10, 17, hour), dni_W=np.array([beam]))
    sun = sun_position(weather)
    tilt = np.array([0.0, 45.0, 90.0, 90.0, 90.0])
    azimuth = np.array([0.0, 180.0, 90.0, 180.0, 0.0])
    light = on_surfaces(tilt, azimuth, sun, weather, 0.2)
    for k in range(len(tilt)):
        total = irradiance.get_total_irradiance(
            tilt[k], azimuth[k], sun.zenith_deg, sun.azimuth_deg, weather.dni_W, weather.ghi_W,
            weather.dhi_W, dni_extra=sun.space_W, albedo=0.2, model="perez",
            airmass=atmosphere.get_relative_airmass(sun.zenith_deg),
        )  # fmt: skip
        assert light.beam[k] + light.diffuse[k] == pytest.approx(total["poa_global"], rel=1e-9)


def test_light_aslant() -> None:
    """One sheet of glass keeps nearly all at 40 degrees, about 0.94 at 60, little at 85 (textbooks
    on solar engineering, from memory); two sheets lose more."""
    cosine = np.cos(np.radians([0.0, 40.0, 60.0, 70.0, 85.0, 90.0]))
    one, two = at_angle(cosine, 1), at_angle(cosine, 2)
    assert one[0] == pytest.approx(1.0)
    assert one[1] == pytest.approx(0.99, abs=0.02)
    assert one[2] == pytest.approx(0.93, abs=0.03)
    assert one[4] < 0.5
    assert one[5] == pytest.approx(0.0, abs=1e-12)
    assert (two <= one).all()
    assert (np.diff(one) <= 0.0).all()


def test_clear_sky_means_no_cloud() -> None:
    """Haurwitz by hand: cos z 0.5 gives 1098 × 0.5 × exp(-0.118) = 487.9 W/m²; Kasten and Czeplak:
    a quarter of it means overcast."""
    cloud = cloud_from_sun(np.array([487.9, 0.25 * 487.9]), np.array([0.5, 0.5]))
    assert cloud[0] == pytest.approx(0.0, abs=0.08)
    assert cloud[1] == pytest.approx(1.0, abs=1e-3)


@pytest.mark.parametrize(
    ("terrain", "height", "factor"),
    [("open", 10.0, 1.0), ("open", 2.0, 0.2**0.14), ("towns", 460.0, 27.0**0.14)],
)
def test_wind_profile(terrain: str, height: float, factor: float) -> None:
    """ASHRAE Fundamentals 2005: open 0.14 and 270 m, towns 0.33 and 460 m; by hand."""
    assert wind_factor(terrain, height) == pytest.approx(factor, rel=1e-9)
