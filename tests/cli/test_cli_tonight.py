"""The command ``tonight`` from the outside."""

from __future__ import annotations

import csv
import json
import subprocess
import sys
from pathlib import Path

import pytest

from asked import Ask

AT = "2027-01-12 18:00"
HEAD = "# issued: 2027-01-12 16:00\ntime,t_air [degF],wind [mph],cloud [%]\n"
ROWS = (
    ("12 16:00", 20, 8, 20), ("12 19:00", 12, 6, 10), ("12 22:00", 5, 5, 0), ("13 01:00", 0, 5, 0),
    ("13 04:00", -5, 4, 0), ("13 07:00", -8, 4, 0), ("13 10:00", 5, 6, 10), ("13 13:00", 18, 8, ""),
)  # fmt: skip


@pytest.fixture
def forecast(tmp_path: Path) -> Path:
    """A cold, clear night in steps of three hours."""
    return written(tmp_path / "coming.csv")


def written(path: Path, head: str = HEAD, rows: tuple = ROWS) -> Path:
    """A forecast file."""
    lines = [",".join([f"2027-01-{row[0]}", *(str(cell) for cell in row[1:])]) for row in rows]
    path.write_text(head + "\n".join(lines) + "\n", encoding="utf-8")
    return path


def test_it_says_what_to_do_first_and_the_cautions_last(
    ask: Ask, farm: Path, forecast: Path
) -> None:
    answer = ask("tonight", farm, "--forecast", forecast, "--now", "48 degF", "--at", AT)
    assert answer.status == 0
    lines = answer.out.splitlines()
    assert lines[0].startswith("Tonight: ")
    assert max(len(line.rstrip()) for line in lines) <= 100
    said = " ".join(answer.out.split())
    for words in (
        "get up, put in", "If nobody gets up: coldest at the plants", "What to do tonight",
        "nobody from now", "as the routine", "best load", "with one visit", "48 °F inside",
        "as the routine would have left it", "issued 12 January 16:00", "no humidity or dew point",
        "appliance's listing", "Carbon monoxide",
    ):  # fmt: skip
        assert words in said, words


def test_both_units_tell_the_same_night(ask: Ask, farm: Path, forecast: Path) -> None:
    common = ("tonight", farm, "--forecast", forecast, "--at", AT, "--fire", "half")
    us = ask(*common, "--now", "50 degF")
    si = ask(*common, "--now", "10 degC", "--units", "si")
    assert "°C" not in us.out and " kg" not in us.out
    assert "°F" not in si.out and " lb" not in si.out
    lowest = [
        [way["lowest_at_plants_C"]["forecast"] for way in json.loads(text)["tonight"]["ways"]]
        for text in (
            ask(*common, "--now", "50 degF", "--json").out,
            ask(*common, "--now", "10 degC", "--units", "si", "--json").out,
        )
    ]
    assert lowest[0] == pytest.approx(lowest[1])


def test_json_alone_on_standard_output(ask: Ask, farm: Path, forecast: Path) -> None:
    answer = ask(
        "tonight", farm, "--forecast", forecast, "--now", "48 degF", "--at", AT, "--json",
        "--store", "160 degF", "--fire", "100 lb",
    )  # fmt: skip
    assert answer.status == 0
    told = json.loads(answer.out)
    assert told["schema"] == 1
    found = told["tonight"]
    assert found["at"] == AT
    assert found["bed"] == "2027-01-12 21:00"
    assert found["morning"] == "2027-01-13 06:00"
    assert found["now"]["fuel_kg"] == pytest.approx(45.359237)
    ways = {way["way"]: way for way in found["ways"]}
    assert ways["nobody touches it"]["loaded_kg"] == 0.0
    assert len(found["hours"]) == 12
    lowest = min(hour["best_load_C"] for hour in found["hours"])
    assert ways["best load"]["lowest_at_plants_C"]["forecast"] == pytest.approx(lowest)
    assert found["get_up"] is not None and found["get_up"]["at"] > found["bed"]


def test_the_card_and_the_files(ask: Ask, farm: Path, forecast: Path, tmp_path: Path) -> None:
    out = tmp_path / "out"
    answer = ask(
        "tonight", farm, "--forecast", forecast, "--now", "48 degF", "--at", AT, "--out", out
    )
    assert answer.status == 0
    card = (out / "tonight.html").read_text(encoding="utf-8")
    assert "Tuesday, 12 January 2027" in card
    assert "Get up at" in card
    assert "<script" not in card and "http" not in card
    assert "Carbon monoxide" in card
    assert (out / "tonight.png").read_bytes().startswith(b"\x89PNG")
    with (out / "tonight_ways.csv").open(encoding="utf-8") as file:
        assert next(row["way"] for row in csv.DictReader(file)) == "nobody touches it"
    with (out / "tonight_hours.csv").open(encoding="utf-8") as file:
        assert len(list(csv.DictReader(file))) == 12


def test_without_a_time_it_is_now(ask: Ask, farm: Path, forecast: Path) -> None:
    """The tests' own day is another: a forecast of 2027 is then too old, or not yet."""
    answer = ask("tonight", farm, "--forecast", forecast, "--now", "48 degF")
    assert answer.status == 2
    assert "forecast coming:" in answer.err


