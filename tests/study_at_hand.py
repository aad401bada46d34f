"""A small study on a short season, for the tests of several folders."""

from __future__ import annotations

from collections.abc import Mapping
from pathlib import Path
from typing import Any

from greenhouse_sim.scenario import demo_path

STUDY = """
scenario = "farm.toml"
heaters = ["wood stove, large", "pellet stove"]
draws = 5
seed = 7
[grid]
fuel.moisture = [0.15, 0.25]
greenhouse.tightness = ["tight", "leaky"]
[draw]
routine.margin = { from = 1.0, to = 1.4 }
[[place]]
name = "Tamarack Flats"
weather = ["tamarack_flats_typical.csv", "tamarack_flats_severe.csv"]
[[place]]
name = "Selkie Sound"
weather = ["selkie_sound_typical.csv"]
"""
"""2 heaters × (2 + 1) winters × 2 moistures × 2 houses × 5 draws: 120 seasons of 40 farms."""
SEASONS = 120


def write_study(folder: Path, text: str = STUDY) -> Path:
    """The study with its farm beside it."""
    farm = demo_path().read_text(encoding="utf-8")
    farm = farm.replace('{ start = "10-01", end = "04-30" }', '{ start = "12-20", end = "01-20" }')
    (folder / "farm.toml").write_text(farm, encoding="utf-8")
    file = folder / "study.toml"
    file.write_text(text, encoding="utf-8")
    return file


def rows_of(columns: Mapping[str, Any]) -> list[dict[str, Any]]:
    """Columns as rows, None where there is no number."""
    lists = [[None if one != one else one for one in column] for column in columns.values()]
    return [dict(zip(columns, row, strict=True)) for row in zip(*lists, strict=True)]
