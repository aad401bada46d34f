"""Results as JSON and CSV, and the glossary that explains their keys."""

from __future__ import annotations

import csv
import json
from collections.abc import Callable
from pathlib import Path

import numpy as np
import pytest

from greenhouse_sim.plans.compare import Comparison
from greenhouse_sim.report.cautions import cautions
from greenhouse_sim.report.csvs import write_tables, write_traces
from greenhouse_sim.report.glossary import glossary
from greenhouse_sim.report.json_text import json_text, plain
from greenhouse_sim.report.words import Units
from greenhouse_sim.season.run import Season

Make = Callable[..., Season]


def read(path: Path) -> list[dict[str, str]]:
    """A CSV file as rows."""
    with path.open(encoding="utf-8", newline="") as file:
        return list(csv.DictReader(file))


def test_glossary_has_every_key_of_the_ledger_and_no_other(season_of: Make) -> None:
    assert list(glossary()) == list(season_of().ledger)


def test_cautions_name_every_danger() -> None:
    said = " ".join(cautions()).lower()
    for word in ("fire", "smoke", "carbon monoxide", "clear", "chimney", "relief valve", "code",
                 "listing", "insurer"):  # fmt: skip
        assert word in said


def test_json_is_valid_and_has_null_for_what_is_not_a_number(season_of: Make) -> None:
    text = json_text(Comparison((season_of(), season_of("pellet stove", fuel="pellets"))))
    answer = json.loads(text, parse_constant=lambda word: pytest.fail(f"{word} in JSON"))
    assert answer["schema"] == 1
    assert answer["seasons"][1]["cords"] is None
    assert set(answer["summary"][0]["cords"]) == {"median", "low", "high"}
    causes = answer["seasons"][0]["cold_hours_by_cause"]
    assert sum(causes.values()) == answer["seasons"][0]["hours_below_setpoint"]


def test_plain_values_of_any_kind() -> None:
    given = {"a": np.float64("nan"), "b": [np.int64(3), float("inf")], "c": np.arange(2)}
    assert plain(given) == {"a": None, "b": [3, None], "c": [0, 1]}


def test_tables_read_back(season_of: Make, tmp_path: Path) -> None:
    result = Comparison(tuple(season_of(winter=f"w{n}", ups=n) for n in range(3)))
    write_tables(result, Units(True), tmp_path)
    seasons = read(tmp_path / "seasons.csv")
    assert [row["night_wakeups"] for row in seasons] == ["0", "1", "2"]
    assert float(seasons[0]["cold_hours_fire_out"]) == 4.0
    assert read(tmp_path / "summary.csv")[0]["night_wakeups_median"] == "1.0"
    months = read(tmp_path / "fuel_by_month.csv")
    one = [row for row in months if row["winter"] == "w0"]
    assert {row["unit"] for row in one} == {"cords"}
    assert sum(float(row["amount"]) for row in one) == pytest.approx(
        float(seasons[0]["cords"]), abs=1e-3
    )
    assert len(read(tmp_path / "glossary.csv")) == len(glossary())


def test_trace_has_units_in_its_heads(season_of: Make, tmp_path: Path) -> None:
    season = season_of(winter="../odd name")
    us = write_traces(Comparison((season,)), Units(True), tmp_path / "us")
    si = write_traces(Comparison((season,)), Units(False), tmp_path / "si")
    assert us[0].parent == tmp_path / "us"
    fahrenheit, celsius = read(us[0]), read(si[0])
    assert len(fahrenheit) == season.weather.hours
    assert float(fahrenheit[0]["inside [degF]"]) == pytest.approx(
        float(celsius[0]["inside [degC]"]) * 1.8 + 32.0, abs=0.02
    )
    assert float(fahrenheit[0]["heater [Btu/h]"]) == pytest.approx(
        float(celsius[0]["heater [W]"]) * 3.41214, abs=3.0
    )
