"""Looking a record over: what is found is what was put there."""

from __future__ import annotations

from dataclasses import replace
from datetime import datetime
from pathlib import Path

import numpy as np
import pvlib
import pytest

from greenhouse_sim.errors import WeatherError
from greenhouse_sim.weather import Weather, find_weather, read_weather
from greenhouse_sim.weather.degree import coldest_spells, degree_days, design_temperature_C
from greenhouse_sim.weather.examine import examine
from greenhouse_sim.weather.plausible import months_of
from greenhouse_sim.weather.rows import Rows
from greenhouse_sim.weather.weather import Gap
from greenhouse_sim.weather.write import write_plain

GREENSBORO = Path(pvlib.__file__).parent / "data" / "723170TYA.CSV"


def made(t_out_C: np.ndarray, start: datetime = datetime(2018, 1, 1), **more: object) -> Weather:
    hours = len(t_out_C)
    zero, unknown = np.zeros(hours), np.full(hours, np.nan)
    return Weather(
        name="made", site="Rowan Hollow", start=start, utc_offset_h=-6.0, latitude=46.9,
        longitude=-96.8, elevation_m=270.0, t_out_C=t_out_C, t_dew_C=t_out_C - 2.0,
        pressure_Pa=zero + 98000.0, wind_m_s=zero + 3.0, ghi_W=zero, dni_W=zero, dhi_W=zero,
        cloud=unknown, ir_down_W=unknown, snow_m=unknown, **more,  # type: ignore[arg-type]
    )  # fmt: skip


def years(count: int) -> np.ndarray:
    """Hours of years from 2018, colder in January than in July."""
    hours = np.arange(8760 * count)
    return 5.0 - 18.0 * np.cos(2.0 * np.pi * hours / 8766.0) - 4.0 * np.cos(np.pi * hours / 12.0)


def months(t_out_C: np.ndarray, first: str = "2018-01-01") -> np.ndarray:
    stamps = np.datetime64(first, "s") + np.arange(len(t_out_C)) * np.timedelta64(3600, "s")
    return months_of(stamps)


@pytest.mark.parametrize("share", [0.004, 0.01])
def test_design_temperature_is_the_quantile_of_a_year(share: float) -> None:
    t_out = years(1)
    found = design_temperature_C(t_out, months(t_out), share, False)
    assert found == pytest.approx(np.quantile(t_out, share), abs=0.05)


def test_a_month_of_a_few_hours_has_no_mean() -> None:
    """A record that begins in the last hour of September says nothing of September."""
    found = examine(made(years(1)[:2000], datetime(2018, 9, 30, 23)))
    assert [month.month for month in found.months] == [10, 11, 12]


def test_a_winter_alone_has_the_design_temperature_of_its_year() -> None:
    t_out = years(1)
    month = months(t_out)
    winter = np.where(np.isin(month, (10, 11, 12, 1, 2, 3, 4)), t_out, np.nan)
    whole = design_temperature_C(t_out, month, 0.01, False)
    assert design_temperature_C(winter, month, 0.01, False) == pytest.approx(whole, abs=1e-9)
    summer = np.where(np.isin(month, (5, 6, 7, 8, 9)), t_out, np.nan)
    assert design_temperature_C(summer, month, 0.01, False) is None


def test_degree_days_of_a_steady_year() -> None:
    stamps = np.datetime64("2018-07-01", "s") + np.arange(8760) * np.timedelta64(3600, "s")
    (year,) = degree_days(np.full(8760, 10.0), stamps, False)
    assert year[1] == pytest.approx(365.0 * (55.0 / 3.0 - 10.0))
    assert degree_days(np.full(8760, 25.0), stamps, False)[0][1] == 0.0
    assert degree_days(np.full(2000, 10.0), stamps[:2000], False) == []


def test_degree_days_of_a_real_place() -> None:
    """From memory: NOAA's normals of 1971 to 2000 for Greensboro have 3848 °F days a year."""
    (year,) = examine(read_weather(GREENSBORO)).years
    assert year.degree_days_K * 1.8 == pytest.approx(3848.0, rel=0.05)


def test_coldest_spells_are_where_they_were_put() -> None:
    t_out = np.full(8760, 5.0)
    t_out[24 * 40 : 24 * 43] = -20.0
    t_out[24 * 10 : 24 * 13] = -15.0
    stamps = np.datetime64("2018-01-01", "s") + np.arange(8760) * np.timedelta64(3600, "s")
    spells = coldest_spells(t_out, stamps)
    assert [(str(s[0]), s[1], s[2]) for s in spells[:2]] == [
        ("2018-02-10", 3, -20.0), ("2018-01-11", 3, -15.0),
    ]  # fmt: skip


