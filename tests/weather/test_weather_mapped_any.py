"""Whatever a strange CSV or its mapping holds: weather, or one message that names the file."""

from __future__ import annotations

from pathlib import Path

from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from greenhouse_sim.errors import WeatherError
from greenhouse_sim.weather import read_weather
from greenhouse_sim.weather.examine import examine
from greenhouse_sim.weather.guess import guess
from greenhouse_sim.weather.mapping import mapping_path, mapping_text

QUICK = settings(
    max_examples=60, deadline=None, suppress_health_check=[HealthCheck.function_scoped_fixture]
)
ROWS = [f"2021-01-{20 + h // 24} {h % 24:02d}:00,{h % 9 - 4},80,5" for h in range(72)]
TEXT = "\n".join(["Date,Temp (°C),Humidity (%),Wind (km/h)", *ROWS])
CELLS = st.sampled_from(
    ["", "nan", "-999", "1e400", "inf", "2021-01-20 03:00", "2021-13-05 03:00", "x", '"', "1,5",
     ";", "9" * 30, "0x10", "12s", "1 2", "-", "M", "24:00", "2021-01-20 24:00", "\t", "0001-01-01",
     "[", "99999"]
)  # fmt: skip


def outcome(path: Path) -> None:
    """Read and look over, or fail with one line that names the file."""
    try:
        record = read_weather(path, latitude=46.9, longitude=-96.8, utc_offset_h=-6.0)
        examine(record)
    except WeatherError as problem:
        assert "\n" not in str(problem)
        assert path.stem in str(problem)


@QUICK
@given(row=st.integers(0, 72), cell=st.integers(0, 3), text=CELLS)
def test_one_broken_cell(tmp_path: Path, row: int, cell: int, text: str) -> None:
    path = tmp_path / "cell.csv"
    mapping_path(path).write_text(mapping_text(guess(TEXT, path).mapping, path.name))
    lines = TEXT.split("\n")
    cells = lines[row].split(",")
    cells[cell] = text
    lines[row] = ",".join(cells)
    path.write_text("\n".join(lines), encoding="utf-8")
    outcome(path)
    try:
        guess(path.read_text(encoding="utf-8"), path)
    except WeatherError as problem:
        assert path.stem in str(problem)


@QUICK
@given(at=st.integers(0, 600), length=st.integers(0, 30), more=st.text(max_size=8))
def test_torn_mapping(tmp_path: Path, at: int, length: int, more: str) -> None:
    path = tmp_path / "torn.csv"
    path.write_text(TEXT, encoding="utf-8")
    text = mapping_text(guess(TEXT, path).mapping, path.name)
    torn = text[:at] + more + text[at + length :]
    mapping_path(path).write_bytes(torn.encode("utf-8", "surrogatepass"))
    outcome(path)


@QUICK
@given(
    lines=st.lists(st.text(alphabet='0123456789-: ,;.TDateTmp°CF/"\n', max_size=50), max_size=10)
)
def test_any_table_is_guessed_or_told(tmp_path: Path, lines: list[str]) -> None:
    path = tmp_path / "any.csv"
    text = "\n".join(["Date,Temp", *lines])
    try:
        guess(text, path)
    except WeatherError as problem:
        assert path.stem in str(problem)
        assert "\n" not in str(problem)
