"""Absences: how long the greenhouse goes well with nobody there."""

from __future__ import annotations

from greenhouse_sim.report import away_table as table
from greenhouse_sim.report.away_words import first_line, notes
from greenhouse_sim.report.charts.away_calendar import away_calendar
from greenhouse_sim.report.page.draw import picture
from greenhouse_sim.report.page.findings import Findings
from greenhouse_sim.report.page.parts import Section, lead, noted, section
from greenhouse_sim.report.page.sheet import sheet


def away(found: Findings) -> Section | None:
    """What happens if nobody comes; None for a heater that gives all that is needed."""
    asked, units = found.absence, found.units
    if asked is None:
        return None
    first = f"{first_line(asked, units)}."
    return section(
        "away",
        "Left alone",
        lead(first),
        sheet(table.week_table(asked, units)),
        picture(
            "away",
            away_calendar(asked),
            "A column an evening of departure, a row a winter; the stronger the colour, the sooner "
            f"the crop is hurt. {first}",
        ),
        sheet(table.help_table(asked, units)),
        sheet(table.fuel_table(asked, units)),
        sheet(table.alarm_table(asked, units)),
        noted(*notes(asked, units)),
    )
