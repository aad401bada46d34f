"""Wood, and the calendar of work."""

from __future__ import annotations

from greenhouse_sim.report import woodpile_words as words
from greenhouse_sim.report.charts.pile import pile_left
from greenhouse_sim.report.labour_table import labour_table
from greenhouse_sim.report.page.draw import picture
from greenhouse_sim.report.page.findings import Findings
from greenhouse_sim.report.page.parts import Section, Sheet, lead, noted, plain, section
from greenhouse_sim.report.page.sheet import sheet
from greenhouse_sim.report.woodpile_table import left_table, ready_table, wet_table, woods_table


def wood(found: Findings) -> Section | None:
    """What to have ready, by when, and the hours of work; None where nothing is laid in."""
    pile, units = found.woodpile, found.units
    if pile is None:
        return None
    first = f"{words.first_line(pile, units)}."
    laid = bool(pile.ready)
    tables: list[Sheet] = []
    if laid and pile.kind == "wood":
        tables = [sheet(woods_table(pile, units)), sheet(wet_table(pile, units))]
    return section(
        "wood",
        f"{pile.fuel.name.capitalize()} and the work with it",
        lead(first),
        sheet(ready_table(pile, units)) if laid else None,
        picture(
            "pile",
            pile_left(pile, units),
            f"What is left of the pile from the first day of the season to the last, and how much "
            f"must be left for the rest to last. {first} {words.rule_line(pile)}",
        ),
        sheet(left_table(pile, units)) if laid else None,
        plain(words.rule_line(pile) if laid else ""),
        *tables,
        sheet(labour_table(pile.work), "Calendar of work: " + _title(len(pile.work))),
        plain(words.work_line(pile)),
        noted(*words.notes(pile, units)),
    )


def _title(winters: int) -> str:
    return "hours" + (f", the middle of {winters} winters each" if winters > 1 else "")
