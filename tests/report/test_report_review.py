"""A winter reviewed: its words, its tables, its lines of TOML, its picture."""

from __future__ import annotations

import tomllib
from collections.abc import Callable
from datetime import date, datetime, timedelta
from typing import Any

import pytest
from rich.console import Console

import greenhouse_sim as gs
from greenhouse_sim.heater.fuel import fuel_for
from greenhouse_sim.journal.entry import LOAD, Entry
from greenhouse_sim.plans.review import Asked, Readings, Review, Silence, review
from greenhouse_sim.plans.review_causes import Bridge, Cause
from greenhouse_sim.plans.review_journal import Span
from greenhouse_sim.report.charts.review import review_picture
from greenhouse_sim.report.review_table import cause_table, fuel_table, signed, work_table
from greenhouse_sim.report.review_toml import next_lines, next_text, weather_toml
from greenhouse_sim.report.review_words import (
    cause_lines,
    first_line,
    nothing_line,
    plan_lines,
    rest_lines,
    silent_lines,
    work_lines,
)
from greenhouse_sim.report.words import Units
from greenhouse_sim.season.run import read_records, read_winters
from review_at_hand import MILD, SEVERE, TYPICAL, kept_by, stove_farm

US, SI = Units(), Units(False)
Make = Callable[..., Review]


@pytest.fixture(scope="module")
def make(tmp_path_factory: pytest.TempPathFactory) -> Make:
    """Reviews of a short winter with a heater."""
    folder = tmp_path_factory.mktemp("farm")

    def of(heater: str = "wood stove, large", past: tuple[str, ...] = (MILD, SEVERE)) -> Review:
        farm = gs.read_scenario(stove_farm(folder, "01-01", "01-31"))
        farm = farm.with_(heater=heater)
        record = read_records(farm, [TYPICAL])[0]
        entries = kept_by(farm, record, 31)
        return review(farm, entries, read_winters(farm, list(past)), Asked("j", weather=record))

    return of


@pytest.fixture(scope="module")
def plain(make: Make) -> Review:
    """The stove's."""
    return make()


def with_fuel(found: Review, plan: float, journal: float, **causes: float) -> Review:
    """The review with other sums of fuel."""
    was = plan + sum(causes.values())
    told = tuple(Cause(name, adds, adds, adds) for name, adds in causes.items())
    bridges = dict(found.bridges) | {"fuel": Bridge(plan, told, was, journal)}
    return found._replace(bridges=bridges)


@pytest.mark.parametrize(
    ("plan", "journal", "causes", "words"),
    [
        (8.0, 8.1, {"weather": 0.1}, "8.1 cords burnt, 8.0 planned: as planned"),
        (8.0, 9.5, {"weather": 1.4}, ": 1.5 more, mostly weather (+1.4)"),
        (8.0, 6.0, {"habit": -1.9}, ": 2.0 less, mostly habit (-1.9)"),
        (8.0, 11.0, {"weather": 0.1}, ": 3.0 more, mostly what is not explained (+2.9)"),
        (8.0, 10.0, {"weather": 0.9, "wood": 0.5, "house": 0.6},
         "mostly weather (+0.9) and the house's heat loss (+0.6)"),
        # a saving in between does not name itself for more
        (8.0, 9.0, {"weather": 3.0, "habit": -2.0}, ": 1.0 more, mostly weather (+3.0)"),
    ],
)  # fmt: skip
def test_the_first_line(
    plain: Review, plan: float, journal: float, causes: dict[str, float], words: str
) -> None:
    assert first_line(with_fuel(plain, plan, journal, **causes), US).endswith(words)


def test_signed() -> None:
    assert [signed(value) for value in (1.26, -0.44, 0.04, -0.04, 1234.0)] == [
        "+1.3", "-0.4", "0", "0", "+1230",
    ]  # fmt: skip


