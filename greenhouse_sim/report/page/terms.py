"""The words of the page, from the glossary of the ledger."""

from __future__ import annotations

from greenhouse_sim.report.glossary import glossary
from greenhouse_sim.report.page.findings import Findings
from greenhouse_sim.report.page.parts import Section, plain, section
from greenhouse_sim.report.page.sheet import sheet
from greenhouse_sim.report.woodpile_table import grid


def terms(found: Findings) -> Section:
    """What each quantity means, in which unit."""
    from rich.text import Text

    table = grid("Words and units")
    for head in ("Name", "Unit in reports", "Unit in files", "Meaning"):
        table.add_column(head)
    for entry in glossary().values():
        told = entry.us_unit if found.units.us else entry.unit
        name = Text(entry.key.replace("_", " "))
        table.add_row(name, Text(told), Text(entry.unit), Text(entry.meaning))
    return section(
        "glossary",
        "Glossary",
        plain("What the program means by its words, and by the keys of its files."),
        sheet(table),
    )
