"""Tables: what stands in them, and that they fit the page."""

from __future__ import annotations

import io
from collections.abc import Callable, Sequence

import pytest
from rich.console import Console
from rich.table import Table

from greenhouse_sim.plans.compare import Comparison
from greenhouse_sim.report.compare_table import compare_table
from greenhouse_sim.report.explain_table import explain_table
from greenhouse_sim.report.season_tables import (
    balance_table,
    cause_table,
    month_table,
    season_table,
)
from greenhouse_sim.report.words import Units
from greenhouse_sim.scenario import demo_path, explain, read_scenario
from greenhouse_sim.season.run import Season

Make = Callable[..., Season]
UNITS = [Units(True), Units(False)]
DAMAGE_C = -3.0


def text_of(table: Table, width: int = 100) -> str:
    """The table as plain text; no line may be wider than the page."""
    page = io.StringIO()
    Console(file=page, width=width, color_system=None).print(table)
    text = page.getvalue()
    assert max(len(line.rstrip()) for line in text.splitlines()) <= width
    assert "…" not in text
    return text


def several(season_of: Make) -> Comparison:
    """Three heaters by three winters; only the stove hurts the crop."""
    kinds = [
        ("wood stove, large", "red oak", 200),
        ("rocket mass heater, medium", "red oak", 1800),
        ("pellet stove", "pellets", 0),
        ("propane heater", "propane", 0),
        ("electric heater", "electricity", 0),
    ]
    return Comparison(
        tuple(
            season_of(heater, f"winter_{n}", fuel, 9000.0 + 800.0 * n, 30 + 9 * n, hurt)
            for heater, fuel, hurt in kinds
            for n in range(3)
        )
    )


def line_of(text: str, start: str) -> str:
    """The line that begins so."""
    return next(line for line in text.splitlines() if line.strip().startswith(start))


@pytest.mark.parametrize("units", UNITS)
@pytest.mark.parametrize("winters", [1, 3, 4, 9])
def test_season_tables_fit_and_add_up(season_of: Make, units: Units, winters: int) -> None:
    rows = [season_of(winter=f"tamarack_flats_{n}", damage_h=n).ledger for n in range(winters)]
    text = text_of(season_table(rows, units, DAMAGE_C))
    assert "Times up at night" in text
    assert ("HURT 1" in text) == (winters > 1)
    months = month_table(rows, units)
    assert months is not None
    assert "January" in text_of(months)
    assert line_of(text_of(cause_table(rows)), "all").split()[1:] == ["14"] * min(
        winters, 3 if winters > 4 else 4
    )
    assert "in: sun taken up" in text_of(balance_table(rows, units))


def test_causes_that_never_came_are_left_out(season_of: Make) -> None:
    text = text_of(cause_table([season_of().ledger]))
    assert "fire out" in text
    assert "asleep" in text
    assert "no power" not in text


def test_electricity_has_no_table_of_months(season_of: Make) -> None:
    row = season_of(heater="electric heater", fuel="electricity").ledger
    assert month_table([row], Units(True)) is None


@pytest.mark.parametrize("units", UNITS)
@pytest.mark.parametrize("width", [80, 100])
def test_comparison_fits_and_marks_a_hurt_crop_in_words(
    season_of: Make, units: Units, width: int
) -> None:
    result = several(season_of)
    text = text_of(compare_table(result, units, DAMAGE_C, width), width)
    assert "HURT 200" in line_of(text, "wood stove")
    assert "HURT 1800" in line_of(text, "rocket mass")
    assert "HURT" not in line_of(text, "pellet stove")
    assert "32-46" in text  # of 30, 39, 48: 31.8 and 46.2
    assert ("°F" in text) == units.us
    assert ("gal" in text) == units.us
    assert ("Nights" in text) == (width == 100)


def test_one_winter_has_no_ranges(season_of: Make) -> None:
    rows: Sequence[Season] = (season_of(),)
    text = text_of(compare_table(Comparison(tuple(rows)), Units(True), DAMAGE_C))
    assert len([line for line in text.splitlines() if line.strip()]) == 6


@pytest.mark.parametrize("width", [80, 100])
def test_explain_shows_values_lines_and_sources(width: int) -> None:
    scenario = read_scenario(demo_path())
    text = text_of(explain_table(explain(scenario), scenario.path), width)
    assert "[greenhouse]" in text
    assert "30 ft" in line_of(text, "width")
    assert "line " in line_of(text, "width")
    assert "default" in line_of(text, "structure_share")