def test_a_rest_is_told_as_one(plain: Review) -> None:
    more = with_fuel(plain, 8.0, 10.0, weather=1.0)
    told = rest_lines(more, US)[0]
    assert told.startswith("Not explained: +1.0 cords, 11 % of the season as it was.")
    assert "wetter or lighter wood" in told
    assert "a house that loses more" in told
    less = rest_lines(with_fuel(plain, 8.0, 7.0, weather=1.0), US)[0]
    assert "loads that were not noted" in less
    assert "It may be" not in rest_lines(with_fuel(plain, 8.0, 9.1, weather=1.0), US)[0]
    bare = more._replace(known=("habit",), outdoor_C=None, weather=None)
    assert "It may be this winter's weather;" in rest_lines(bare, US)[0]
    assert "--this-winter" in cause_lines(bare, US)[0]


def test_silence_cuts_and_loads_at_night(plain: Review) -> None:
    days = Span(date(2026, 1, 1), date(2026, 1, 9))
    silent = plain._replace(silences=(Silence(days, 0.5),), noted=plain.noted._replace(cut_h=7.0))
    told = " ".join(rest_lines(silent, US))
    assert "from 1 January to 9 January (9 days)" in told
    assert "0.5 cords: away, or not noted?" in told
    assert "begin with the first day noted: --from" in told
    assert "Power was off for 7.0 h" in told
    assert "silent on 9 of 31 days" in silent_lines(silent, US)[0]
    assert silent_lines(plain, US) == []
    night = datetime(2026, 1, 3, 2)
    loads = [Entry(night + timedelta(days=n), LOAD, kg=9.0) for n in range(9)]
    own = plain.noted._replace(entries=(*plain.noted.entries, *loads))
    told = " ".join(cause_lines(plain._replace(noted=own), US))
    assert "9 loads between midnight and 05:00 are not marked" in told


def test_one_past_winter_and_few(make: Make, plain: Review) -> None:
    assert "no other winters" in plan_lines(make(past=(MILD,)), US)[0]
    told = " ".join(plan_lines(plain, US))
    assert "10 to 90 % of them" in told
    assert "2 winters are too few" in told


def printed(table: Any) -> str:
    page = Console(width=100, highlight=False, record=True)
    with page.capture() as taken:
        page.print(table)
    return taken.get()


@pytest.mark.parametrize("units", [US, SI])
def test_tables_fit_on_a_page(plain: Review, units: Units) -> None:
    wide = with_fuel(plain, 88.8, 99.9, weather=-11.1, wood=10.1, house=12.1)
    wide = wide._replace(causes=("weather", "wood", "house"))
    bridges = dict(wide.bridges)
    for name in ("loads", "nights_up", "hours"):
        told = tuple(Cause(one, -1234.0, -2000.0, 10.0) for one in wide.causes)
        bridges[name] = Bridge(12345.0, told, 8643.0, 23456.0)
    wide = wide._replace(bridges=bridges)
    for table in (fuel_table(wide, units), work_table(wide), cause_table(wide, units)):
        text = printed(table)
        assert max(len(line.rstrip()) for line in text.splitlines()) <= 100
        assert "…" not in text


def test_sums_in_the_table_of_causes(plain: Review) -> None:
    """What is printed adds up to the tenth: 8.0 + 1.4 = 9.4, and 0.3 to 9.7."""
    text = printed(cause_table(with_fuel(plain, 8.0, 9.7, weather=1.4), US))
    rows = {
        line[:28].strip(): line[28:].split()[0] for line in text.splitlines() if line[28:].split()
    }
    assert rows["plan, middle of 2 winters"] == "8.0"
    assert rows["weather"] == "+1.4"
    assert rows["the season as it was"] == "9.4"
    assert rows["not explained"] == "+0.3"
    assert rows["journal"] == "9.7"


def test_pellets_are_told_in_tons(make: Make) -> None:
    found = make("pellet stove")
    assert " tons burnt, " in first_line(found, US)
    assert " t burnt, " in first_line(found, SI)
    assert "Fuel: pellets, taken as sold." in cause_lines(found, US)
    assert "cords" not in printed(cause_table(found, US))


