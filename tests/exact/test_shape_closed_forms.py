"""Areas and volumes against hand sums, and the closing of every shell."""

from __future__ import annotations

import math

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from greenhouse_sim.greenhouse.dome import dome
from greenhouse_sim.greenhouse.part import Shell
from greenhouse_sim.greenhouse.shape import lean_to, ridge_house

FT = 0.3048
SIZES = {
    "width": st.floats(2.0, 40.0),
    "length": st.floats(2.0, 200.0),
    "sidewall": st.floats(0.0, 5.0),
    "rise": st.floats(0.2, 12.0),
    "way": st.floats(0.0, 179.9),
}


def vector_area(shell: Shell) -> np.ndarray:
    """Sum of flat area times outward normal (east, north, up), m²."""
    total = np.zeros(3)
    for part in shell.parts:
        tilt, azimuth = math.radians(part.tilt_deg), math.radians(part.azimuth_deg)
        out = math.sin(tilt)
        normal = (out * math.sin(azimuth), out * math.cos(azimuth), math.cos(tilt))
        total += part.flat_m2 * np.array(normal)
    return total


def area(shell: Shell, *parts: str) -> float:
    return sum(p.area_m2 for p in shell.parts if p.part in parts)


def test_half_cylinder_by_hand() -> None:
    """30 × 100 ft half-cylinder: skin 4,712 ft², ends 707 ft², volume 35,343 ft³ (hand sums)."""
    shell = ridge_house("hoop", 30 * FT, 100 * FT, 0.0, 15 * FT, 90.0)
    assert area(shell, "roof") / FT**2 == pytest.approx(math.pi * 15 * 100, rel=1e-12)
    assert area(shell, "ends") / FT**2 == pytest.approx(math.pi * 15**2, rel=1e-12)
    assert shell.volume_m3 / FT**3 == pytest.approx(0.5 * math.pi * 15**2 * 100, rel=1e-12)
    assert round(area(shell, "roof") / FT**2) == 4712
    assert round(area(shell, "ends") / FT**2) == 707
    assert round(shell.volume_m3 / FT**3) == 35343


def test_gable_by_hand() -> None:
    """24 × 40 ft, 8 ft walls, 6 ft rise: slope √(12² + 6²) = 13.416 ft."""
    shell = ridge_house("gable", 24 * FT, 40 * FT, 8 * FT, 14 * FT, 0.0)
    assert area(shell, "roof") / FT**2 == pytest.approx(2 * math.hypot(12, 6) * 40)
    assert area(shell, "sides") / FT**2 == pytest.approx(2 * 8 * 40)
    assert area(shell, "ends") / FT**2 == pytest.approx(2 * (24 * 8 + 0.5 * 24 * 6))
    assert shell.volume_m3 / FT**3 == pytest.approx((24 * 8 + 0.5 * 24 * 6) * 40)


def test_lean_to_by_hand() -> None:
    shell = lean_to(3.0, 10.0, 1.0, 3.0, 180.0)
    assert area(shell, "wall") == pytest.approx(30.0)
    assert area(shell, "roof") == pytest.approx(10.0 * math.hypot(3.0, 2.0))
    assert area(shell, "ends") == pytest.approx(2 * 3.0 * 2.0)
    assert shell.volume_m3 == pytest.approx(60.0)
    assert shell.perimeter_m == pytest.approx(16.0)


def test_hemisphere_by_hand() -> None:
    shell = dome(10.0, 5.0)
    assert area(shell, "roof") == pytest.approx(2 * math.pi * 25.0)
    assert shell.volume_m3 == pytest.approx(2.0 / 3.0 * math.pi * 125.0)


@given(**SIZES)
def test_ridge_houses_close(
    width: float, length: float, sidewall: float, rise: float, way: float
) -> None:
    """A closed shell has no vector area; without its floor, exactly the floor's."""
    for shape in ("gable", "gothic", "hoop"):
        shell = ridge_house(shape, width, length, sidewall, sidewall + rise, way)
        scale = sum(p.area_m2 for p in shell.parts)
        assert np.abs(vector_area(shell)).max() < 1e-9 * scale
        assert all(p.area_m2 >= p.flat_m2 * (1 - 1e-12) > 0.0 for p in shell.parts)


@given(**SIZES)
def test_more_bow_means_more_skin_and_volume(
    width: float, length: float, sidewall: float, rise: float, way: float
) -> None:
    """Hoop ≥ gothic ≥ gable with the same width, sidewall and ridge."""
    shells = [
        ridge_house(shape, width, length, sidewall, sidewall + rise, way)
        for shape in ("gable", "gothic", "hoop")
    ]
    volumes = [s.volume_m3 for s in shells]
    skins = [area(s, "roof") for s in shells]
    assert volumes == sorted(volumes)
    assert skins == sorted(skins)


@given(diameter=st.floats(2.0, 40.0), share=st.floats(0.2, 0.9))
def test_domes_close(diameter: float, share: float) -> None:
    shell = dome(diameter, share * diameter)
    radius, height = 0.5 * diameter, share * diameter
    assert np.abs(vector_area(shell)).max() < 1e-9 * area(shell, "roof")
    assert area(shell, "roof") == pytest.approx(math.pi * (radius**2 + height**2))


@given(way=st.floats(0.0, 359.0), side=st.floats(0.0, 3.0), rise=st.floats(0.2, 5.0))
def test_lean_tos_close(way: float, side: float, rise: float) -> None:
    shell = lean_to(4.0, 12.0, side, side + rise, way)
    assert np.abs(vector_area(shell)).max() < 1e-9 * area(shell, "roof", "wall", "ends")
