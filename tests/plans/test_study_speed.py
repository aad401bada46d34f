"""What a study does in a shorter way comes to the same: columns, scenarios, shared outdoors."""

from __future__ import annotations

import io
from dataclasses import replace
from pathlib import Path

import numpy as np
import pytest

from greenhouse_sim.plans import study_part
from greenhouse_sim.plans.design_of_study import Design
from greenhouse_sim.plans.study import read_study
from greenhouse_sim.plans.study_axis import Axis
from greenhouse_sim.plans.study_columns import parquet
from greenhouse_sim.plans.study_part import Runner
from greenhouse_sim.scenario import scenario_from_dict
from greenhouse_sim.scenario.change import changed
from greenhouse_sim.season.run import run_seasons
from study_at_hand import rows_of, write_study

DRAWN_HOUSES = """
scenario = "farm.toml"
heaters = ["wood stove, large"]
draws = 5
seed = 3
[grid]
fuel.moisture = [0.15, 0.25]
[draw]
greenhouse.air_changes = { from = "0.3 /hour", to = "1.5 /hour" }
[[place]]
name = "Tamarack Flats"
weather = ["tamarack_flats_typical.csv"]
[[place]]
name = "Selkie Sound"
weather = ["selkie_sound_typical.csv"]
"""
"""Twenty farms in ten greenhouses."""


def test_columns_are_those_that_pyarrow_makes(tmp_path: Path) -> None:
    """Numbers, words and flags, some of them not there, against pyarrow's own way from lists."""
    pa = pytest.importorskip("pyarrow")
    import pyarrow.parquet as pq

    study = read_study(write_study(tmp_path, DRAWN_HOUSES))
    design = Design(replace(study, grid=(Axis("a.flag", "", (True, False)), *study.grid)))
    flags = [i % 3 == 0 for i in range(11)]
    rows = [
        {"point": 2**40, "place": "Gräfin Ödland", "cords": None, "loads": 3, "fuel": "red oak"},
        {"point": 0, "place": "", "cords": -0.0, "loads": 0, "fuel": None},
        *({"point": i, "place": i * "x", "cords": i / 3, "loads": i, "fuel": ""} for i in range(9)),
    ]  # fmt: skip
    rows = [{**row, "a.flag": flag} for row, flag in zip(rows, flags, strict=True)]
    kinds = {
        "a.flag": pa.bool_(),
        "point": pa.int64(),
        "cords": pa.float64(),
        "loads": pa.float64(),
    }
    theirs = pa.table(
        {
            name: pa.array([row[name] for row in rows], kinds.get(name, pa.string()))
            for name in rows[0]
        }
    )
    columns = {name: [row[name] for row in rows] for name in rows[0]}
    columns["cords"] = np.array(columns["cords"], dtype=float)
    ours = pq.read_table(io.BytesIO(parquet(design, columns)))
    assert ours.equals(theirs)
    assert str(ours["cords"][1].as_py()) == "-0.0"
    assert [ours[name].null_count for name in ("cords", "fuel", "place")] == [1, 1, 0]


def test_sections_taken_over_are_those_read_anew(tmp_path: Path) -> None:
    """A point's scenario against the whole mapping with the same changes, read from scratch."""
    design = Design(read_study(write_study(tmp_path, DRAWN_HOUSES)))
    for number in (0, 7, 19):
        point = design.point(number)
        place = point.place
        whole = scenario_from_dict(changed(place.raw, point.changes)[0], place.path)
        short = place.scenario(point.changes)
        assert short == whole
        assert short.written.raw == whole.written.raw
        assert short.site.name == point.place.name


@pytest.mark.parametrize("on_disk", [0, 1000])
def test_drawn_greenhouses_are_those_that_run_prepares(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch, on_disk: int
) -> None:
    """Sharing a winter's outdoors (or none) and a few houses at a time changes no number."""
    monkeypatch.setattr(study_part, "MOST_ON_DISK", on_disk)
    monkeypatch.setattr(study_part, "MOST_SHARING", 2)
    monkeypatch.setattr(study_part, "HOUSES_HELD", 3)
    design = Design(read_study(write_study(tmp_path, DRAWN_HOUSES)))
    assert design.houses == 10
    runner = Runner(design, "compiled")
    rows = [row for part in design.parts() for row in rows_of(runner.columns(part))]
    assert [row["point"] for row in rows] == list(range(20))
    for number in (0, 5, 12, 19):
        point = design.point(number)
        scenario = point.place.scenario(point.changes)
        (season,) = run_seasons(
            scenario, design.study.heaters, point.place.winters, engine="compiled"
        )
        for key in ("fuel_kg", "heat_need_kWh", "lowest_air_C", "balance_error", "visits"):
            assert rows[number][key] == season.ledger[key], key


def test_routines_that_alternate_are_those_that_run_gives(tmp_path: Path) -> None:
    """More evenings than are held at a time, each with two ways to look ahead."""
    text = DRAWN_HOUSES.replace(
        "fuel.moisture = [0.15, 0.25]",
        'routine.bed = ["20:30", "21:30", "22:30", "23:30", "00:30"]\n'
        'routine.looks_ahead = ["habit", "forecast"]',
    ).replace("draws = 5", "draws = 1")
    design = Design(read_study(write_study(tmp_path, text)))
    runner = Runner(design, "compiled")
    rows = [row for part in design.parts() for row in rows_of(runner.columns(part))]
    assert len({row["fuel_kg"] for row in rows}) > study_part.ROUTINES_HELD
    for number, row in enumerate(rows):
        point = design.point(number)
        scenario = point.place.scenario(point.changes)
        (season,) = run_seasons(
            scenario, design.study.heaters, point.place.winters, engine="compiled"
        )
        for key in ("fuel_kg", "lowest_air_C", "visits", "night_wakeups"):
            assert row[key] == season.ledger[key], (number, key)
