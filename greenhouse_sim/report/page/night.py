"""Nights: what getting up is worth."""

from __future__ import annotations

from greenhouse_sim.report.charts.nights import night_calendar
from greenhouse_sim.report.nights_table import load_table, own_table, rule_words
from greenhouse_sim.report.nights_words import edge_lines, first_line, notes, worth_lines
from greenhouse_sim.report.page.draw import picture
from greenhouse_sim.report.page.findings import Findings
from greenhouse_sim.report.page.parts import Section, lead, listed, noted, section
from greenhouse_sim.report.page.sheet import sheet


def night(found: Findings) -> Section:
    """The scenario's own heater under every way to spend the night."""
    asked, units = found.nights, found.units
    ups = [one for one in asked.log if one.times_up]
    alarm = rule_words(asked.of(asked.heater)[1].rule, units)
    return section(
        "nights",
        "Nights",
        lead(f"{first_line(asked, units)}."),
        sheet(own_table(asked, units, found.scenario.crop.damage_below)),
        listed(*worth_lines(asked, units), *edge_lines(asked, units)),
        picture(
            "nights",
            night_calendar(asked, units),
            "A column a date, a row a winter: empty where all slept warm, the stronger the colour "
            f"the more often somebody got up by the {alarm}, and palest where it was "
            f"only below setpoint. Somebody is up in {len(ups)} of "
            f"{len(asked.log)} nights.",
        ),
        sheet(load_table(asked, units)),
        noted(*notes(asked)[-2:]),
    )
