"""The command ``review`` from the outside."""

from __future__ import annotations

import json
import tomllib
from datetime import datetime, timedelta
from pathlib import Path
from typing import Any

import pytest

import greenhouse_sim as gs
from asked import Answer, Ask
from greenhouse_sim.journal.entry import LOAD, READING, Entry
from greenhouse_sim.scenario import read_scenario
from greenhouse_sim.season.run import read_records
from review_at_hand import LEAKY, SEVERE, TYPICAL, kept_by, stove_farm, write

SAME = ("--weather", TYPICAL, "--this-winter", TYPICAL)
"""Weather as planned."""


@pytest.fixture
def farm(tmp_path: Path) -> Path:
    """Three stoves from December to the middle of February, whose record lacks the hard winter."""
    path = stove_farm(tmp_path)
    text = path.read_text(encoding="utf-8").replace(f'    "{SEVERE}",\n', "")
    path.write_text(text, encoding="utf-8")
    return path


def lived(farm: Path, weather: str = TYPICAL, readings: int = 0, **changes: Any) -> None:
    """Keep the journal of a winter that was lived with these changes."""
    plan = read_scenario(farm)
    true = plan.with_(**{key.replace("__", "."): value for key, value in changes.items()})
    write(farm.parent, kept_by(true, read_records(plan, [weather])[0], readings))


def told(answer: Answer) -> dict[str, Any]:
    """What the JSON says."""
    assert answer.status == 0, answer.err
    found: dict[str, Any] = json.loads(answer.out)
    assert set(found) == {"schema", "review"}
    return dict(found["review"])


def largest(found: dict[str, Any]) -> str:
    """The cause that adds the most, or the rest."""
    fuel = found["totals"]["fuel"]
    added = {name: abs(one["mean"]) for name, one in fuel["causes"].items()}
    added["rest"] = abs(fuel["not_explained"])
    return max(added, key=lambda name: added[name])


def test_weather_is_found(ask: Ask, farm: Path) -> None:
    lived(farm, SEVERE)
    answer = ask("review", farm, "--this-winter", SEVERE)
    assert answer.status == 0
    lines = answer.out.splitlines()
    assert lines[0].startswith("Winter 2025-26: ")
    assert "mostly weather (+" in lines[0]
    assert max(len(line.rstrip()) for line in lines) <= 100
    for words in ("colder than the plan's middle winter", "Fuel by month, cords", "not explained",
                  "Habit: as planned", "Wood: not known", "Carbon monoxide",
                  f'weather = ["tamarack_flats_mild.csv", "{TYPICAL}", "{SEVERE}"]'):  # fmt: skip
        assert words in answer.out, words
    found = told(ask("review", farm, "--this-winter", SEVERE, "--json"))
    assert largest(found) == "weather"
    assert found["causes"] == {
        "weather": "differs", "wood": "not known", "house": "not known", "habit": "as planned",
    }  # fmt: skip


def test_wet_wood_is_found_by_option_and_by_notes(ask: Ask, farm: Path) -> None:
    lived(farm, fuel__moisture=0.35)
    words = ("review", farm, *SAME, "--json")
    assert largest(told(ask(*words))) == "rest"
    found = told(ask(*words, "--moisture", "0.35"))
    assert largest(found) == "wood"
    (line,) = found["next_year"]
    assert (line["section"], line["toml"]) == ("fuel", "moisture = 0.35")
    noted = ("--load", "1 lb", "--at", "2025-12-03 09:00", "--note", "moisture 35 %")
    assert ask("log", farm, *noted).status == 0
    assert largest(told(ask(*words))) == "wood"
    # by the stack there are more cords than by weight: a wet cord weighs more
    stack = told(ask(*words, "--noted", "stack"))
    weight = told(ask(*words, "--noted", "weight"))
    ratio = stack["totals"]["fuel"]["journal"] / weight["totals"]["fuel"]["journal"]
    assert ratio == pytest.approx(0.80 / 0.65, rel=1e-6)


def test_a_leaky_house_is_found(ask: Ask, farm: Path) -> None:
    lived(farm, greenhouse__fitted=LEAKY)
    text = farm.read_text(encoding="utf-8")
    line = "fitted = { loss = 1.2, leak = 1.5 }"
    fitted = farm.with_name("fitted.toml")
    fitted.write_text(text.replace("[greenhouse]", f"[greenhouse]\n{line}"), encoding="utf-8")
    words = (*SAME, "--json")
    found = told(ask("review", farm, *words, "--fitted", fitted))
    assert largest(found) == "house"
    assert [one["key"] for one in found["next_year"]] == ["fitted"]
    # the farm's own factors say the same
    journal = farm.with_name("farm.journal.db")
    own = told(ask("review", fitted, *words, "--journal", journal))
    assert own["totals"] == found["totals"]
    assert own["next_year"] == []


def test_habit_is_found(ask: Ask, farm: Path) -> None:
    hours = ["07:00", "12:00", "20:00"]
    lived(farm, routine__chores=hours)
    found = told(ask("review", farm, *SAME, "--json"))
    assert largest(found) == "habit"
    assert found["as_it_was"]["habit"] == {"routine.chores": hours}
    assert sum(found["as_it_was"]["loads_by_hour"]) == pytest.approx(1.0)


