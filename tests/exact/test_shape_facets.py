"""A curved roof as flat facets: what is exact at any count, and how the sun converges."""

from __future__ import annotations

from datetime import datetime
from types import SimpleNamespace

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from greenhouse_sim.drive.inside import entered
from greenhouse_sim.drive.sun import on_surfaces, sun_position
from greenhouse_sim.greenhouse import profile
from greenhouse_sim.greenhouse.part import Shell
from greenhouse_sim.greenhouse.shape import ridge_house
from greenhouse_sim.greenhouse.skin import Skin, skins
from greenhouse_sim.weather.weather import Weather

USUAL = profile.FACETS
MANY = 80
DAYS = [datetime(2001, 12, 21), datetime(2001, 2, 1), datetime(2001, 3, 21)]


def house(count: int, runs: float, monkeypatch: pytest.MonkeyPatch) -> Shell:
    """30 × 72 ft, bow from the ground: the roof is all there is but the ends."""
    monkeypatch.setattr(profile, "FACETS", count)
    return ridge_house("hoop", 9.144, 21.946, 0.0, 4.572, runs)


def clear_day(start: datetime, latitude: float) -> Weather:
    """A clear day: direct sun by air mass (Meinel 1976: 1353·0.7^(AM^0.678)), some diffuse."""
    hours = 24
    flat = dict.fromkeys(
        ("t_out_C", "t_dew_C", "pressure_Pa", "wind_m_s", "ghi_W", "dni_W", "dhi_W", "cloud"),
        np.zeros(hours),
    ) | {"pressure_Pa": np.full(hours, 101325.0)}  # fmt: skip
    place = {
        "name": "clear", "site": "here", "start": start, "utc_offset_h": 0.0, "latitude": latitude,
        "longitude": 0.0, "elevation_m": 0.0, "ir_down_W": np.full(hours, 250.0),
        "snow_m": np.zeros(hours),
    }  # fmt: skip
    height = np.maximum(sun_position(Weather(**place, **flat)).cosine, 1e-3)
    dni = np.where(height > 2e-3, 1353.0 * 0.7 ** (height**-0.678), 0.0)
    dhi = 0.1 * dni * np.sqrt(height)
    return Weather(**place, **flat | {"dni_W": dni, "dhi_W": dhi, "ghi_W": dni * height + dhi})


def cover_of(shell: Shell) -> tuple[Skin, ...]:
    choice = SimpleNamespace(roof="double poly inflated", sides="double poly inflated",
                             ends="double poly inflated", north=None)  # fmt: skip
    green = SimpleNamespace(shape="hoop", cover=choice, north_wall=None)
    return skins(SimpleNamespace(greenhouse=green), shell)


def let_in_Wh(shell: Shell, day: Weather) -> float:
    """Sun let in over the day, Wh."""
    parts = cover_of(shell)
    tilt = np.array([skin.part.tilt_deg for skin in parts])
    azimuth = np.array([skin.part.azimuth_deg for skin in parts])
    light = on_surfaces(tilt, azimuth, sun_position(day), day, 0.2)
    beam, diffuse = entered(parts, light, np.ones(24))
    return float((beam + diffuse).sum())


@given(
    count=st.integers(1, 12), width=st.floats(3.0, 12.0), rise=st.floats(0.5, 1.5),
    shape=st.sampled_from(["hoop", "gothic"]),
)  # fmt: skip
def test_area_and_volume_do_not_depend_on_the_count(
    count: int, width: float, rise: float, shape: str
) -> None:
    """Arcs, not chords, make the area; the segment under the arc the volume: both exact."""
    with pytest.MonkeyPatch.context() as patch:
        built = []
        for facets in (count, MANY):
            patch.setattr(profile, "FACETS", facets)
            built.append(ridge_house(shape, width, 20.0, 1.5, 1.5 + rise, 90.0))
    few, many = (sum(p.area_m2 for p in shell.parts if p.part == "roof") for shell in built)
    assert few == pytest.approx(many, rel=1e-12)
    assert built[0].volume_m3 == built[1].volume_m3
    chords = [sum(p.flat_m2 for p in shell.parts if p.part == "roof") for shell in built]
    assert chords[0] <= chords[1] * (1 + 1e-12) <= many * (1 + 1e-12)


def test_chords_close_in_on_the_arc_with_the_square_of_the_count(
    monkeypatch: pytest.MonkeyPatch,
) -> None:
    """A chord of 2δ is δ²/6 short of its arc: each doubling leaves a quarter."""
    short = []
    for count in (2, 4, 8, 16):
        shell = house(count, 90.0, monkeypatch)
        roof = [p for p in shell.parts if p.part == "roof"]
        short.append(1.0 - sum(p.flat_m2 for p in roof) / sum(p.area_m2 for p in roof))
    assert np.array(short[1:]) / np.array(short[:-1]) == pytest.approx(0.25, abs=0.01)
    assert short[0] == pytest.approx((np.pi / 8.0) ** 2 / 6.0, rel=0.02)


@pytest.mark.parametrize("latitude", [35.0, 47.0, 60.0])
@pytest.mark.parametrize("runs", [90.0, 0.0])
def test_sun_let_in_converges(
    monkeypatch: pytest.MonkeyPatch, runs: float, latitude: float
) -> None:
    """Winter days, both ways the ridge may run: within 0.5 % of very many facets at the usual
    count (0.4 % reached), 0.1 % at twice as many; one facet is up to 13 % off."""
    for start in DAYS:
        day = clear_day(start, latitude)
        limit = let_in_Wh(house(MANY, runs, monkeypatch), day)
        off = [
            abs(let_in_Wh(house(count, runs, monkeypatch), day) / limit - 1.0)
            for count in (USUAL, 2 * USUAL, 4 * USUAL)
        ]
        assert off[0] < 0.005
        assert off[1] < 0.001
        assert off[0] > off[1] > off[2]


def test_one_facet_is_not_enough(monkeypatch: pytest.MonkeyPatch) -> None:
    """So that the test above can fail: a tent of the same measures on 21 March at 35 N."""
    day = clear_day(DAYS[-1], 35.0)
    one, many = (let_in_Wh(house(count, 90.0, monkeypatch), day) for count in (1, MANY))
    assert 0.10 < 1.0 - one / many < 0.15
