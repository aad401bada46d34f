"""The command ``woodpile`` from the outside."""

from __future__ import annotations

import json
from pathlib import Path

import pytest

from asked import Ask

MILD, SEVERE = "tamarack_flats_mild.csv", "tamarack_flats_severe.csv"


def other(farm: Path, old: str, new: str) -> Path:
    """The farm with a line changed."""
    text = farm.read_text(encoding="utf-8")
    assert old in text
    farm.write_text(text.replace(old, new), encoding="utf-8")
    return farm


def test_it_says_the_pile_first_and_the_cautions_last(ask: Ask, farm: Path) -> None:
    answer = ask("woodpile", farm)
    assert answer.status == 0
    lines = answer.out.splitlines()
    assert lines[0].startswith("outdoor boiler: have ")
    assert max(len(line.rstrip()) for line in lines) <= 100
    for words in ("What to have ready", "Through the winter", "Half by midwinter",
                  "Woods, dry", "Hours of work", "3 winters are too few to speak of one winter",
                  "Carbon monoxide"):  # fmt: skip
        assert words in " ".join(answer.out.split())


def test_one_winter_has_no_quantiles(ask: Ask, farm: Path) -> None:
    answer = ask("woodpile", farm, "--weather", MILD, "--units", "si")
    assert answer.status == 0
    assert "in this one winter" in answer.out
    assert "no share of winters" in answer.out
    assert "90\u00a0%" not in answer.out
    found = json.loads(ask("woodpile", farm, "--weather", MILD, "--json").out)
    assert [row["share"] for row in found["woodpile"]["ready"]] == [None]


def test_a_wood_without_drying_data_says_so(ask: Ask, farm: Path) -> None:
    other(farm, 'species = "red oak"', 'species = "black locust"')
    lines = ask("woodpile", farm, "--weather", MILD).out.splitlines()
    (row,) = [line for line in lines if line.strip().startswith("black locust ")]
    assert "no drying data known" in row


def test_json_and_files(ask: Ask, farm: Path, tmp_path: Path) -> None:
    out = tmp_path / "out"
    answer = ask(
        "woodpile", farm, "--weather", MILD, SEVERE, "--left", "0.5 cord", "--on", "2027-01-05",
        "--own", "1 cord", "--json", "--out", out,
    )  # fmt: skip
    assert answer.status == 0
    found = json.loads(answer.out)
    assert set(found) == {"schema", "woodpile", "labour"}
    ready = found["woodpile"]["ready"]
    assert [row["share"] for row in ready] == [0.5, 0.8, 0.9, None]
    assert ready[-1]["own_kg"] + ready[-1]["to_buy_kg"] == pytest.approx(ready[-1]["kg"])
    assert len(found["woodpile"]["rest"]["until"]) == 2
    names = {path.name for path in out.iterdir()}
    assert names == {
        "woodpile.csv", "woodpile_months.csv", "woodpile_days.csv", "woodpile_woods.csv",
        "woodpile_moistures.csv", "labour.csv", "labour_rates.csv", "woodpile.png",
    }  # fmt: skip
    assert (out / "woodpile.png").read_bytes().startswith(b"\x89PNG")


def test_pellets_in_tons_and_bags(ask: Ask, farm: Path) -> None:
    other(farm, 'kind = "outdoor boiler"', 'kind = "pellet furnace"')
    other(farm, 'species = "red oak"', 'species = "pellets"')
    answer = ask("woodpile", farm, "--left", "0.2 ton", "--on", "2027-01-05")
    assert answer.status == 0
    assert "bags of 40 lb" in answer.out
    assert "hopper filling" in answer.out
    assert "0.2 tons on 5 January" in answer.out
    assert "Woods, dry" not in answer.out


def test_compost_in_chips_and_manure(ask: Ask, farm: Path) -> None:
    other(farm, 'kind = "outdoor boiler"', 'kind = "compost pile, medium"')
    other(farm, 'species = "red oak"', 'species = "wood chips"')
    answer = ask("woodpile", farm, "--weather", MILD)
    assert answer.status == 0
    assert "31 yd³ of wood chips and 15 yd³ of manure" in " ".join(answer.out.split())
    assert "tearing down the pile" in answer.out
    refused = ask("woodpile", farm, "--weather", MILD, "--left", "1 ton", "--on", "2027-01-05")
    assert refused.status == 2
    assert "leave --left out" in refused.err


@pytest.mark.parametrize(
    ("words", "told"),
    [
        (("--rack-height", "0 ft"), "--rack-height"),
        (("--rack-height", "4"), "unit"),
        (("--stick", "16 kg"), "--stick"),
        (("--left", "2 cord"), "--left needs its day"),
        (("--on", "2027-01-05"), "does not say what is left"),
        (("--left", "2 cord", "--on", "january"), "--on"),
        (("--left", "2 cord", "--on", "2027-07-01"), "outside the season"),
        (("--left=-2 cord", "--on", "2027-01-05"), "below 0"),
        (("--left", "2 ft", "--on", "2027-01-05"), "--left"),
        (("--own", "nan cord"), "--own"),
    ],
)
def test_bad_options_are_told_plainly(
    ask: Ask, farm: Path, words: tuple[str, ...], told: str
) -> None:
    answer = ask("woodpile", farm, "--weather", MILD, *words)
    assert answer.status == 2
    assert answer.out == ""
    assert told in answer.err
    assert "Traceback" not in answer.err


def test_a_heater_that_cannot_burn_the_fuel(ask: Ask, farm: Path) -> None:
    other(farm, 'species = "red oak"', 'species = "pellets"')
    answer = ask("woodpile", farm, "--weather", MILD)
    assert answer.status == 2
    assert "outdoor boiler cannot burn pellets" in answer.err
    assert 'write species = "red oak"' in answer.err


def test_a_winter_that_needs_no_wood(ask: Ask, farm: Path) -> None:
    """No pile, no division by it, and a rest of it lasts."""
    other(farm, 'setpoint = { day = "50 degF", night = "42 degF" }', 'setpoint = "-70 degF"')
    other(farm, 'damage_below = "26 degF"', 'damage_below = "-75 degF"')
    other(farm, 'gets_up_below = "36 degF"', 'gets_up_below = "never"')
    other(farm, 'kind = "outdoor boiler"', 'kind = "wood stove, large"')
    answer = ask("woodpile", farm, "--left", "2 cord", "--on", "2027-01-05")
    assert answer.status == 0
    assert "no fuel needed in any winter" in answer.out
    assert "2.0 cords on 5 January: lasts to the end of the season" in answer.out


def test_the_journal_says_what_is_left(ask: Ask, farm: Path) -> None:
    """Counted on New Year's Day and not used since: the same answer as with --left."""
    kept = ask("log", farm, "--pile", "8 cord", "--at", "2027-01-01 08:00")
    assert kept.status == 0, kept.err
    plan = ("woodpile", farm, "--weather", MILD, SEVERE, "--on", "2027-01-05", "--json")
    told, given = (json.loads(ask(*plan, *more).out) for more in ((), ("--left", "8 cord")))
    until = [found["woodpile"]["rest"]["until"] for found in (told, given)]
    assert until[0] == until[1]
    assert told["woodpile"]["rest"]["short_kg"] == pytest.approx(
        given["woodpile"]["rest"]["short_kg"], abs=1e-6
    )
