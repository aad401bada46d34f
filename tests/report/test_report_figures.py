"""Figures as a reader meets them: in the reader's units, and no more digits than are known."""

from __future__ import annotations

import io
from types import SimpleNamespace
from typing import Any

import numpy as np
import pytest
from rich.console import Console
from rich.table import Table

from greenhouse_sim.plans.absence import FULL_H
from greenhouse_sim.report.away_words import amount, first_line, lasts
from greenhouse_sim.report.dollars import by_area
from greenhouse_sim.report.explain_units import in_reader_units
from greenhouse_sim.report.money_table import number
from greenhouse_sim.report.study_table import study_table
from greenhouse_sim.report.woodpile_table import share_name
from greenhouse_sim.report.words import Units
from greenhouse_sim.scenario import ExplainRow

US, SI = Units(True), Units(False)


def shown(table: Table) -> str:
    """The words of a table on one line."""
    page = io.StringIO()
    Console(file=page, width=100, color_system=None).print(table)
    return " ".join(page.getvalue().split())


def of_table(key: str, value: str, unit: str, origin: str = "catalogue") -> ExplainRow:
    return ExplainRow("heater", key, value, unit, origin, "a source")


@pytest.mark.parametrize(
    ("key", "value", "unit", "us", "si"),
    [
        # 1 kBtu/h = 293.07 W, 1 ft³ = 0.028317 m³, 1 lb/ft³ = 16.018 kg/m³ (NIST SP 811)
        ("output_max", "58614", "W", "200 kBtu/hr", "58600 W"),
        ("firebox_volume", "0.7079", "m^3", "25 ft^3", "0.708 m^3"),
        ("loading_density", "180", "kg/m^3", "11.2 lb/ft^3", "180 kg/m^3"),
        ("fire_below", "74", "degC", "165 degF", "74 degC"),
        ("rated_output", "200", "kBtu/hr", "200 kBtu/hr", "58.6 kW"),
        ("store_specific_heat", "4186.8", "J/kg/K", "1 Btu/lb/degF", "4190 J/kg/K"),
        ("rise", "9", "degF/hour", "9 degF/hour", "5 K/h"),
        ("pump_electric", "250", "W", "250 W", "250 W"),
        ("law", "full burn", "", "full burn", "full burn"),
        ("count", "1", "", "1", "1"),
    ],
)
def test_a_value_of_a_table_is_told_in_the_readers_units(
    key: str, value: str, unit: str, us: str, si: str
) -> None:
    assert in_reader_units(of_table(key, value, unit), US) == us
    assert in_reader_units(of_table(key, value, unit), SI) == si


def test_what_the_grower_wrote_stays_as_it_was_written() -> None:
    written = of_table("width", "9.14159", "m", "line 12")
    assert in_reader_units(written, US) == "9.14159 m"


@pytest.mark.parametrize(
    ("hours", "said"),
    [
        (0.0, "under 1 h"), (0.9, "under 1 h"), (1.0, "1 h"), (47.9, "47 h"), (48.0, "2.0 days"),
        (239.9, "9.9 days"), (263.9, "10 days"), (FULL_H, "14 days +"),
    ],
)  # fmt: skip
def test_a_time_is_never_told_longer_than_it_was(hours: float, said: str) -> None:
    assert lasts(hours) == said


def away_of(*safe_h: float) -> str:
    """The first line for one week with these safe hours in half, nine in ten, all winters."""
    from datetime import date

    from greenhouse_sim.report import away_words

    week = SimpleNamespace(
        first=date(2026, 1, 5), safe_h=safe_h, hurt_h=2.0, fire_h=3.0, looked_h=FULL_H
    )
    found: Any = SimpleNamespace(
        winters=("a", "b"), has_backup=False, heater="wood stove, large",
        own=SimpleNamespace(fire_out_h=np.array([3.0])),
    )  # fmt: skip
    with pytest.MonkeyPatch.context() as patch:
        patch.setattr(away_words, "weeks", lambda _: [week])
        return first_line(found, US)


def test_the_first_line_of_an_absence_tells_no_hours_where_there_are_none() -> None:
    assert away_of(0.0, 0.0, 0.0) == (
        "wood stove, large, no back-up: leave it to nobody in the week of 5 January: the crop can "
        "be hurt within the hour; the fire lasts 3 h"
    )
    assert "for 6 h in half of winters, under 1 h in every winter; the" in away_of(6.4, 0.2, 0.0)
    assert "for 6 h in half of winters, 5 h in 9 in 10 winters, 4 h in every" in away_of(6, 5, 4)


@pytest.mark.parametrize(
    ("kg", "us", "si"),
    [(30.0, "66 lb", "30 kg"), (103.9, "230 lb", "100 kg"), (2.0, "4.4 lb", "2.0 kg")],
)
def test_a_load_has_two_digits(kg: float, us: str, si: str) -> None:
    assert (amount(kg, US), amount(kg, SI)) == (us, si)


def test_shares_of_winters_are_told_in_winters() -> None:
    assert [share_name(one) for one in (0.5, 0.8, 0.9, None)] == [
        "half", "8 in 10", "9 in 10", "the worst",
    ]  # fmt: skip


def test_money_by_area_and_without_cents_that_say_nothing() -> None:
    """A square metre is 10.764 ft² (0.3048 m a foot)."""
    assert by_area(0.25, US) == "$0.25 a square foot"
    assert by_area(0.25, SI) == "$2.69 a square metre"
    assert number(0.0, "1/hour") == "$0"
    assert number(2.4, "1/gal") == "$2.40"


@pytest.mark.parametrize(
    ("heater", "kg", "us", "si"),
    [
        # a short ton is 907.185 kg; propane: 4.23 lb (1.919 kg) a gallon, 0.507 kg a litre
        ("pellet stove", 2721.55, "3.0 tons", "2.7 t"),
        ("propane heater", 1919.0, "1000 gal", "3790 L"),
        ("electric heater", 0.0, "4000 kWh", "4000 kWh"),
    ],
)
def test_a_study_tells_fuel_as_it_is_bought(heater: str, kg: float, us: str, si: str) -> None:
    rows = {
        name: np.array([value, value])
        for name, value in (
            ("cords", np.nan), ("fuel_kg", kg), ("fuel_energy_kWh", 4000.0),
            ("night_wakeups", 1.0), ("hours_below_setpoint", 2.0), ("lowest_air_C", 0.0),
            ("hours_below_damage", 0.0),
        )
    }  # fmt: skip
    assert us in shown(study_table({heater: rows}, US, -3.0))
    assert si in shown(study_table({heater: rows}, SI, -3.0))
