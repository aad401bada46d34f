"""The command ``log`` from the outside."""

from __future__ import annotations

import json
from pathlib import Path

import pytest

from asked import Ask
from greenhouse_sim.heater.catalogue import labour


@pytest.fixture
def wood_farm(farm: Path) -> Path:
    """A stove, and a pile that was counted."""
    text = farm.read_text(encoding="utf-8").replace("outdoor boiler", "wood stove, large")
    farm.write_text(text.replace('source = "cut"', 'source = "cut"\npile = "9 cord"'))
    return farm


def test_a_winter_so_far(ask: Ask, wood_farm: Path, tmp_path: Path) -> None:
    kept = ask("log", wood_farm, "--load", "full", "--at", "2025-12-24 21:30", "--woken")
    assert kept.status == 0
    assert kept.out.startswith("Kept as entry 1: load at 2025-12-24 21:30")
    ask("log", wood_farm, "--carried", "1 cord", "--at", "2025-12-23 10:00", "--minutes", "45")
    ask("log", wood_farm, "--indoor", "-5 degF", "--at", "2025-12-26 06:00")
    told = ask("log", wood_farm, "--on", "2026-01-02", "--list", "--out", tmp_path / "out")
    assert told.status == 0
    assert told.out.startswith("Up to 2 January 2026: 1.0 cords used, 8.0 cords left, 1 night up.")
    assert max(len(line.rstrip()) for line in told.out.splitlines()) <= 100
    for words in ("plan, middle winter", "lasts to the end of the season", "-5 °F", "carried",
                  "Carbon monoxide"):  # fmt: skip
        assert words in told.out, words
    assert {path.name for path in (tmp_path / "out").iterdir()} == {"journal.csv", "journal.png"}
    found = json.loads(ask("log", wood_farm, "--on", "2026-01-02", "--json").out)["journal"]
    assert found["nights_up"] == 1
    assert found["plan"]["winters"] == 3
    # 45 minutes noted for the cord
    assert found["hours"]["carrying"] == pytest.approx(0.75)


def test_three_stoves_take_three_times_the_loading(ask: Ask, wood_farm: Path) -> None:
    """As the seasons of the plan have it, so that the two can be compared."""
    hours = []
    for count in (1, 3):
        lines = wood_farm.read_text(encoding="utf-8").splitlines()
        lines = [line for line in lines if not line.startswith("count = ")]
        lines.insert(lines.index('kind = "wood stove, large"') + 1, f"count = {count}")
        wood_farm.write_text("\n".join(lines))
        ask("log", wood_farm, "--load", "40 lb", "--at", f"2025-12-2{count} 21:30")
        told = ask("log", wood_farm, "--on", "2026-01-02", "--json")
        assert told.status == 0, told.err
        hours.append(json.loads(told.out)["journal"]["hours"]["loading"])
    # one load through one door, then two loads through three each; ash goes by weight
    door_h = labour("wood stove, large").load_min / 60.0
    assert hours[1] - 2.0 * hours[0] == pytest.approx(4.0 * door_h)


def test_export_and_import(ask: Ask, wood_farm: Path, tmp_path: Path) -> None:
    ask("log", wood_farm, "--load", "40 lb", "--at", "2025-12-24 21:30")
    assert ask("log", wood_farm, "--export", tmp_path / "e.csv").status == 0
    other = tmp_path / "other.db"
    took = ask("log", wood_farm, "--journal", other, "--import", tmp_path / "e.csv")
    assert took.out == "Took in 1 entries\n"
    assert "1 stood there already" in ask("log", wood_farm, "--import", tmp_path / "e.csv").out
    assert ask("log", wood_farm, "--remove", "1").out.startswith("Took out entry 1: load")


@pytest.mark.parametrize(
    ("words", "told"),
    [
        ((), "no journal yet"),
        (("--load", "forty"), "--load"),
        (("--load", "40 lb", "--visit"), "one thing a time"),
        (("--woken",), "tell more of an entry"),
        (("--visit", "--at", "tonight"), "--at"),
        (("--indoor", "48"), "--indoor"),
        (("--cut-until", "2025-12-01 10:00", "--at", "2025-12-01 11:00"), "needs its end"),
        (("--import", "nowhere.csv"), "no such file"),
        (("--visit", "--journal", "/no/such/folder/j.db"), "no folder"),
    ],
)
def test_what_is_refused(ask: Ask, wood_farm: Path, words: tuple[str, ...], told: str) -> None:
    answer = ask("log", wood_farm, *words)
    assert answer.status == 2
    assert told in answer.err
    assert answer.err.count("\n") == 1
