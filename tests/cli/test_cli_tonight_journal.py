"""``tonight`` with a journal beside the scenario."""

from __future__ import annotations

import json
import sqlite3
from pathlib import Path

import pytest
from test_cli_tonight import written

from asked import Ask
from greenhouse_sim.journal.store import journal_path

AT = "2027-01-12 20:50"


@pytest.fixture
def forecast(tmp_path: Path) -> Path:
    return written(tmp_path / "coming.csv")


@pytest.fixture
def stove(farm: Path) -> Path:
    """The farm with a stove."""
    text = farm.read_text(encoding="utf-8").replace('"outdoor boiler"', '"wood stove, large"')
    farm.write_text(text, encoding="utf-8")
    return farm


@pytest.fixture
def kept(ask: Ask, stove: Path) -> Path:
    """A journal: a count, two loads, a reading of this evening, and what came after."""
    for words in (
        ("--pile", "2 cord", "--at", "2027-01-03 10:00"),
        ("--load", "30 lb", "--at", "2027-01-12 07:10"),
        ("--load", "40 lb", "--at", "2027-01-12 18:00"),
        ("--indoor", "47 degF", "--at", "2027-01-12 20:40"),
        ("--load", "20 lb", "--at", "2027-01-12 22:40"),
        ("--indoor", "33 degF", "--at", "2027-01-12 22:40"),
    ):
        assert ask("log", stove, *words).status == 0
    return stove


def told(ask: Ask, farm: Path, forecast: Path, *more: object) -> dict:
    answer = ask("tonight", farm, "--forecast", forecast, "--at", AT, "--json", *more)
    assert answer.status == 0, answer.err
    found: dict = json.loads(answer.out)["tonight"]
    return found


def test_reading_loads_and_pile_stand_for_the_present(ask: Ask, kept: Path, forecast: Path) -> None:
    found = told(ask, kept, forecast)
    assert found["at"] == "2027-01-12 21:00"
    assert found["now"]["air_C"] == pytest.approx((47.0 - 32.0) / 1.8)
    journal = found["journal"]
    assert journal["reading_used"] and journal["loads_used"]
    assert [load["at"][-5:] for load in journal["loads"]] == ["07:10", "18:00"]  # none to come
    low, high = found["now"]["fuel_least_kg"], found["now"]["fuel_most_kg"]
    assert low <= found["now"]["fuel_kg"] <= high < 40.0 * 0.45359237
    assert high > low
    # two cords less the 70 lb put in since the count
    early = written(forecast.with_name("early.csv"), head=EARLY, rows=MORNING)
    whole = told(ask, kept, early, "--at", "2027-01-12 06:00", "--now", "45 degF")
    used = whole["journal"]["pile_left_kg"] - journal["pile_left_kg"]
    assert used == pytest.approx(70.0 * 0.45359237)


EARLY = "# issued: 2027-01-12 00:00\ntime,t_air [degF]\n"
MORNING = tuple((f"12 {hour:02d}:00", 5) for hour in range(0, 24, 3)) + tuple(
    (f"13 {hour:02d}:00", 5) for hour in range(0, 15, 3)
)


def test_it_is_said_what_was_taken(ask: Ask, kept: Path, forecast: Path) -> None:
    answer = ask("tonight", kept, "--forecast", forecast, "--at", AT)
    assert answer.status == 0, answer.err
    said = " ".join(answer.out.split())
    for words in (
        "47 °F inside (noted at 20:40)", "(by the journal; ", "put in 40 lb at 18:00, 30 lb at "
        "07:10", "how far the air was open", "write what is there, such as --fire half",
        "taken for now", "left of the pile (counted 3 January)", "routine and then the noted loads",
    ):  # fmt: skip
        assert words in said, words
    assert "22:40" not in said
    assert max(len(line.rstrip()) for line in answer.out.splitlines()) <= 100


def test_what_is_given_goes_before_what_was_noted(ask: Ask, kept: Path, forecast: Path) -> None:
    plain = ("--now", "50 degF", "--fire", "half")
    found = told(ask, kept, forecast, *plain)
    assert found["now"]["air_C"] == pytest.approx(10.0)
    assert found["now"]["fuel_least_kg"] == found["now"]["fuel_kg"] == found["now"]["fuel_most_kg"]
    assert not found["journal"]["loads_used"] and not found["journal"]["reading_used"]
    answer = ask("tonight", kept, "--forecast", forecast, "--at", AT, *plain)
    assert "--now goes before it" in answer.out and "--fire goes before that" in answer.out


def test_without_any_journal_now_is_asked_for(ask: Ask, stove: Path, forecast: Path) -> None:
    answer = ask("tonight", stove, "--forecast", forecast, "--at", AT)
    assert answer.status == 2
    assert answer.out == ""
    assert '--now "48 degF"' in answer.err and "--indoor" in answer.err
    with_now = ask("tonight", stove, "--forecast", forecast, "--at", AT, "--now", "48 degF")
    assert "Journal" not in with_now.out


