"""EPW and TMY3: hours, missing codes, typical years, broken files."""

from __future__ import annotations

from pathlib import Path

import numpy as np
import pvlib
import pytest

from greenhouse_sim.errors import WeatherError
from greenhouse_sim.weather import find_weather, read_weather, winters

DATA = Path(pvlib.__file__).parent / "data"


@pytest.fixture(scope="module")
def lines() -> list[str]:
    return find_weather("tamarack_flats_typical.epw", ".").read_text().split("\n")


def changed(lines: list[str], row: int, field: int, text: str) -> list[str]:
    """EPW lines with one field of one row (as an editor counts) changed."""
    cells = lines[row - 1].split(",")
    cells[field - 1] = text
    return [*lines[: row - 1], ",".join(cells), *lines[row:]]


def save(tmp_path: Path, lines: list[str], name: str = "year.epw") -> Path:
    path = tmp_path / name
    path.write_text("\n".join(lines))
    return path


def test_epw_hour_1_is_midnight_to_one(lines: list[str], tmp_path: Path) -> None:
    weather = read_weather(save(tmp_path, changed(lines, 9, 7, "-1.25")))
    assert weather.t_out_C[0] == -1.25
    assert str(weather.times()[0]) == "2025-01-01T00:00:00"
    assert weather.hours == 8760
    assert weather.synthetic
    assert np.isnan(weather.ir_down_W).all()
    assert np.isnan(weather.snow_m).all()


def test_epw_is_told_by_content_too(lines: list[str], tmp_path: Path) -> None:
    assert read_weather(save(tmp_path, lines, "year.txt")).hours == 8760


@pytest.mark.parametrize(
    ("field", "code"),
    [
        (7, "99.9"),
        (8, "99.9"),
        (10, "999999"),
        (14, "9999"),
        (15, "9999"),
        (16, "9999"),
        (22, "999"),
    ],
)
def test_epw_missing_codes_are_filled(
    lines: list[str], tmp_path: Path, field: int, code: str
) -> None:
    weather = read_weather(save(tmp_path, changed(lines, 100, field, code)))
    assert len(weather.notes) == 1
    assert "1 hour filled" in weather.notes[0]


def test_epw_a_long_run_of_codes_refuses_its_winter(lines: list[str], tmp_path: Path) -> None:
    for row in range(100, 106):
        lines = changed(lines, row, 7, "99.9")
    with pytest.raises(
        WeatherError, match=r"temp_air.*2025-01-04 19:00 to 2025-01-05 00:00 \(6 h\)"
    ):
        winters(read_weather(save(tmp_path, lines)))


@pytest.mark.parametrize(
    ("row", "field", "text", "words"),
    [
        (1, 1, "PLACE", "begins with LOCATION"),
        (1, 7, "north", "row 1: latitude 'north'"),
        (1, 7, "97", "latitude 97 is out of range"),
        (8, 1, "DATA", "row 8"),
        (50, 2, "13", "row 50"),
        (50, 4, "25", "row 50"),
        (50, 1, "year", "row 50"),
        (50, 7, "cold", 'row 50, column "temp_air": .cold.'),
        (50, 7, "80", 'row 50, column "temp_air": 80 degC is impossible'),
        (50, 22, "-1", 'row 50, column "wind_speed"'),
        (50, 5, "1,2,3", "row 50: has 37 fields"),
        (50, 4, "12", "row 5[01]: .*(stands twice|comes after)"),
    ],
)
def test_epw_faults_name_their_row(
    lines: list[str], tmp_path: Path, row: int, field: int, text: str, words: str
) -> None:
    with pytest.raises(WeatherError, match=words):
        read_weather(save(tmp_path, changed(lines, row, field, text)))


@pytest.mark.parametrize("count", [1, 5, 8])
def test_epw_without_hours_is_refused(lines: list[str], tmp_path: Path, count: int) -> None:
    with pytest.raises(WeatherError, match=r"row 8|no hours"):
        read_weather(save(tmp_path, lines[:count]))


def test_epw_with_months_of_several_years_is_a_typical_year(
    lines: list[str], tmp_path: Path
) -> None:
    mixed = [line.replace("2025,", f"{1990 + int(line.split(',')[1]) % 5},", 1)
             if n >= 8 and line else line for n, line in enumerate(lines)]  # fmt: skip
    weather = read_weather(save(tmp_path, mixed))
    assert weather.start.year == 2001
    assert weather.hours == 8760
    assert "typical year" in weather.notes[0]


def test_epw_leap_year_without_its_leap_day_is_a_typical_year(
    lines: list[str], tmp_path: Path
) -> None:
    leap = [line.replace("2025,", "2024,", 1) if n >= 8 else line for n, line in enumerate(lines)]
    weather = read_weather(save(tmp_path, leap))
    assert (weather.start.year, weather.hours) == (2001, 8760)


def test_epw_real_leap_year_keeps_its_day(lines: list[str], tmp_path: Path) -> None:
    leap = [line.replace("2025,", "2024,", 1) if n >= 8 else line for n, line in enumerate(lines)]
    march = next(n for n, line in enumerate(leap) if line.startswith("2024,3,1,1,"))
    day = [line.replace("2024,2,28,", "2024,2,29,") for line in leap[march - 24 : march]]
    weather = read_weather(save(tmp_path, leap[:march] + day + leap[march:]))
    assert (weather.start.year, weather.hours) == (2024, 8784)


@pytest.mark.parametrize("name", ["723170TYA.CSV", "703165TY.csv"])
def test_tmy3_is_a_typical_year_hour_starting(name: str) -> None:
    weather = read_weather(DATA / name)
    assert weather.hours == 8760
    assert str(weather.times()[0]) == "2001-01-01T00:00:00"
    assert str(weather.times()[-1]) == "2001-12-31T23:00:00"
    assert not weather.synthetic
    rows = (DATA / name).read_text().split("\n")
    head = rows[1].split(",")
    for hour in (0, 1415, 1416, 8759):  # ends of the year and of February
        cells = rows[hour + 2].split(",")
        assert weather.t_out_C[hour] == float(cells[head.index("Dry-bulb (C)")])
        assert weather.pressure_Pa[hour] == 100.0 * float(cells[head.index("Pressure (mbar)")])
        assert weather.cloud[hour] == pytest.approx(
            float(cells[head.index("TotCld (tenths)")]) / 10
        )


def test_tmy3_missing_and_broken(tmp_path: Path) -> None:
    rows = (DATA / "703165TY.csv").read_text().split("\n")
    head = rows[1].split(",")
    column = head.index("Wspd (m/s)")
    path = tmp_path / "broken.csv"

    def with_cell(text: str) -> Path:
        cells = rows[40].split(",")
        cells[column] = text
        path.write_text("\n".join([*rows[:40], ",".join(cells), *rows[41:]]))
        return path

    assert "1 hour filled" in read_weather(with_cell("-9900")).notes[-1]
    with pytest.raises(WeatherError, match='row 41, column "wind_speed"'):
        read_weather(with_cell("breeze"))
    with pytest.raises(WeatherError, match=r"row 41.*impossible"):
        read_weather(with_cell("400"))
    path.write_text("\n".join(rows[:2]))
    with pytest.raises(WeatherError, match="no hours"):
        read_weather(path)
    path.write_text("\n".join(["a,b", *rows[1:]]))
    with pytest.raises(WeatherError, match="TMY3"):
        read_weather(path)