def test_lines_for_next_year(plain: Review) -> None:
    """Valid TOML in the order of the sections; what is not sure stands as a comment."""
    habit = plain.habit._replace(
        changes={"routine.bed": "21:00", "routine.up": {"weekday": "05:00", "weekend": "07:00"},
                 "routine.chores": None, "routine.gets_up_below": "39 degF"}
    )  # fmt: skip
    changes = {"fuel.species": "paper birch", "fuel.moisture": 0.28}
    wood = plain.wood._replace(changes=changes, fuel=fuel_for("paper birch", 0.28))
    house = plain.house._replace(
        changes={"greenhouse.fitted": {"loss": 1.1, "leak": 0.9}}, source="option"
    )
    found = plain._replace(habit=habit, wood=wood, house=house, readings=Readings(40, 2.0))
    lines = next_lines(found, weather_toml(["a.csv", "b.csv"]))
    text = next_text(lines)
    assert max(map(len, text.splitlines())) <= 100
    assert tomllib.loads(text) == {
        "site": {"weather": ["a.csv", "b.csv"]},
        "greenhouse": {"fitted": {"loss": 1.1, "leak": 0.9}},
        "crop": {},
        "fuel": {"species": "paper birch", "moisture": 0.28},
        "routine": {"bed": "21:00", "up": {"weekday": "05:00", "weekend": "07:00"},
                    "chores": "none", "gets_up_below": "39 degF"},
    }  # fmt: skip
    # 2 K are 3.6 °F on the demo farm's 50 and 42 °F
    assert '# setpoint = { day = "54 degF", night = "46 degF" }' in text
    assert "40 readings at hours with fire are 4 °F warmer" in text.replace("\n# ", " ")
    si = next_text(next_lines(found, None, SI))
    assert 'gets_up_below = "3.9 degC"' in si
    assert "degF" not in si
    raw = tomllib.loads(text)
    plan = found.scenario.with_(**{"routine": raw["routine"], "fuel": raw["fuel"]})
    assert plan.routine.up_weekend == 7.0
    assert plan.routine.chores == ()


def test_nothing_to_change_is_said_only_where_all_is_explained(plain: Review) -> None:
    assert nothing_line(with_fuel(plain, 8.0, 8.1)) == "Nothing in the scenario needs to change."
    assert "not explained" in nothing_line(with_fuel(plain, 8.0, 9.0))


def test_a_long_list_of_weather_is_broken() -> None:
    names = [f"C:\\winters\\the winter of {year}.csv" for year in range(2001, 2009)]
    text = weather_toml(names)
    assert max(map(len, text.splitlines())) <= 100
    assert tomllib.loads(text)["weather"] == names


def test_work_is_told_with_its_source(plain: Review) -> None:
    assert "No minutes were noted" in work_lines(plain)[0]
    noted = plain.noted._replace(noted_share=0.42, carrying_noted=True, basis="carried")
    told = work_lines(plain._replace(noted=noted))[0]
    assert "42 % of them were noted" in told
    assert "carried in, which is more than was loaded" in told
    assert "Carrying was not noted" not in told


@pytest.mark.parametrize("units", [US, SI])
def test_the_picture(plain: Review, units: Units) -> None:
    """Two panels: bars of every month, and the bridge whose last bar is the journal's."""
    found = with_fuel(plain, 8.0, 9.7, weather=2.0, habit=-0.6)
    months, causes = review_picture(found, units).axes
    assert [text.get_text() for text in months.get_xticklabels()] == ["Jan"]
    names = [text.get_text() for text in causes.get_yticklabels()]
    assert names == ["plan", "weather", "habit", "not explained", "journal"]
    per = 1.0 if units.us else 3.6246
    ends = [bar.get_x() + bar.get_width() for bar in causes.patches]
    assert ends == pytest.approx([8.0 * per, 10.0 * per, 9.4 * per, 9.7 * per, 9.7 * per], rel=1e-4)
