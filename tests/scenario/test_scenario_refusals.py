"""Each bad scenario gives one message that names file, line and key, and the remedy."""

# ruff: noqa: E501  (a table of cases reads best with one a line)
from __future__ import annotations

import pytest

from greenhouse_sim.errors import ScenarioError, TableError
from greenhouse_sim.scenario import scenario_from_dict
from greenhouse_sim.scenario.read import scenario_from_text

# what stands in the example, what to write instead, and words that the message must have
REFUSED = [
    ('width = "30 ft"', "width = 30", ["line 11: [greenhouse] width", "no unit", '"30 ft"']),
    ('width = "30 ft"', 'width = "30"', ["[greenhouse] width", "no unit"]),
    ('width = "30 ft"', 'width = "0 ft"', ["[greenhouse] width", "out of range", "3.281 ft"]),
    ('width = "30 ft"', 'width = "2 km"', ["[greenhouse] width", "up to 328.1 ft"]),
    ('width = "30 ft"', 'width = "30 kg"', ["[greenhouse] width", "not a quantity of this kind"]),
    ('width = "30 ft"', "width = true", ["[greenhouse] width", '"30 ft"']),
    ('width = "30 ft"', "", ["line 9: [greenhouse] width", "is missing", 'width = "30 ft"']),
    ('width = "30 ft"', 'widht = "30 ft"', ["line 11: [greenhouse] widht", "did you mean width?"]),
    ('length = "72 ft"', 'length = "20 km"', ["[greenhouse] length", "up to 3281 ft"]),
    ('ridge = "13 ft"', 'ridge = "4 ft"', ["line 14: [greenhouse] ridge", "not above the sidewall"]),
    ('ridge = "13 ft"', 'ridge = "25 ft"', ["[greenhouse] ridge", "too high for a hoop", "gothic"]),
    ('shape = "hoop"', 'shape = "hopp"', ["line 10: [greenhouse] shape", 'did you mean "hoop"?']),
    ('shape = "hoop"', 'shape = "dome"', ["[greenhouse] length", "dome", "take the line out"]),
    ('shape = "hoop"', 'shape = "surfaces"', ["[greenhouse] width", "take the line out"]),
    ('"east-west"', '"upwards"', ["[greenhouse] ridge_runs", "east-west"]),
    ('cover = "double poly inflated"', 'cover = "double poly"', ["[greenhouse] cover", "did you mean"]),
    ('cover = "double poly inflated"', 'cover = { rof = "single poly" }', ["cover.rof", "roof"]),
    ('"thermal curtain"', '"single poly"', ["line 18: [greenhouse] night_curtain.cover", "curtain"]),
    ('closed = "dark"', 'closed = "noon"', ["night_curtain.closed", '"dark"', '"never"']),
    ("share = 0.9", "share = 90", ["night_curtain.share", "90 percent is written 0.9"]),
    ('tightness = "good"', 'tightness = "goood"', ["[greenhouse] tightness", 'did you mean "good"?']),
    ("planted_share = 0.7", "planted_share = -0.1", ["planted_share", "from 0 up to 1"]),
    ('"water barrels"', '"watter barrels"', ["[greenhouse] mass 1, what", "water barrels"]),
    ("count = 12", "count = 0", ["line 25: [greenhouse] mass 1, count", "from 1"]),
    ("count = 12", "count = 1.5", ["mass 1, count", "whole number"]),
    ('volume = "55 gal"', 'volume = "-55 gal"', ["mass 1, volume", "out of range"]),
    ("latitude = 46.9", "latitude = 146.9", ["line 5: [site] latitude", "from -90 up to 90"]),
    ("longitude = -96.8", 'longitude = "west"', ["line 6: [site] longitude", "is not degrees", "-96.8"]),
    ('elevation = "270 m"', "elevation = 270", ["[site] elevation", "no unit"]),
    ('weather = ["weather/typical.epw"]', "weather = []", ["[site] weather", "names no weather file"]),
    ('weather = ["weather/typical.epw"]', "weather = [5]", ["[site] weather 1", "not a text"]),
    ('weather = ["weather/typical.epw"]', "", ["line 1: [site] weather", "is missing"]),
    ('start = "10-01"', 'start = "02-30"', ["line 4: [site] season.start", "10-01"]),
    ('night = "42 degF"', 'night = "90 degF"', ["line 29: [crop] setpoint", "not under vent_at"]),
    ('damage_below = "26 degF"', 'damage_below = "45 degF"', ["[crop] damage_below", "over the setpoint"]),
    ('setpoint = { day = "50 degF", night = "42 degF" }', 'setpoint = [{ at = "9 degC" }, { from = "07:00", to = "08:00", at = "9 degC" }]',
     ["[crop] setpoint 1", "must stand last"]),
    ('setpoint = { day = "50 degF", night = "42 degF" }', 'setpoint = [{ form = "07:00", at = "9 degC" }]',
     ["[crop] setpoint 1, form", "did you mean from?"]),
    ('kind = "wood stove, large"', 'kind = "wood stove, big"', ["line 34: [heater] kind", "did you mean", "pellet stove"]),
    ('kind = "wood stove, large"', "", ["[heater] kind", "is missing"]),
    ('kind = "wood stove, large"', 'kind = "wood stove, large"\noutput_maks = "9 kW"', ["line 35: [heater] output_maks", "output_max"]),
    ('kind = "wood stove, large"', 'kind = "wood stove, large"\noutput_max = 9000', ["[heater] output_max", "no unit", " W"]),
    ('starts_below = "38 degF"', 'starts_bellow = "38 degF"', ["line 39: [backup] starts_bellow", "starts_below"]),
    ('species = "red oak"', 'species = "red oka"', ["line 42: [fuel] species", "red oak", "pellets"]),
    ("moisture = 0.20", "moisture = -0.2", ["line 43: [fuel] moisture", "out of range"]),
    ("moisture = 0.20", "moisture = 20", ["[fuel] moisture", "20 percent is written 0.2"]),
    ("moisture = 0.20", "moisture = 0.65", ["[fuel] moisture", "under 0.65"]),
    ('source = "cut"', 'source = "stolen"', ["[fuel] source", "cut, buy"]),
    ('price = "250 /cord"', "price = 250", ["[fuel] price", "250 /cord"]),
    ('price = "250 /cord"', 'price = "250 /ft"', ["[fuel] price", "250 /cord"]),
    ('bed = "22:00"', 'bed = "06:00"', ["line 49: [routine] bed", "0 h of sleep"]),
    ('bed = "22:00"', 'bed = "05:00"', ["[routine] bed", "1 h of sleep", '"22:00"']),
    ('bed = "22:00"', 'bed = "09:00"', ["[routine] bed", "21 h of sleep"]),
    ('up = "06:00"', 'up = "26:00"', ["line 48: [routine] up", "not a time of day"]),
    ('gets_up_below = "36 degF"', 'gets_up_below = "always"', ["[routine] gets_up_below", "36 degF"]),
    ('"2026-01-12 18:00"', '"2026-01-09 18:00"', ["line 51: [routine] away 1", "ends at 2026-01-09 18:00"]),
    ('"2026-01-12 18:00"]', '"2026-01-12 18:00"], ["2026-01-11", "2026-01-13"]', ["away 2", "before trip 1 ends"]),
    ('"2026-01-12 18:00"', '"soon"', ["[routine] away 1", "2026-01-10 17:00"]),
    ('to = "17:30"', 'to = "07:00"', ["line 52: [routine] work.to", "ends before it starts"]),
    ('days = "mon-fri"', 'days = "mon-fry"', ["[routine] work.days", "not a day of the week"]),
    ("[routine]", "[rotine]", ["line 47: [rotine]", "did you mean routine?"]),
    ("[[greenhouse.mass]]", "[greenhouse.mass]", ["[greenhouse] mass", "not a list", "[[greenhouse.mass]]"]),
]  # fmt: skip


