"""The bundled winters: what they say of themselves, and whether they look like winters."""

from __future__ import annotations

from pathlib import Path

import numpy as np
import pytest

from greenhouse_sim.errors import WeatherError
from greenhouse_sim.weather import Weather, find_weather, read_weather, winters
from greenhouse_sim.weather.climates import PLACES
from greenhouse_sim.weather.find import sample_names, samples_dir
from greenhouse_sim.weather.generator import invent_year
from greenhouse_sim.weather.samples import sample_csv, sample_epw
from greenhouse_sim.weather.sun import solar_noon_h

KINDS = ("mild", "typical", "severe")
NAMES = [f"{place}_{kind}.csv" for place in PLACES for kind in KINDS]


@pytest.fixture(scope="module")
def seasons() -> dict[str, Weather]:
    return {name: winters(read_weather(samples_dir() / name))[0] for name in NAMES}


def of_months(weather: Weather, *months: int) -> np.ndarray:
    return np.isin(weather.times().astype("datetime64[M]").astype(int) % 12 + 1, months)


def degree_days(weather: Weather) -> float:
    """Heating degree-days below 18.3 °C (65 °F) from daily means, K d."""
    return float(np.clip(18.3 - weather.t_out_C.reshape(-1, 24).mean(axis=1), 0.0, None).sum())


def test_all_are_there_and_small() -> None:
    assert sample_names() == tuple(sorted([*NAMES, "tamarack_flats_typical.epw"]))
    assert sum((samples_dir() / n).stat().st_size for n in sample_names()) < 3_000_000


def test_each_says_that_it_is_synthetic() -> None:
    for name in sample_names():
        head = (samples_dir() / name).read_text().split("\n")[:9]
        assert any("synthetic" in line.lower() for line in head), name
        weather = read_weather(samples_dir() / name)
        assert weather.synthetic
        assert not any("filled" in note for note in weather.notes)
    location = (samples_dir() / "tamarack_flats_typical.epw").read_text().split("\n")[0]
    assert "SYNTHETIC" in location


def test_each_covers_the_season_with_room(seasons: dict[str, Weather]) -> None:
    for name in NAMES:
        whole = read_weather(samples_dir() / name)
        assert str(whole.times()[0]) == "2025-09-16T00:00:00"
        assert str(whole.times()[-1]) == "2026-05-15T23:00:00"
        assert seasons[name].hours == 5088


@pytest.fixture(scope="module")
def again() -> dict[str, tuple[str, str]]:
    climate, kinds = PLACES["tamarack_flats"]
    made = []
    for _ in range(2):
        year = invent_year(climate, kinds[1])
        made.append((sample_csv(climate, kinds[1], year), sample_epw(climate, kinds[1], year)))
    return {"csv": (made[0][0], made[1][0]), "epw": (made[0][1], made[1][1])}


@pytest.mark.parametrize("kind", ["csv", "epw"])
def test_the_same_bytes_on_every_run(again: dict[str, tuple[str, str]], kind: str) -> None:
    first, second = again[kind]
    assert first == second
    bundled = (samples_dir() / f"tamarack_flats_typical.{kind}").read_text(encoding="utf-8")
    different = [
        (a, b) for a, b in zip(first.split("\n"), bundled.split("\n"), strict=True) if a != b
    ]
    # Another processor or sun library may round a last digit otherwise, in a few rows at most.
    assert len(different) <= 20, different[:3]


def test_the_readme_of_the_samples_is_true(seasons: dict[str, Weather]) -> None:
    text = (samples_dir() / "README.md").read_text(encoding="utf-8").replace("−", "-")
    for name, weather in seasons.items():
        t_out = weather.t_out_C
        line = next(line for line in text.split("\n") if line.startswith(f"| `{name}` | "))
        cells = [float(cell) for cell in line.split("|")[2:-1]]
        mean = t_out[of_months(weather, 12, 1, 2)].mean()
        truth = [mean, t_out.min(), np.sort(t_out)[35], (t_out < -15.0).sum(), degree_days(weather)]
        assert cells[:3] == pytest.approx(truth[:3], abs=0.06)
        assert cells[3:] == pytest.approx(truth[3:], abs=0.51)


