"""Whatever the file, reading gives Weather or one WeatherError."""

from __future__ import annotations

import os
from pathlib import Path

import pytest
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from greenhouse_sim.errors import WeatherError
from greenhouse_sim.weather import Weather, find_weather, read_weather, winters

HEAD = ["# latitude: 46.9", "# longitude: -96.8", "# elevation: 270", "# utc_offset: -6"]
COLUMNS = "time,t_air [degC],ghi [W/m2],dni [W/m2],dhi [W/m2]"
GOOD = [*HEAD, COLUMNS, *(f"2026-01-05 {h:02d}:00,-5,0,0,0" for h in range(24))]
QUICK = settings(
    max_examples=120, deadline=None, suppress_health_check=[HealthCheck.function_scoped_fixture]
)
CELLS = st.sampled_from(
    ["", "nan", "-999", "1e400", "inf", "2026-01-05 03:00", "2026-13-05 03:00", "x", '"', "1,5",
     "#", "2026-01-05T03:00Z", "9" * 30, "0x10", "1_000", "١٢", "True", " 5 ", "0001-01-01 00:00",
     "9999-12-31 23:00", "2026-01-05 03:53", "\t", ";", "24", "2026-01-05 24:00"]
)  # fmt: skip


def outcome(path: Path) -> Weather | None:
    """The weather, or None after a WeatherError that names the file."""
    try:
        weather = read_weather(path)
        winters(weather, (1, 5), (1, 5))
        return weather
    except WeatherError as problem:
        text = str(problem)
        assert "\n" not in text
        assert path.name in text or path.stem in text
        return None


@pytest.mark.parametrize("name", ["missing.csv", "missing/file.epw", "."])
def test_no_such_file(tmp_path: Path, name: str) -> None:
    with pytest.raises(WeatherError, match=r"no such weather file|directory"):
        read_weather(tmp_path / name)


@pytest.mark.parametrize("content", [b"", b"\n\n  \n", b"\xef\xbb\xbf"])
def test_empty(tmp_path: Path, content: bytes) -> None:
    path = tmp_path / "empty.csv"
    path.write_bytes(content)
    with pytest.raises(WeatherError, match=r"empty|no header row"):
        read_weather(path)


@pytest.mark.parametrize("content", [
    "\n".join(GOOD).encode("utf-16"), b"PK\x03\x04\x00\x00", b"\x1f\x8b\x08", b"caf\x81\xff,1\n",
])  # fmt: skip
def test_not_text(tmp_path: Path, content: bytes) -> None:
    path = tmp_path / "odd.csv"
    path.write_bytes(content)
    with pytest.raises(WeatherError, match="UTF-8"):
        read_weather(path)


def test_huge_is_refused_before_reading(tmp_path: Path) -> None:
    path = tmp_path / "huge.csv"
    with path.open("wb") as file:
        os.truncate(file.fileno(), 1_000_000_000)  # a hole: takes no room on the disk
    with pytest.raises(WeatherError, match="1000 MB is too large"):
        read_weather(path)


@pytest.mark.parametrize(
    ("headings", "words"),
    [
        ("date,t_air [degC],ghi [W/m2]", 'no column time; the nearest found is "date"'),
        ("time,temp_air [degC],ghi [W/m2]", 'no column t_air; the nearest found is "temp_air'),
        ("time,t_air [degC],GH [W/m2]", r"no column ghi.*Name it ghi \[W/m2\]"),
        ("time,t_air,ghi [W/m2]", r"no unit; write t_air \[degC\]"),
        ("time,t_air [degC],t_air [degF],ghi [W/m2]", "stands twice"),
        ("time;t_air [degC];ghi [W/m2]", "no commas"),
        ("", "no header row|no hours"),
    ],
)
def test_columns(tmp_path: Path, headings: str, words: str) -> None:
    path = tmp_path / "columns.csv"
    path.write_text("\n".join([*HEAD, headings, *([GOOD[5]] if headings else [])]))
    with pytest.raises(WeatherError, match=words):
        read_weather(path)


@QUICK
@given(row=st.integers(0, len(GOOD) - 1), cell=st.integers(0, 4), text=CELLS)
def test_one_broken_cell(tmp_path: Path, row: int, cell: int, text: str) -> None:
    lines = list(GOOD)
    cells = lines[row].split(",")
    cells[min(cell, len(cells) - 1)] = text
    lines[row] = ",".join(cells)
    path = tmp_path / "cell.csv"
    path.write_text("\n".join(lines), encoding="utf-8")
    outcome(path)


@QUICK
@given(
    cuts=st.lists(
        st.tuples(st.integers(0, 900), st.integers(0, 40), st.text(max_size=6)), max_size=3
    )
)
def test_torn_text(tmp_path: Path, cuts: list[tuple[int, int, str]]) -> None:
    text = "\n".join(GOOD)
    for at, length, more in cuts:
        text = text[:at] + more + text[at + length :]
    path = tmp_path / "torn.csv"
    path.write_bytes(text.encode("utf-8", "surrogatepass"))
    outcome(path)


@QUICK
@given(content=st.binary(max_size=300))
@pytest.mark.parametrize("name", ["any.csv", "any.epw"])
def test_any_bytes(tmp_path: Path, name: str, content: bytes) -> None:
    path = tmp_path / name
    path.write_bytes(content)
    assert outcome(path) is None


@QUICK
@given(
    lines=st.lists(st.text(alphabet='0123456789-: ,.T#Ztimeghar[]/"\n', max_size=60), max_size=12)
)
def test_any_table(tmp_path: Path, lines: list[str]) -> None:
    path = tmp_path / "table.csv"
    path.write_text("\n".join([*HEAD, COLUMNS, *lines]), encoding="utf-8")
    outcome(path)


EPW = find_weather("tamarack_flats_typical.epw", ".").read_text().split("\n")[: 8 + 48]


@settings(QUICK, max_examples=60)
@given(row=st.integers(0, 55), cell=st.integers(0, 25), text=CELLS)
def test_broken_epw(tmp_path: Path, row: int, cell: int, text: str) -> None:
    lines = list(EPW)
    cells = lines[row].split(",")
    cells[min(cell, len(cells) - 1)] = text
    lines[row] = ",".join(cells)
    path = tmp_path / "cell.epw"
    path.write_text("\n".join(lines), encoding="utf-8")
    outcome(path)