def test_doubtful_hours_are_found_and_sound_ones_are_not() -> None:
    t_out = years(2)
    assert examine(made(t_out)).doubts == ()
    t_out[1000] += 15.0
    t_out[5000:5030] = 21.3
    found = examine(made(t_out)).doubts
    assert [(d.what, d.hours) for d in found] == [("spike", 1), ("the same value on and on", 30)]
    assert found[0].at == "2018-02-11T16:00"
    night = replace(made(years(1)), ghi_W=np.full(8760, 100.0))
    assert any("sun at night" in d.what for d in examine(night).doubts)


def test_gaps_are_told_and_count_nowhere() -> None:
    t_out = years(2)
    t_out[300:400] = -60.0  # a stand-in must not become the coldest hour
    found = examine(made(t_out, gaps=(Gap(300, 400, "t_air"),)))
    assert found.known_hours == 2 * 8760 - 100
    (hole,) = found.holes
    assert (hole.first, hole.hours) == ("2018-01-13T12:00", 100)
    assert found.coldest_C > -30.0
    assert found.months[0].lowest_C > -30.0


def test_a_record_of_one_summer_has_no_winter() -> None:
    summer = made(years(1)[24 * 120 : 24 * 270], datetime(2018, 5, 1))
    found = examine(summer)
    assert found.winters == ()
    assert "not a whole season" in found.no_winter
    assert found.design_99_C is None
    assert found.years == ()


def plain(path: Path, unit: str, values: np.ndarray, latitude: float = 46.9) -> Path:
    stamps = np.datetime64("2018-01-01", "m") + np.arange(len(values)) * np.timedelta64(60, "m")
    head = [f"# latitude: {latitude}", "# longitude: -96.8", "# elevation: 270",
            "# utc_offset: -6",
            f"time,t_air [{unit}],ghi [W/m2],dni [W/m2],dhi [W/m2]"]  # fmt: skip
    rows = [
        f"{str(s).replace('T', ' ')},{v:.2f},0,0,0" for s, v in zip(stamps, values, strict=True)
    ]
    path.write_text("\n".join([*head, *rows]) + "\n", encoding="utf-8")
    return path


@pytest.mark.parametrize(
    ("unit", "turned", "words"),
    [
        ("degF", lambda c: c, "is the column Celsius, not Fahrenheit?"),
        ("degC", lambda c: np.minimum(c * 1.8 + 32.0, 44.0), "implausible for latitude 47"),
    ],
)
def test_a_column_in_the_wrong_unit_is_warned_of(
    tmp_path: Path, unit: str, turned: object, words: str
) -> None:
    record = read_weather(plain(tmp_path / "wrong.csv", unit, turned(years(1))))  # type: ignore[operator]
    assert any(note.startswith("WARNING") and words in note for note in record.notes)


def test_a_summer_alone_in_the_wrong_unit_is_warned_of(tmp_path: Path) -> None:
    path = plain(tmp_path / "wrong.csv", "degF", years(1))
    lines = path.read_text().split("\n")
    path.write_text("\n".join(lines[:5] + lines[4005:6005]) + "\n")
    assert any("Celsius, not Fahrenheit" in note for note in read_weather(path).notes)


@pytest.mark.parametrize(
    "name",
    ["tamarack_flats_severe.csv", "tamarack_flats_mild.csv", "selkie_sound_severe.csv",
     "selkie_sound_mild.csv"],
)  # fmt: skip
def test_the_samples_and_real_years_are_plausible(name: str, tmp_path: Path) -> None:
    for path in (find_weather(name, tmp_path), GREENSBORO, GREENSBORO.parent / "703165TY.csv"):
        assert not any("implausible" in note for note in read_weather(path).notes)


def test_two_stations_in_a_plain_file_are_refused(tmp_path: Path) -> None:
    path = plain(tmp_path / "two.csv", "degC", years(1)[:48])
    lines = path.read_text().split("\n")
    lines[4] += ",station"
    lines[5:53] = [f"{line},{'A' if n < 30 else 'B'}" for n, line in enumerate(lines[5:53])]
    path.write_text("\n".join(lines))
    with pytest.raises(WeatherError, match=r'row 36: column "station" has 2 stations \(A, B\)'):
        read_weather(path)


def test_what_is_written_is_read_again(tmp_path: Path) -> None:
    record = read_weather(find_weather("tamarack_flats_mild.csv", tmp_path))
    rows = Rows(
        path="", name="x", site=record.site, latitude=record.latitude, longitude=record.longitude,
        elevation_m=record.elevation_m, utc_offset_h=record.utc_offset_h, stamps=record.times(),
        columns=record.columns(), labels={}, file_row=np.arange(record.hours),
        notes=["first: one", "second"], source="made\nup",
    )  # fmt: skip
    write_plain(rows, tmp_path / "out.csv")
    again = read_weather(tmp_path / "out.csv")
    assert again.notes == ("first: one", "second")
    assert again.source == "made up"
    for key, values in record.columns().items():
        assert np.allclose(values, getattr(again, key), atol=0.006, equal_nan=True), key
