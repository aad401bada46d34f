"""The command ``nights`` from the outside."""

from __future__ import annotations

import json
from pathlib import Path

import pytest

from asked import Ask

MILD, SEVERE = "tamarack_flats_mild.csv", "tamarack_flats_severe.csv"


def test_it_says_what_getting_up_is_worth(ask: Ask, farm: Path) -> None:
    answer = ask("nights", farm)
    assert answer.status == 0
    lines = answer.out.splitlines()
    assert lines[0].startswith("outdoor boiler: ")
    assert max(len(line.rstrip()) for line in lines) <= 100
    told = " ".join(answer.out.split())
    for words in ("ways to spend the night", "clock every 2 h", "Coldest night with nobody up",
                  "On the design night", "wood stove, small", "that a time up saves",
                  "3 winters are too few to speak of one winter", "Carbon monoxide"):  # fmt: skip
        assert words in told, words


def test_json_and_files(ask: Ask, farm: Path, tmp_path: Path) -> None:
    out = tmp_path / "out"
    answer = ask("nights", farm, "--weather", MILD, SEVERE, "--heater", "wood stove, large",
                 "--json", "--out", out)  # fmt: skip
    assert answer.status == 0
    found = json.loads(answer.out)["nights"]
    assert found["heater"] == "wood stove, large"
    assert len(found["summary"]) == 6
    assert len(found["seasons"]) == 12
    assert found["summary"][0]["night_wakeups"] == {"median": 0.0, "low": 0.0, "high": 0.0}
    assert {night["winter"] for night in found["log"]} == set(found["winters"])
    names = {path.name for path in out.iterdir()}
    assert names == {
        "nights.csv", "nights_log.csv", "nights_loads.csv", "nights.png", "nights_trade.png",
    }  # fmt: skip
    assert (out / "nights.png").read_bytes().startswith(b"\x89PNG")


def test_one_winter_and_a_heater_that_nobody_loads(ask: Ask, farm: Path) -> None:
    answer = ask("nights", farm, "--weather", MILD, "--units", "si", "--heater", "propane heater")
    assert answer.status == 0
    assert "Nobody needs to get up for this heater." in answer.out
    assert "nobody loads it" in answer.out
    assert "no share of winters" in answer.out


@pytest.mark.parametrize(
    ("words", "told"),
    [
        (("--heater", "wood stov"), "--heater"),
        (("--weather", "nowhere.csv"), "nowhere.csv"),
    ],
)
def test_bad_options_are_told_plainly(
    ask: Ask, farm: Path, words: tuple[str, ...], told: str
) -> None:
    answer = ask("nights", farm, *words)
    assert answer.status == 2
    assert answer.out == ""
    assert told in answer.err
    assert "Traceback" not in answer.err