def test_the_continental_place_is_cold(seasons: dict[str, Weather]) -> None:
    typical = seasons["tamarack_flats_typical.csv"]
    coldest = np.sort(typical.t_out_C)
    assert -32.0 < coldest[35] < -28.0  # 99.6 % of 8760 hours: the design temperature
    assert -30.0 < coldest[87] < -25.0  # 99 %
    assert 4700.0 < degree_days(typical) < 5300.0
    assert -16.0 < typical.t_out_C[of_months(typical, 12, 1, 2)].mean() < -10.0
    assert seasons["tamarack_flats_severe.csv"].t_out_C.min() < -35.0


def test_the_maritime_place_is_mild_and_wet(seasons: dict[str, Weather]) -> None:
    typical = seasons["selkie_sound_typical.csv"]
    winter = of_months(typical, 12, 1, 2)
    assert 2.0 < typical.t_out_C[winter].mean() < 6.0
    assert typical.cloud[winter].mean() > 0.65
    assert (typical.t_out_C - typical.t_dew_C)[winter].mean() < 3.0
    assert not (typical.t_out_C < -15.0).any()


@pytest.mark.parametrize("place", list(PLACES))
def test_severe_typical_and_mild_are_ordered(seasons: dict[str, Weather], place: str) -> None:
    mild, typical, severe = (seasons[f"{place}_{kind}.csv"] for kind in KINDS)
    assert degree_days(severe) > 1.05 * degree_days(typical)
    assert degree_days(typical) > 1.05 * degree_days(mild)
    assert severe.t_out_C.min() < typical.t_out_C.min() < mild.t_out_C.min()


@pytest.mark.parametrize("name", NAMES)
def test_the_day_has_its_shape(seasons: dict[str, Weather], name: str) -> None:
    weather = seasons[name]
    clock = np.arange(weather.hours) % 24
    mean = [weather.t_out_C[clock == hour].mean() for hour in range(24)]
    assert 5 <= int(np.argmin(mean)) <= 8
    assert 13 <= int(np.argmax(mean)) <= 16
    assert clock[int(np.argmin(weather.t_out_C))] <= 9  # the coldest hour is before the sun
    noon = solar_noon_h(weather.times(), weather.longitude, weather.utc_offset_h)
    late = float((weather.ghi_W * (clock + 0.5 - noon)).sum() / weather.ghi_W.sum())
    assert abs(late) < 0.2


@pytest.mark.parametrize("name", NAMES)
def test_sun_and_air_are_plausible(seasons: dict[str, Weather], name: str) -> None:
    weather = seasons[name]
    january = weather.ghi_W[of_months(weather, 1)].sum() / 31e3
    assert 0.5 < january < 2.2  # kWh/m² a day at 47 to 49 degrees north
    assert (weather.t_dew_C <= weather.t_out_C).all()
    assert 2.5 < weather.wind_m_s.mean() < 6.5
    assert (weather.dhi_W <= weather.ghi_W + 1.0).all()


def test_clear_nights_are_colder_in_the_continental_winter(seasons: dict[str, Weather]) -> None:
    severe = seasons["tamarack_flats_severe.csv"]
    cold = severe.t_out_C < -28.0
    assert cold.sum() > 100
    assert severe.cloud[cold].mean() < severe.cloud.mean() - 0.1


def test_find_beside_the_scenario_first(tmp_path: Path) -> None:
    name = "selkie_sound_mild.csv"
    assert find_weather(name, tmp_path) == samples_dir() / name
    (tmp_path / name).write_text("mine")
    assert find_weather(name, tmp_path) == tmp_path / name
    assert find_weather(str(tmp_path / name), "/nowhere") == tmp_path / name


@pytest.mark.parametrize(
    ("name", "words"),
    [
        ("tamarak_flats_mild.csv", "nearest bundled sample is tamarack_flats_mild.csv"),
        ("x.epw", "bundled samples: selkie"),
        ("../weather_samples/selkie_sound_mild.csv", "no such file"),
        ("bad\0name", "no file name|no such file"),
        ("x" * 5000, "no file name|no such file"),
    ],
)
def test_find_refuses_with_a_hint(tmp_path: Path, name: str, words: str) -> None:
    with pytest.raises(WeatherError, match=words):
        find_weather(name, tmp_path)
