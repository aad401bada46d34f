"""The command ``heat`` from the outside."""

from __future__ import annotations

import json
from pathlib import Path

import pytest

from asked import Ask

MILD, SEVERE = "tamarack_flats_mild.csv", "tamarack_flats_severe.csv"


def test_it_says_the_design_first_and_the_cautions_last(ask: Ask, farm: Path) -> None:
    answer = ask("heat", farm, "--weather", MILD, SEVERE)
    assert answer.status == 0
    lines = answer.out.splitlines()
    assert lines[0].startswith("Design heat loss ")
    assert max(len(line.rstrip()) for line in lines) <= 100
    for words in ("Design heat loss by part", "Heat needed to hold", "Heat in and out",
                  "Most output of the catalogue", "Carbon monoxide"):  # fmt: skip
        assert words in answer.out
    assert "made-up (synthetic) weather" in answer.err


def test_si_has_no_fahrenheit(ask: Ask, farm: Path) -> None:
    answer = ask("heat", farm, "--weather", MILD, "--units", "si")
    assert answer.status == 0
    # the cautions name lengths in feet, as in the other commands
    told = answer.out[: answer.out.index("Fire:")]
    for word in ("°F", "Btu", "ft", "mph"):
        assert word not in told.replace("aft", "")


def test_json_and_nothing_else(ask: Ask, farm: Path) -> None:
    cold = ask("heat", farm, "--weather", MILD, "--design-temperature", "-22 degF", "--json")
    assert cold.status == 0
    answer = json.loads(cold.out)
    assert set(answer) == {"schema", "heat", "design"}
    assert answer["design"]["temperature_C"] == pytest.approx(-30.0)
    assert answer["design"]["basis"] == "as given"
    (row,) = answer["heat"]
    assert sum(row["gains_kWh"].values()) == pytest.approx(sum(row["losses_kWh"].values()))
    colder = json.loads(
        ask("heat", farm, "--weather", MILD, "--design-temperature=-40 degC", "--json").out
    )
    assert colder["design"]["loss_W"] > answer["design"]["loss_W"]


def test_files_are_written(ask: Ask, farm: Path, tmp_path: Path) -> None:
    out = tmp_path / "a" / "b"
    answer = ask("heat", farm, "--weather", MILD, "--out", out)
    assert answer.status == 0
    names = {"heat_design.csv", "heat_winters.csv", "heat_heaters.csv", "heat.png"}
    assert {path.name for path in out.iterdir()} == names
    assert (out / "heat.png").read_bytes().startswith(b"\x89PNG")


@pytest.mark.parametrize(
    "text",
    ["-22", "cold", "", "10 ft", "70 degF", "-300 degF", "nan degC", "-22 degF/h"],
)
def test_a_bad_design_temperature_is_told_plainly(ask: Ask, farm: Path, text: str) -> None:
    answer = ask("heat", farm, "--weather", MILD, "--design-temperature", text)
    assert answer.status == 2
    assert answer.out == ""
    assert "esign" in answer.err
    assert "temperature" in answer.err
    assert "Traceback" not in answer.err


@pytest.mark.parametrize("arguments", [[], ["no_such.toml"], ["--weather", MILD]])
def test_a_missing_scenario_is_told_plainly(ask: Ask, arguments: list[str]) -> None:
    answer = ask("heat", *arguments)
    assert answer.status == 2
    assert answer.out == ""
    assert "Traceback" not in answer.err


def test_bad_weather_and_a_bad_folder_are_told_plainly(
    ask: Ask, farm: Path, tmp_path: Path
) -> None:
    assert ask("heat", farm, "--weather", "no_such.csv").status == 2
    (tmp_path / "file").write_text("", encoding="utf-8")
    answer = ask("heat", farm, "--out", tmp_path / "file")
    assert answer.status == 2
    assert "is a file" in answer.err
