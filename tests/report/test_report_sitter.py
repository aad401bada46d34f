"""The page for whoever sits in: how long a load lasts, and how often somebody must come."""

from __future__ import annotations

import math
import re

import pytest

from greenhouse_sim.heater.burn import OUT_SHARE
from greenhouse_sim.plans.absence import Absence, absence
from greenhouse_sim.plans.absence_sums import Loads, loads
from greenhouse_sim.plans.absence_terms import terms
from greenhouse_sim.plans.foreseen import foreseen, prepared, tasks_of
from greenhouse_sim.report.sitter_page import fires_a_day, sitter_page, visits_a_day
from greenhouse_sim.report.words import Units
from greenhouse_sim.scenario import Scenario
from greenhouse_sim.season.run import read_winters
from winters_at_hand import demo

FED = ("wood stove, large", "gasification boiler", "rocket mass heater, medium")


def with_heater(kind: str) -> Scenario:
    """The demo farm with another heater, in its mild winter."""
    return demo(heater__kind=kind, heater__count=1)


def left(scenario: Scenario) -> Absence:
    """Every evening of the farm's winter."""
    winters = foreseen(
        scenario, prepared(scenario, read_winters(scenario, ["tamarack_flats_mild.csv"]))
    )
    tasks = tasks_of(scenario, winters, scenario.heater.kind)
    return absence(scenario, winters, tasks, terms(scenario))


@pytest.mark.parametrize("kind", FED)
def test_every_month_says_how_often_to_come(kind: str) -> None:
    scenario = with_heater(kind)
    page = sitter_page(left(scenario), scenario, Units("us"))
    rows = re.findall(r"^\| (?:October|January|April) \|.*", page, re.MULTILINE)
    assert len(rows) == 3
    for row in rows:
        often = row.strip("| ").split(" | ")[-1]
        assert often in {"no fire", "one after another"} or 1 <= int(often) <= 24


def test_a_load_shut_down_lasts_as_long_in_mild_months_as_in_january() -> None:
    """A full box at its lowest rate r burns down to its coals c in (m - c)/r, and is out at a
    twentieth of them after (c/r)·ln 20 more. What is let die in spring's sun is no such load."""
    scenario = with_heater("wood stove, large")
    found = left(scenario)
    heater = tasks_of(scenario, found.winters, scenario.heater.kind)[0].heater
    kg_h = heater.burn_min_w * heater.kg_per_j * 3600.0
    lasts_h = (heater.charge_kg - heater.coal_kg + heater.coal_kg * -math.log(OUT_SHARE)) / kg_h
    by_month = {one.month[5:]: one.fire_h for one in loads(found)}
    for month in ("10", "01", "04"):
        assert by_month[month] == pytest.approx(lasts_h, abs=1.5), month


def test_visits_and_fires_in_a_day() -> None:
    assert [visits_a_day(hours) for hours in (30.0, 24.0, 10.0, 0.0)] == ["1", "1", "3", "24"]
    assert visits_a_day(math.nan) == "no fire"

    def fires(kg: float, heat_h: float) -> str:
        return fires_a_day(Loads("2026-12", kg, kg, 1.0, heat_h))

    assert [fires(5.0, hours) for hours in (80.0, 7.0, 0.0)] == ["1", "4", "one after another"]
    assert fires(math.nan, 336.0) == "no fire"
