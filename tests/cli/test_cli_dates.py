"""The command ``dates`` from the outside."""

from __future__ import annotations

import json
from pathlib import Path

from asked import Ask

MILD, SEVERE = "tamarack_flats_mild.csv", "tamarack_flats_severe.csv"


def whole_winter(farm: Path) -> Path:
    """The farm with its whole season."""
    text = farm.read_text(encoding="utf-8")
    farm.write_text(text.replace('"12-20", end = "01-20"', '"10-01", end = "04-30"'))
    return farm


def test_it_says_what_dates_change(ask: Ask, farm: Path, tmp_path: Path) -> None:
    out = tmp_path / "out"
    answer = ask("dates", whole_winter(farm), "--weather", MILD, SEVERE, "--out", out)
    assert answer.status == 0
    lines = answer.out.splitlines()
    assert lines[0].startswith("outdoor boiler: ")
    assert max(len(line.rstrip()) for line in lines) <= 100
    told = " ".join(answer.out.split())
    for words in ("Heating starts", "after 16 Apr", "1 Nov to 15 Feb, no heat", "20 a winter",
                  "most is saved by a rest", "2 winters are too few",
                  "Carbon monoxide"):  # fmt: skip
        assert words in told, words
    assert {path.name for path in out.iterdir()} == {"dates.csv", "dates.png"}
    assert (out / "dates.png").read_bytes().startswith(b"\x89PNG")


def test_json_of_one_winter(ask: Ask, farm: Path) -> None:
    answer = ask("dates", farm, "--weather", MILD, "--json")
    assert answer.status == 0
    found = json.loads(answer.out)["dates"]
    assert found["winters"] == ["tamarack_flats_mild"]
    assert [row["group"] for row in found["choices"]] == ["as it is", "no burn", "no burn"]
    assert found["choices"][0]["lowest_air_while_not_heated_C"]["median"] is None
    assert found["choices"][0]["cords"]["median"] > 0.0


def test_a_heater_without_fuel_is_told_in_heat(ask: Ask, farm: Path) -> None:
    text = farm.read_text(encoding="utf-8").replace("outdoor boiler", "electric heater")
    farm.write_text(text, encoding="utf-8")
    answer = ask("dates", farm, "--weather", MILD)
    assert answer.status == 0
    assert "million Btu for the season as it is." in answer.out
