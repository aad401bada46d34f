"""The command ``size`` from the outside."""

from __future__ import annotations

import json
from pathlib import Path

import pytest

from asked import Ask

MILD, SEVERE = "tamarack_flats_mild.csv", "tamarack_flats_severe.csv"


def test_it_says_the_target_and_a_size(ask: Ask, farm: Path) -> None:
    answer = ask("size", farm, "--wakeups", "5", "--in", "2/3")
    assert answer.status == 0
    lines = answer.out.splitlines()
    assert lines[0].startswith("outdoor boiler: no more than 5 times up at night")
    assert max(len(line.rstrip()) for line in lines) <= 100
    told = " ".join(answer.out.split())
    for words in ("in at least 2 of 3 winters", "next smaller", "next larger", "Tank, all else",
                  "smallest", "pressure-vessel", "Carbon monoxide"):  # fmt: skip
        assert words in told, words


def test_what_no_size_keeps_is_told_with_the_best(ask: Ask, farm: Path) -> None:
    farm.write_text(farm.read_text(encoding="utf-8").replace("outdoor boiler", "wood stove, small"))
    answer = ask("size", farm, "--cold-hours", "1", "--in", "90 %", "--units", "si")
    assert answer.status == 0
    assert "stove firebox: no size up to 0.13 m³ keeps it. The best reachable is" in " ".join(
        answer.out.split()
    )
    assert "3 winters are too few" in answer.out


def test_a_grower_who_never_gets_up_is_told(ask: Ask, farm: Path) -> None:
    text = farm.read_text(encoding="utf-8").replace('"36 degF"', '"never"')
    farm.write_text(text, encoding="utf-8")
    answer = ask("size", farm, "--wakeups", "5", "--weather", MILD)
    assert answer.status == 0
    assert "never gets up" in answer.out
    assert "in the one winter" in answer.out


def test_json_and_files(ask: Ask, farm: Path, tmp_path: Path) -> None:
    out = tmp_path / "out"
    answer = ask("size", farm, "--wakeups", "5", "--cold-hours", "60", "--weather", MILD, SEVERE,
                 "--json", "--out", out)  # fmt: skip
    assert answer.status == 0
    found = json.loads(answer.out)["size"]
    assert found["target"] == {
        "night_wakeups": 5.0, "hours_below_setpoint": 60.0, "share": 0.9, "winters": 2,
    }  # fmt: skip
    assert [part["part"] for part in found["parts"]] == ["boiler firebox", "tank", "count"]
    assert {path.name for path in out.iterdir()} == {"size.csv", "size.png"}
    assert (out / "size.png").read_bytes().startswith(b"\x89PNG")


@pytest.mark.parametrize(
    ("words", "told"),
    [
        ((), "no target"),
        (("--wakeups", "-1"), "--wakeups"),
        (("--cold-hours", "nan"), "--cold-hours"),
        (("--wakeups", "5", "--in", "11/10"), "--in"),
        (("--wakeups", "5", "--in", "most"), "--in"),
        (("--wakeups", "5", "--in", "1/0"), "--in"),
    ],
)
def test_bad_options_are_told_plainly(
    ask: Ask, farm: Path, words: tuple[str, ...], told: str
) -> None:
    answer = ask("size", farm, "--weather", MILD, *words)
    assert answer.status == 2
    assert answer.out == ""
    assert told in answer.err
    assert "Traceback" not in answer.err