BAD = {
    "old": (("--at", "2027-01-13 17:00"), "fetch a newer one"),
    "early": (("--at", "2027-01-12 12:00"), "name one that does"),
    "time": (("--at", "tonight"), "is not a day and time"),
    "fire": (("--at", AT, "--fire", "9000 lb"), "can hold"),
    "odd fire": (("--at", AT, "--fire", "roaring"), "cannot read"),
    "store": (("--at", AT, "--store", "500 degF"), "stays under"),
    "scale": (("--at", AT, "--now", "75 degC"), 'Write "75 degF"'),
    "bare": (("--at", AT, "--now", "48"), "has no unit"),
}


@pytest.mark.parametrize("name", list(BAD))
def test_bad_input_has_one_message(ask: Ask, farm: Path, forecast: Path, name: str) -> None:
    options, message = BAD[name]
    answer = ask("tonight", farm, "--forecast", forecast, "--now", "48 degF", *options)
    assert answer.status == 2
    assert answer.out == ""
    last = [line for line in answer.err.splitlines() if not line.startswith("note:")]
    assert len(last) == 1 and message in last[0]


FILES = {
    "no hours": (HEAD, (), "no hours"),
    "short": (HEAD, ROWS[:4], "before the first look-in of the morning"),
    "gap": (HEAD, (*ROWS[:3], *ROWS[5:]), "no value from 2027-01-12 23:00"),
    "no column": ("time,temp [degF]\n", (("12 16:00", 20),), "no column t_air"),
    "no unit": ("time,t_air\n", (("12 16:00", 20),), "has no unit"),
    "word": (HEAD, (("12 16:00", "cold", 8, 20),), "is not a number"),
    "cells": (HEAD, (("12 16:00", 20),), "has 2 cells"),
    "issued": ("# issued: noon\n" + HEAD.split("\n", 1)[1], ROWS, "issued: 'noon'"),
    "fahrenheit": (HEAD.replace("degF", "degC"), tuple(
        (when, t + 25, *rest) for when, t, *rest in ROWS), "fit as degF"),
}  # fmt: skip


@pytest.mark.parametrize("name", list(FILES))
def test_bad_files_have_one_message(ask: Ask, farm: Path, tmp_path: Path, name: str) -> None:
    head, rows, message = FILES[name]
    bad = written(tmp_path / "bad.csv", head, rows)
    answer = ask("tonight", farm, "--forecast", bad, "--now", "48 degF", "--at", AT)
    assert answer.status == 2
    assert answer.out == ""
    assert message in answer.err and "Traceback" not in answer.err
    assert "bad" in answer.err


def test_a_heater_that_gives_anything_is_refused(ask: Ask, farm: Path, forecast: Path) -> None:
    text = farm.read_text(encoding="utf-8").replace('"outdoor boiler"', '"ideal"')
    farm.write_text(text, encoding="utf-8")
    answer = ask("tonight", farm, "--forecast", forecast, "--now", "48 degF", "--at", AT)
    assert answer.status == 2
    assert "write a heater of the catalogue" in answer.err


def test_celsius_meant_as_fahrenheit_is_asked_about(ask: Ask, farm: Path, forecast: Path) -> None:
    answer = ask("tonight", farm, "--forecast", forecast, "--now", "48 degC", "--at", AT)
    assert answer.status == 0
    assert 'if Fahrenheit was meant, write "48 degF"' in answer.err


def test_nothing_heavy_is_loaded(farm: Path, forecast: Path) -> None:
    """Tonight is wanted at once: a whole process in which the winter is prepared already.

    Masked arrays alone take a tenth of a second to load, frames and the sun's libraries a second.
    """
    asked = ["tonight", str(farm), "--forecast", str(forecast), "--now", "48 degF", "--at", AT]
    look = (
        "import sys; from greenhouse_sim.cli import main\n"
        f"try: main({asked!r})\n"
        "except SystemExit as end: assert not end.code\n"
        "print('loaded', *sorted(sys.modules), file=sys.stderr)"
    )
    for _ in range(2):  # the first may prepare the winter
        ran = subprocess.run([sys.executable, "-c", look], capture_output=True, text=True)
        assert ran.returncode == 0, ran.stderr
    loaded = set(ran.stderr.split())
    assert "greenhouse_sim.plans.tonight" in loaded
    heavy = {"pandas", "pvlib", "pint", "scipy", "numba", "matplotlib", "requests", "sqlite3",
             "numpy.ma"}  # fmt: skip
    assert not heavy & loaded


def test_a_night_beyond_the_heater_says_so_on_the_card(
    ask: Ask, farm: Path, forecast: Path, tmp_path: Path
) -> None:
    """Whoever gets up by the card must know that it is not enough."""
    text = farm.read_text(encoding="utf-8").replace('"outdoor boiler"', '"wood stove, large"')
    farm.write_text(text, encoding="utf-8")
    out = tmp_path / "out"
    answer = ask(
        "tonight", farm, "--forecast", forecast, "--now", "48 degF", "--at", AT, "--out", out
    )
    card = (out / "tonight.html").read_text(encoding="utf-8")
    assert "Get up at" in card and "Not enough tonight" in card
    assert "one visit does not save it" in card
    assert "If the alarm shows" not in card  # it would ring all night
    said = " ".join(answer.out.split())
    assert "This heater cannot keep the plants over 36 °F tonight" in said
    assert "Under 26 °F the crop is hurt: chance 100 %" in said
