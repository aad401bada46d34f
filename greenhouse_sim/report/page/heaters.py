"""The heaters side by side."""

from __future__ import annotations

from greenhouse_sim.report.charts.bars import comparison_bars
from greenhouse_sim.report.compare_table import compare_table
from greenhouse_sim.report.page.answer import crop_line, keepers_line
from greenhouse_sim.report.page.draw import picture
from greenhouse_sim.report.page.findings import Findings
from greenhouse_sim.report.page.parts import Section, noted, section
from greenhouse_sim.report.page.sheet import sheet
from greenhouse_sim.report.reading import compare_notes


def heaters(found: Findings) -> Section:
    """The table of the comparison, and its bars."""
    damage = found.scenario.crop.damage_below
    result, units = found.comparison, found.units
    return section(
        "heaters",
        "Heaters side by side",
        sheet(compare_table(result, units, damage)),
        picture(
            "heaters",
            comparison_bars(result, damage, units),
            "A row of bars a heater: share of the heat needed, times up at night, hours below "
            f"setpoint, hours of crop damage. {keepers_line(found)} {crop_line(found)} The table "
            "above holds every number.",
        ),
        noted(*compare_notes(units, damage)),
    )