@pytest.mark.parametrize(("old", "new", "words"), REFUSED, ids=[new[:40] for _, new, _ in REFUSED])
def test_one_message_with_place_and_remedy(
    example_text: str, old: str, new: str, words: list[str]
) -> None:
    assert old in example_text
    with pytest.raises(ScenarioError) as caught:
        scenario_from_text(example_text.replace(old, new, 1), "farm.toml")
    message = str(caught.value)
    assert message.startswith("farm.toml")
    assert "\n" not in message
    assert len(message) < 1200
    for word in words:
        assert word in message


def test_several_problems_are_one_message(example_text: str) -> None:
    text = example_text.replace("0.20", "20").replace('"30 ft"', "30").replace('"06:00"', '"6"')
    with pytest.raises(ScenarioError) as caught:
        scenario_from_text(text, "farm.toml")
    message = str(caught.value)
    assert message.startswith("farm.toml, line 11: [greenhouse] width: 30 has no unit")
    assert "[fuel] moisture" in message
    assert "[routine] up" in message


BAD_SURFACES = [
    ({}, ["[greenhouse] surface", "is missing"]),
    ({"opaque": True, "solar_transmittance": 0.5, "absorptance": 0.1}, ["surface 1, opaque", "both"]),
    ({"opaque": False}, ["surface 1, opaque", "neither"]),
    ({"opaque": True}, ["surface 1, absorptance", "is missing"]),
    ({"solar_transmittance": 0.8, "absorptance": 0.3}, ["surface 1, absorptance", "add up to 1.1"]),
]  # fmt: skip


@pytest.mark.parametrize(("fields", "words"), BAD_SURFACES)
def test_surfaces_that_break_conservation(fields: dict[str, object], words: list[str]) -> None:
    surface = {"area": "1 m^2", "tilt": 90, "u_value": "1 W/m^2/K", **fields}
    box = {"shape": "surfaces", "floor_area": "9 m^2", "volume": "20 m^3"}
    with pytest.raises(ScenarioError) as caught:
        scenario_from_dict(
            {
                "site": {"weather": "box.epw"},
                "greenhouse": {**box, "surface": [surface] if fields else []},
                "heater": {"kind": "ideal"},
            }
        )
    for word in words:
        assert word in str(caught.value)


def test_a_missing_table_is_a_fault_of_ours(
    example_text: str, monkeypatch: pytest.MonkeyPatch
) -> None:
    def no_table(name: str) -> None:
        raise TableError(f"table {name}.csv is missing from the package")

    monkeypatch.setattr("greenhouse_sim.scenario.names.read_rows", no_table)
    with pytest.raises(TableError, match="missing from the package"):
        scenario_from_text(example_text, "farm.toml")


def test_a_change_is_named_without_a_line(example_text: str) -> None:
    farm = scenario_from_text(example_text, "farm.toml")
    with pytest.raises(ScenarioError, match=r"^farm.toml: \[fuel\] moisture"):
        farm.with_(**{"fuel.moisture": 3.0})
    with pytest.raises(ScenarioError, match="did you mean vent_at"):
        farm.with_(**{"crop.ventat": "80 degF"})
    with pytest.raises(ScenarioError, match="no heater is called"):
        farm.with_(heater="hot air")
    with pytest.raises(ScenarioError, match="is not a table here"):
        farm.with_(**{"greenhouse.width.more": "80 degF"})