def test_everything_in_files_and_lines_that_can_be_pasted(
    ask: Ask, farm: Path, tmp_path: Path
) -> None:
    lived(farm, SEVERE, 31, fuel__moisture=0.3, routine__gets_up_below="never",
          crop__setpoint={"day": "50 degF", "night": "42 degF"})  # fmt: skip
    out = tmp_path / "out"
    words = ("--this-winter", SEVERE, "--moisture", "0.3", "--wood", "red oak")
    answer = ask("review", farm, *words, "--out", out)
    assert answer.status == 0
    assert "Shapley" in answer.out
    assert "least to most" in answer.out
    assert max(len(line.rstrip()) for line in answer.out.splitlines()) <= 100
    names = {"review.png", "review_months.csv", "review_causes.csv", "review_next.toml"}
    assert {path.name for path in out.iterdir()} == names
    assert (out / "review.png").read_bytes().startswith(b"\x89PNG")
    text = (out / "review_next.toml").read_text(encoding="utf-8")
    assert text in answer.out
    changes = tomllib.loads(text)
    assert changes["fuel"] == {"moisture": 0.3}
    assert changes["routine"] == {"gets_up_below": "never"}
    # put into the scenario they hold, and the plan then has nothing left to learn but the weather
    pasted = tomllib.loads(farm.read_text(encoding="utf-8"))
    for section, keys in changes.items():
        pasted[section] |= keys
    plan = read_scenario(farm).with_(**pasted)
    assert plan.fuel.moisture == 0.3
    assert plan.routine.gets_up_below is None
    assert plan.site.weather[-1] == SEVERE


def test_units(ask: Ask, farm: Path) -> None:
    lived(farm, SEVERE, 31)
    answer = ask("review", farm, "--this-winter", SEVERE, "--units", "si")
    assert answer.status == 0
    assert "m³ stacked burnt" in answer.out.splitlines()[0]
    assert "°F" not in answer.out
    assert " lb" not in answer.out
    assert max(len(line.rstrip()) for line in answer.out.splitlines()) <= 100


def test_part_of_a_winter(ask: Ask, farm: Path) -> None:
    """Days that were not noted are told, and can be left out."""
    plan = read_scenario(farm)
    entries = kept_by(plan, read_records(plan, [TYPICAL])[0])
    write(farm.parent, [one for one in entries if one.at >= datetime(2026, 1, 5)])
    whole = ask("review", farm, "--this-winter", TYPICAL)
    assert "The journal is silent on 35 of 77 days" in whole.out
    assert "Nothing is noted from 1 December to 4 January (35 days)" in whole.out
    part = ("review", farm, "--this-winter", TYPICAL, "--from", "2026-01-05")
    assert "silent" not in ask(*part).out
    fuel = told(ask(*part, "--json"))["totals"]["fuel"]
    # the season then begins with a cold stove, the real one went on
    assert abs(fuel["not_explained"]) < 0.03 * fuel["journal"]


@pytest.mark.parametrize(
    ("words", "said"),
    [
        (("--journal", "none.db"), "there is no journal to review"),
        (
            ("--winter", "2024-25"),
            "no load is noted in the winter 2024-25; it has loads of 2025-26",
        ),
        (("--winter", "last"), "is not a winter; write one such as 2026-27"),
        (("--this-winter", "nowhere.csv"), "no such file"),
        (("--moisture", "28"), "--moisture"),
        (("--wood", "red oakk"), "did you mean"),
        (("--wood", "pellets"), "no cordwood"),
        (("--fitted", "farm.toml"), "no fitted factors"),
        (("--fitted", "pellets.toml"), "its heater is 3 × pellet stove"),
        (("--fitted", "longer.toml"), "is not the plan's"),
        (("--from", "January"), "--from"),
        (("--to", "2027-02-01"), "is no part of the winter 2025-26"),
        (("--this-winter", "other.csv"), "has no winter that starts on 2025-12-01"),
        (("--this-winter", "short.csv"), "--from and --to"),
    ],
)
def test_what_is_refused(
    ask: Ask, farm: Path, monkeypatch: pytest.MonkeyPatch, words: tuple[str, ...], said: str
) -> None:
    monkeypatch.chdir(farm.parent)
    load = Entry(datetime(2025, 12, 5, 8), LOAD, kg=20.0)
    write(farm.parent, [load._replace(at=load.at + timedelta(days=n)) for n in range(9)])
    text = farm.read_text(encoding="utf-8")
    fitted = text.replace("[greenhouse]", "[greenhouse]\nfitted = { loss = 1.2 }")
    Path("pellets.toml").write_text(fitted.replace("wood stove, large", "pellet stove"))
    Path("longer.toml").write_text(fitted.replace('length = "72 ft"', 'length = "80 ft"'))
    rows = (gs.demo_path().parents[2] / "weather_samples" / TYPICAL).read_text(encoding="utf-8")
    years = rows.replace("\n2025-", "\n2017-").replace("\n2026-", "\n2018-")
    Path("other.csv").write_text(years, encoding="utf-8")
    Path("short.csv").write_text("\n".join(rows.splitlines()[:2900]), encoding="utf-8")
    answer = ask("review", farm, *words)
    assert answer.status == 2
    assert answer.out == ""
    assert said in answer.err
    assert len([line for line in answer.err.splitlines() if not line.startswith("note:")]) == 1


def test_a_journal_without_loads_and_heaters_that_differ(ask: Ask, farm: Path) -> None:
    write(farm.parent, [Entry(datetime(2025, 12, 5, 8), READING, indoor_C=4.0)])
    assert "no load is noted in any season" in ask("review", farm).err
    write(farm.parent, [Entry(datetime(2025, 12, 5, 8), LOAD, kg=90.0)])
    text = farm.read_text(encoding="utf-8")
    one = text.replace("count = 3", "count = 1")
    farm.write_text(one, encoding="utf-8")
    answer = ask("review", farm)
    assert answer.status == 2
    assert "does not fit into wood stove, large (count 1)" in answer.err
    farm.write_text(text.replace("wood stove, large", "propane heater"), encoding="utf-8")
    assert "which nobody loads" in ask("review", farm).err
