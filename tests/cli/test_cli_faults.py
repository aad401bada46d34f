"""The command ``faults`` from the outside."""

from __future__ import annotations

import json
from pathlib import Path

import pytest

from asked import Ask

MILD, SEVERE = "tamarack_flats_mild.csv", "tamarack_flats_severe.csv"
BACKUP = '\n[backup]\nkind = "propane heater"\nstarts_below = "34 degF"\n'


def test_it_says_what_faults_cost(ask: Ask, farm: Path) -> None:
    farm.write_text(farm.read_text(encoding="utf-8") + BACKUP, encoding="utf-8")
    answer = ask("faults", farm, "--cut-length", "12 h", "--tank", "5 gal")
    assert answer.status == 0
    lines = answer.out.splitlines()
    assert lines[0].startswith("outdoor boiler: ")
    assert max(len(line.rstrip()) for line in lines) <= 100
    told = " ".join(answer.out.split())
    for words in ("Blocked chimney", "all together", "the tank runs empty in", "--seed 1",
                  "3 winters are too few", "Carbon monoxide"):  # fmt: skip
        assert words in told, words


def test_json_and_files(ask: Ask, farm: Path, tmp_path: Path) -> None:
    out = tmp_path / "out"
    answer = ask("faults", farm, "--weather", MILD, SEVERE, "--missed", "0.1", "--seed", "4",
                 "--json", "--out", out)  # fmt: skip
    assert answer.status == 0
    found = json.loads(answer.out)["faults"]
    assert found["taken"]["missed"] == 0.1
    assert found["taken"]["seed"] == 4
    assert found["tank_kWh"] is None
    assert found["summary"][0]["fault"] == "plain"
    assert len(found["seasons"]) == len(found["summary"]) * 2 * found["drawings"]
    assert {path.name for path in out.iterdir()} == {"faults.csv", "faults.png"}
    assert (out / "faults.png").read_bytes().startswith(b"\x89PNG")


@pytest.mark.parametrize(
    ("words", "told"),
    [
        (("--cuts", "-1"), "--cuts"),
        (("--cut-length", "12"), "unit"),
        (("--cut-length", "0 h"), "--cut-length"),
        (("--missed", "3"), "--missed"),
        (("--wet", "0.9"), "--wet"),
        (("--blocked", "0"), "--blocked"),
        (("--tank", "100 gal"), "no back-up"),
    ],
)
def test_bad_options_are_told_plainly(
    ask: Ask, farm: Path, words: tuple[str, ...], told: str
) -> None:
    answer = ask("faults", farm, "--weather", MILD, *words)
    assert answer.status == 2
    assert answer.out == ""
    assert told in answer.err
    assert "Traceback" not in answer.err
