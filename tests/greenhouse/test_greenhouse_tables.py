"""Every row of the greenhouse's tables: in its range, with a source."""

from __future__ import annotations

import pytest

from greenhouse_sim.errors import ScenarioError
from greenhouse_sim.greenhouse.cover import cover, cover_names, curtain
from greenhouse_sim.greenhouse.table import named_row
from greenhouse_sim.tables.read import read_keyed, read_rows

VALUE = {"tightness": "air_changes_h", "perimeter": "f_value", "masses": "heat_capacity"}


@pytest.mark.parametrize("table", sorted(VALUE))
def test_rows_lie_in_their_range(table: str) -> None:
    for row in read_rows(table):
        assert float(row["low"]) <= float(row[VALUE[table]]) <= float(row["high"]), row["name"]
        assert row["source"]


@pytest.mark.parametrize("table", ["envelope", "soil"])
def test_keyed_rows_lie_in_their_range(table: str) -> None:
    for row in read_keyed(table).values():
        assert float(row.low) <= row.number <= float(row.high), row.key


def test_covers_make_sense() -> None:
    for row in read_rows("covers"):
        found = cover(row["name"])
        value = found.r_value if found.kind == "curtain" else found.u_value
        assert float(row["low"]) <= value <= float(row["high"]), found.name
        assert 0.0 <= found.solar_diffuse <= found.solar_direct <= 1.0
        assert 0.0 <= found.longwave_wet <= found.longwave_dry <= 1.0
    assert {"cover", "opaque", "curtain"} == {row["kind"] for row in read_rows("covers")}
    assert "double poly inflated" in cover_names("cover")


def test_unknown_names_say_what_is_known() -> None:
    with pytest.raises(ScenarioError, match="single glass"):
        cover("triple unobtainium")
    with pytest.raises(ScenarioError, match="thermal curtain"):
        curtain("single glass")
    with pytest.raises(ScenarioError, match="open"):
        named_row("terrain", "moon", "[site] terrain")
