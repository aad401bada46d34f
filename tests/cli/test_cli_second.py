"""The command ``second`` from the outside."""

from __future__ import annotations

import json
from pathlib import Path

import pytest

from asked import Ask

MILD = "tamarack_flats_mild.csv"


def test_it_says_what_a_second_heater_changes(ask: Ask, farm: Path) -> None:
    answer = ask("second", farm, "--heater", "wood stove, large", "--below", "40 degF")
    assert answer.status == 0
    lines = answer.out.splitlines()
    assert lines[0].startswith("outdoor boiler, with wood stove, large from 40 °F: ")
    assert max(len(line.rstrip()) for line in lines) <= 100
    told = " ".join(answer.out.split())
    for words in ("first alone", "both", "root mean square", "up to", "Carbon monoxide"):
        assert words in told, words


def test_json_and_files(ask: Ask, farm: Path, tmp_path: Path) -> None:
    answer = ask("second", farm, "--heater", "electric heater", "--weather", MILD, "--json",
                 "--out", tmp_path / "out")  # fmt: skip
    assert answer.status == 0
    found = json.loads(answer.out)["second"]
    assert [row["heating"] for row in found["seasons"]] == ["first alone", "second alone", "both"]
    assert found["seasons"][2]["heater_2"] == "electric heater"
    assert (tmp_path / "out" / "second.csv").read_text().startswith("heating,winter,")


@pytest.mark.parametrize(
    ("words", "told"),
    [
        (("--heater", "wood stov"), "--heater"),
        (("--heater", "electric heater", "--below", "70 degF"), "--below"),
        (("--heater", "electric heater", "--below", "38"), "unit"),
    ],
)
def test_bad_options_are_told_plainly(
    ask: Ask, farm: Path, words: tuple[str, ...], told: str
) -> None:
    answer = ask("second", farm, "--weather", MILD, *words)
    assert answer.status == 2
    assert answer.out == ""
    assert told in answer.err
    assert "Traceback" not in answer.err
