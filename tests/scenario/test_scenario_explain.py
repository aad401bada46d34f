"""Explain shows every value in force and where it comes from."""

from __future__ import annotations

from greenhouse_sim.scenario import explain, scenario_from_dict
from greenhouse_sim.scenario.defaults import fill
from greenhouse_sim.scenario.explain import _leaves
from greenhouse_sim.scenario.model import Scenario
from greenhouse_sim.scenario.read import scenario_from_text
from greenhouse_sim.tables import read_keyed


def test_every_leaf_has_a_row_and_an_origin(example_text: str) -> None:
    farm = scenario_from_text(example_text, "farm.toml")
    rows = explain(farm)
    filled, _ = fill(farm.written.raw)
    leaves = [path for section in filled for path, _ in _leaves((section,), filled[section])]
    given = [row for row in rows if row.origin != "catalogue"]
    assert len(given) == len(leaves)
    assert len({(row.section, row.key) for row in rows}) == len(rows)
    for row in rows:
        assert row.value
        assert row.origin.startswith("line ") or row.source


def test_no_value_of_the_model_is_missing(example_text: str) -> None:
    """Each key of each section is either in a row or a size that the shape has not."""
    farm = scenario_from_text(example_text, "farm.toml")
    shown = {(row.section, row.key.split(".")[0].split(" ")[0]) for row in explain(farm)}
    unused = {"surface", "floor_area", "volume"}
    for section in Scenario.model_fields:
        for key in type(getattr(farm, section)).model_fields:
            assert (section, key) in shown or key in unused | {"own"}


def test_units_lines_and_sources(example_text: str) -> None:
    farm = scenario_from_text(example_text, "farm.toml").with_(**{"crop.vent_at": 27.5})
    rows = {(row.section, row.key): row for row in explain(farm)}
    assert rows["greenhouse", "width"][2:5] == ("30", "ft", "line 11")
    assert rows["greenhouse", "mass 1, volume"][2:5] == ("55", "gal", "line 26")
    assert rows["greenhouse", "vent_air_changes"][2:5] == ("40", "/hour", "default")
    assert rows["crop", "vent_at"][2:5] == ("27.5", "degC", "changed")
    assert rows["routine", "margin"].source == read_keyed("defaults")["routine.margin"].source + (
        "; " + read_keyed("defaults")["routine.margin"].note
        if read_keyed("defaults")["routine.margin"].note
        else ""
    )
    assert rows["heater", "law"][2:5] == ("set and leave", "", "catalogue")
    assert rows["backup", "starts_below"].origin == "line 39"


def test_defaults_alone_make_a_farm() -> None:
    """Only sizes, weather and the heater's kind have no default."""
    bare = scenario_from_dict(
        {
            "site": {"weather": "winter.csv"},
            "greenhouse": {
                "width": "30 ft", "length": "72 ft", "sidewall": "5 ft", "ridge": "13 ft",
            },
            "heater": {"kind": "ideal"},
        }
    )  # fmt: skip
    assert bare.backup is None
    origins = {row.origin for row in explain(bare)}
    assert origins == {"scenario", "default", "catalogue"}


def test_every_default_is_sound() -> None:
    for row in read_keyed("defaults").values():
        assert row.source
        if row.unit != "text":
            assert float(row.low) <= row.number <= float(row.high), row.key