def test_an_old_reading_is_said_and_not_used(ask: Ask, stove: Path, forecast: Path) -> None:
    ask("log", stove, "--indoor", "47 degF", "--at", "2027-01-12 11:00")
    answer = ask("tonight", stove, "--forecast", forecast, "--at", AT)
    assert answer.status == 2
    assert "is of 2027-01-12 11:00, 10 h ago" in answer.err
    answer = ask("tonight", stove, "--forecast", forecast, "--at", AT, "--now", "48 degF")
    assert "is 10 h old and is not used" in " ".join(answer.out.split())


def test_old_loads_are_said_and_not_used(ask: Ask, stove: Path, forecast: Path) -> None:
    ask("log", stove, "--load", "40 lb", "--at", "2027-01-11 20:00")
    answer = ask("tonight", stove, "--forecast", forecast, "--at", AT, "--now", "48 degF")
    said = " ".join(answer.out.split())
    assert "40 lb yesterday at 20:00, 25 h ago: too old to say" in said
    assert "as the routine would have left it" in said


def test_more_than_the_box_holds_is_asked_about(ask: Ask, stove: Path, forecast: Path) -> None:
    ask("log", stove, "--load", "400 lb", "--at", "2027-01-12 20:00")
    found = told(ask, stove, forecast, "--now", "48 degF")
    assert found["now"]["fuel_most_kg"] < 60.0
    answer = ask("tonight", stove, "--forecast", forecast, "--at", AT, "--now", "48 degF")
    assert "400 lb at 20:00 are more than the" in " ".join(answer.out.split())


def test_a_pile_that_does_not_do_is_told(ask: Ask, kept: Path, forecast: Path) -> None:
    ask("log", kept, "--pile", "5 lb", "--at", "2027-01-12 20:45")
    answer = ask("tonight", kept, "--forecast", forecast, "--at", AT)
    said = " ".join(answer.out.split())
    assert "5.0 lb left of the pile (counted 12 January), and tonight asks for" in said


def test_a_newer_journal_is_refused_where_it_is_needed(
    ask: Ask, kept: Path, forecast: Path
) -> None:
    with sqlite3.connect(journal_path(str(kept))) as base:
        base.execute("pragma user_version = 99")
    base.close()
    answer = ask("tonight", kept, "--forecast", forecast, "--at", AT)
    assert answer.status == 2
    assert "newer version of this program" in answer.err
    answer = ask("tonight", kept, "--forecast", forecast, "--at", AT, "--now", "48 degF")
    assert answer.status == 0
    assert "the journal is not used" in answer.err and "newer version" in answer.err


def test_a_journal_that_is_named_must_be_there(
    ask: Ask, stove: Path, forecast: Path, tmp_path: Path
) -> None:
    answer = ask("tonight", stove, "--forecast", forecast, "--at", AT, "--journal",
                 tmp_path / "none.db")  # fmt: skip
    assert answer.status == 2
    assert "there is no journal yet" in answer.err


def test_a_heater_that_nobody_feeds_has_no_loads(ask: Ask, stove: Path, forecast: Path) -> None:
    ask("log", stove, "--load", "40 lb", "--at", "2027-01-12 18:00")
    text = stove.read_text(encoding="utf-8").replace('"wood stove, large"', '"propane heater"')
    stove.write_text(text, encoding="utf-8")
    found = told(ask, stove, forecast, "--now", "48 degF")
    assert found["journal"]["loads"] == []


def test_a_night_that_hangs_on_the_box_says_to_look_first(
    ask: Ask, farm: Path, forecast: Path, tmp_path: Path
) -> None:
    """The boiler fed this morning may be full or empty by now: the advice is not for both."""
    ask("log", farm, "--load", "200 lb", "--at", "2027-01-12 06:30")
    ask("log", farm, "--load", "150 lb", "--at", "2027-01-12 17:30")
    plain = ("--forecast", forecast, "--at", AT, "--now", "49 degF")
    answer = ask("tonight", farm, *plain, "--out", tmp_path / "out")
    assert "Look into the box first: the journal leaves" in " ".join(answer.out.split())
    assert "Look into the box first" in (tmp_path / "out" / "tonight.html").read_text("utf-8")
    known = ask("tonight", farm, *plain, "--fire", "60 lb")
    assert "Look into the box" not in known.out


def test_entries_of_another_clock_are_told(ask: Ask, stove: Path, forecast: Path) -> None:
    """A computer that keeps another clock than the farm's notes loads that are yet to come."""
    ask("log", stove, "--load", "40 lb", "--at", "2199-01-12 18:00")
    now = ask("tonight", stove, "--forecast", forecast, "--now", "48 degF")
    assert "has entries later than now" in now.err and "2199-01-12 18:00" in now.err
    then = ask("tonight", stove, "--forecast", forecast, "--now", "48 degF", "--at", AT)
    assert "later than now" not in then.err
