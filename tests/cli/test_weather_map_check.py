"""``weather map`` and ``weather check`` as a user types them."""

from __future__ import annotations

import json
from pathlib import Path

import numpy as np
import pytest

from asked import Ask

PLACE = ("--latitude", "42.8", "--longitude", "-84.6", "--elevation", "870 ft")


@pytest.fixture
def station(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Path:
    """Two years of hours in Fahrenheit with a gap in the first summer and one in a winter."""
    monkeypatch.chdir(tmp_path)
    stamps = np.datetime64("2019-07-01T00:53", "m") + np.arange(2 * 8760) * np.timedelta64(60, "m")
    day = np.arange(len(stamps)) / 24.0
    t = 45.0 - 30.0 * np.cos(2 * np.pi * (day - 200.0) / 365.25) - 6.0 * np.cos(2 * np.pi * day)
    rows = [
        f"{s}:00,{v:.0f},{v - 5:.0f}"
        for n, (s, v) in enumerate(zip(stamps, t, strict=True))
        if not 500 <= n < 600 and not 13000 <= n < 13020
    ]
    path = tmp_path / "station.csv"
    path.write_text("\n".join(["DATE,DryBulb,DewPoint", *rows]) + "\n", encoding="utf-8")
    return path


def test_from_a_strange_csv_to_a_picture(ask: Ask, station: Path, tmp_path: Path) -> None:
    made = ask("weather", "map", station, "--yes", *PLACE, "--utc-offset", "-5")
    assert made.status == 0, made.err
    assert "taken as degF" in made.err
    assert "The file reads well" in made.out
    assert (tmp_path / "station.map.toml").exists()
    seen = ask("weather", "check", station, "--out", tmp_path / "out")
    assert seen.status == 0, seen.err
    assert max(len(line.rstrip()) for line in seen.out.splitlines()) <= 100
    for words in ("1 whole winter", "99.6 % design temperature", "Coldest spells", "Gaps over 3 h",
                  "100", "January", "°F·d"):  # fmt: skip
        assert words in seen.out
    assert "winter 2020-21 left out" not in seen.out
    for words in ("WARNING: no sun in the file", "no wind", ":53 past rounded"):
        assert words in seen.err
    assert (tmp_path / "out" / "weather.png").read_bytes().startswith(b"\x89PNG")
    assert json.loads((tmp_path / "out" / "weather.json").read_text())["schema"] == 1


def test_json_is_alone_on_standard_output(ask: Ask, station: Path) -> None:
    ask("weather", "map", station, "--yes", *PLACE, "--utc-offset", "-5")
    answer = ask("weather", "check", station, "--json", "--units", "si")
    found = json.loads(answer.out)["weather"]
    assert found["winters"] == ["2019-20"]
    assert [gap["hours"] for gap in found["gaps"]] == [100, 20]
    assert found["design_99_6_C"] < found["design_99_C"] < 0.0
    assert found["known_hours"] == found["hours"] - 120
    si = ask("weather", "check", station, "--units", "si").out
    for word in ("°F ", "mph", " ft", "Btu"):
        assert word not in si.replace("65 °F (18.3 °C)", "")


def test_a_mapped_file_runs_and_tells_the_winter_left_out(
    ask: Ask, station: Path, farm: Path
) -> None:
    ask("weather", "map", station, "--yes", *PLACE, "--utc-offset", "-5")
    answer = ask("run", farm, "--weather", station, "--json")
    assert answer.status == 0, answer.err
    assert "WARNING: no sun in the file" in answer.err


def test_the_questions(ask: Ask, station: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    import io

    said = "parsec\ndegF\n\nnonsense\nstandard time\n42.8\n-84.6\n-5\n870\n870 ft\n"
    monkeypatch.setattr("sys.stdin", io.StringIO(said))
    answer = ask("weather", "map", station)
    assert answer.status == 0, answer.err + answer.out
    text = station.with_name("station.map.toml").read_text(encoding="utf-8")
    assert 't_air = { column = "DryBulb", unit = "degF" }' in text
    assert "utc_offset = -5" in text
    assert "elevation = 265.176" in text
    assert "parsec" in answer.err
    assert "no time zone 'nonsense'" in answer.err


def test_a_clock_with_summer_time_must_be_named(ask: Ask, station: Path) -> None:
    night = ["2019-11-03 00:00", "2019-11-03 01:00", "2019-11-03 01:00", "2019-11-03 02:00"]
    rows = [f"2019-11-02 {h:02d}:00,40" for h in range(24)] + [f"{s},40" for s in night]
    rows += [f"2019-11-03 {h:02d}:00,40" for h in range(3, 24)]
    station.write_text("\n".join(["Time,Temp (°F)", *rows]), encoding="utf-8")
    answer = ask("weather", "map", station, "--yes", *PLACE)
    assert answer.status == 2
    assert "--clock America/Detroit" in answer.err
    answer = ask("weather", "map", station, "--yes", *PLACE, "--clock", "America/Detroit")
    assert answer.status == 0, answer.err
    assert "twice told apart in 1 night" in answer.err


def test_map_writes_over_nothing(ask: Ask, station: Path) -> None:
    station.with_name("station.map.toml").write_text("mine")
    answer = ask("weather", "map", station, "--yes")
    assert answer.status == 2
    assert "is there already" in answer.err
    assert station.with_name("station.map.toml").read_text() == "mine"


def test_map_elsewhere_and_without_a_place(ask: Ask, station: Path, tmp_path: Path) -> None:
    answer = ask("weather", "map", station, "--yes", "--map", tmp_path / "other.toml")
    assert answer.status == 0
    assert "Add latitude and longitude" in answer.out
    seen = ask("weather", "check", station, "--map", tmp_path / "other.toml", *PLACE)
    assert seen.status == 0, seen.err
    assert "by the longitude" in seen.err
    alone = ask("weather", "check", station, "--map", tmp_path / "other.toml")
    assert alone.status == 2
    assert "latitude" in alone.err


def test_a_sample_can_be_looked_over(ask: Ask) -> None:
    answer = ask("weather", "check", "tamarack_flats_severe.csv")
    assert answer.status == 0
    assert "made-up (synthetic) weather" in answer.err
    assert "1 whole winter" in answer.out


def test_one_summer_is_told(ask: Ask, station: Path) -> None:
    lines = station.read_text().split("\n")
    station.write_text("\n".join(lines[:1500]))
    ask("weather", "map", station, "--yes", *PLACE)
    answer = ask("weather", "check", station)
    assert answer.status == 0, answer.err
    assert "WARNING: no whole winter" in answer.err
    assert "no whole winter" in answer.out


@pytest.mark.parametrize(
    ("arguments", "words"),
    [
        (("check", "nothing.csv"), "no such file"),
        (("check",), "FILE"),
        (("map", "nothing.csv", "--yes"), "no such weather file"),
        (("check", "tamarack_flats_severe.csv", "--map", "none.toml"), "no such weather file"),
        (("check", "tamarack_flats_severe.csv", "--elevation", "870"), "no unit"),
        (("map", "nothing.csv", "--yes", "--clock", "America/Detriot"), "America/Detroit"),
    ],
)
def test_bad_wishes_are_told_plainly(
    ask: Ask, tmp_path: Path, monkeypatch: pytest.MonkeyPatch, arguments: tuple[str, ...],
    words: str,
) -> None:  # fmt: skip
    monkeypatch.chdir(tmp_path)
    answer = ask("weather", *arguments)
    assert answer.status == 2
    assert answer.out == ""
    assert words in answer.err
    assert "Traceback" not in answer.err
