"""A study's file and its points: every combination once, refusals that say what to write."""

from __future__ import annotations

from itertools import pairwise
from pathlib import Path

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from greenhouse_sim.errors import GreenhouseError, ScenarioError
from greenhouse_sim.plans import design_of_study
from greenhouse_sim.plans.design_of_study import Design
from greenhouse_sim.plans.study import read_study
from greenhouse_sim.plans.study_axis import axes_of
from study_at_hand import SEASONS, STUDY, write_study


@pytest.fixture
def design(tmp_path: Path) -> Design:
    return Design(read_study(write_study(tmp_path)))


def test_every_combination_stands_once(design: Design) -> None:
    assert design.points == 40
    assert design.seasons == SEASONS
    seen = [(p.place.name, *p.values.values()) for p in map(design.point, range(design.points))]
    assert len(set(seen)) == 40
    grid = {(place, wet, tight) for place, wet, tight, _ in seen}
    assert len(grid) == 2 * 2 * 2
    assert len({margin for *_, margin in seen}) == 5


def test_draws_are_the_same_in_every_house(design: Design) -> None:
    """So that houses are compared over the same growers, whatever their number."""
    margins: dict[object, list[object]] = {}
    for number in range(design.points):
        point = design.point(number)
        wet, tight, margin = point.values.values()
        margins.setdefault((point.place.name, wet, tight), []).append(margin)
    assert len({tuple(found) for found in margins.values()}) == 1


def test_houses_change_slowest(design: Design) -> None:
    """A part prepares as few winters as it can."""
    houses = [
        (p.place.name, p.values["greenhouse.tightness"])
        for p in map(design.point, range(design.points))
    ]
    assert sum(a != b for a, b in pairwise(houses)) == 3


@pytest.mark.parametrize("rows", [1, 7, 1000])
def test_parts_hold_every_point_once(
    design: Design, rows: int, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr(design_of_study, "ROWS", rows)
    parts = list(design.parts())
    assert [n for part in parts for n in range(part.first, part.last)] == list(range(40))
    assert [part.number for part in parts] == list(range(design.part_count()))
    assert sum(design.seasons_of(part) for part in parts) == SEASONS


def test_seed_decides_the_draws(tmp_path: Path, design: Design) -> None:
    again = Design(read_study(write_study(tmp_path)))
    other = Design(read_study(write_study(tmp_path, STUDY.replace("seed = 7", "seed = 8"))))
    assert again.point(3).values == design.point(3).values
    assert other.point(3).values != design.point(3).values


def test_ranges_keep_their_unit_and_ends() -> None:
    table = {"crop": {"setpoint": {"night": {"from": "38 degF", "to": "48 degF", "steps": 3}}}}
    (axis,) = axes_of(table, "s", steps=True)
    assert axis.column == "crop.setpoint.night [degF]"
    assert axis.values == (38.0, 43.0, 48.0)
    assert axis.written(43.0) == "43.0 degF"


@settings(max_examples=50, deadline=None)
@given(
    st.recursive(
        st.none() | st.booleans() | st.integers() | st.floats() | st.text(max_size=6),
        lambda inner: (
            st.lists(inner, max_size=3)
            | st.dictionaries(st.sampled_from(["from", "to", "steps", "x"]), inner, max_size=3)
        ),
        max_leaves=6,
    ),
    st.booleans(),
)
def test_any_axis_is_read_or_refused(value: object, steps: bool) -> None:
    """Never another error than a refusal that names the place."""
    try:
        axes_of({"fuel": {"moisture": value}}, "study.toml: [grid]", steps=steps)
    except ScenarioError as problem:
        assert str(problem).startswith("study.toml: [grid] fuel")


BAD = {
    "unknown key": ("fuel.moisture", "fuel.moistre", r"\[grid\] fuel.moistre: .*mean moisture\?"),
    "unknown section": ("fuel.moisture", "feul.moisture", r"\[grid\] feul.moisture: .*fuel"),
    "unknown on top": ("draws =", "drawz =", "unknown key drawz; did you mean"),
    "value of a list": ('"leaky"', '"laeky"', 'greenhouse.tightness: .*did you mean "leaky"'),
    "empty list": ("[0.15, 0.25]", "[]", "fuel.moisture: the list is empty"),
    "twice": ("[0.15, 0.25]", "[0.15, 0.15]", "a value stands twice"),
    "out of range": ("[0.15, 0.25]", "[0.15, 0.75]", r"\[grid\] fuel.moisture: .*0.75"),
    "empty range": ("from = 1.0, to = 1.4", "from = 1.4, to = 1.0", "is empty; write the lower"),
    "no range": ("{ from = 1.0, to = 1.4 }", "[1.0]", "is not a range; write { from"),
    "end out of range": ("to = 1.4", "to = 99.0", r"\[draw\] routine.margin: .*99"),
    "no draws": ("draws = 5", "", "write draws = 100 on top"),
    "no draw": ("draws = 5", "draws = 0", "not a whole number from 1"),
    "heater": ('"pellet stove"', '"pelet stove"', "heaters: no heater is called 'pelet stove'"),
    "heater as a key": ("fuel.moisture = [0.15, 0.25]", 'heater.kind = ["ideal"]', "name heaters"),
    "weather as a key": ("fuel.moisture = [0.15, 0.25]", 'site.weather = ["a"]', "place"),
    "bare number": (
        "fuel.moisture = [0.15, 0.25]", "crop.vent_at = [80, 85]", "has no unit"
    ),
    "units that differ": (
        "from = 1.0, to = 1.4", 'from = "1 h", to = "2 min"', "two numbers with one unit"
    ),
    "no scenario": ('scenario = "farm.toml"', "", "scenario is missing"),
    "no farm": ('"farm.toml"', '"nowhere.toml"', "no such file"),
    "weather": ("selkie_sound_typical.csv", "selkie_sound_tipical.csv", "selkie_sound_tipical"),
    "place": ('name = "Selkie Sound"', 'nmae = "Selkie Sound"', "place 2: write name"),
    "place's key": ('name = "Selkie Sound"', 'name = "S"\nlatitud = 3', "mean latitude"),
    "one name": ('"Selkie Sound"', '"Tamarack Flats"', "two places have one name"),
    "syntax": ("[grid]", "[grid", "not valid TOML"),
}  # fmt: skip


def test_times_and_days_are_words() -> None:
    """Alike minutes, or alike days of a month, are no unit."""
    table = {"routine": {"bed": ["22:00", "21:00"]}, "site": {"x": ["10-01", "10-15", "11-01"]}}
    for axis in axes_of(table, "study.toml: [grid]", steps=True):
        assert axis.words
        assert axis.ends == axis.values


@pytest.mark.parametrize("name", BAD)
def test_refusals(tmp_path: Path, name: str) -> None:
    old, new, said = BAD[name]
    assert old in STUDY
    with pytest.raises(GreenhouseError, match=said):
        read_study(write_study(tmp_path, STUDY.replace(old, new, 1)))


def test_a_key_cannot_be_both(tmp_path: Path) -> None:
    text = STUDY.replace("routine.margin", "fuel.moisture")
    with pytest.raises(GreenhouseError, match=r"stands in \[grid\] and in \[draw\]"):
        read_study(write_study(tmp_path, text.replace("1.0, to = 1.4", "0.1, to = 0.2")))


def test_no_such_study(tmp_path: Path) -> None:
    with pytest.raises(GreenhouseError, match="no such file"):
        read_study(tmp_path / "none.toml")
