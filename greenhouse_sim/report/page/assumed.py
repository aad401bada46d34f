"""What was assumed: every value in force, and where it comes from."""

from __future__ import annotations

from greenhouse_sim.report.explain_table import explain_table
from greenhouse_sim.report.page.findings import Findings
from greenhouse_sim.report.page.parts import Section, plain, section
from greenhouse_sim.report.page.sheet import sheet
from greenhouse_sim.scenario import explain


def assumed(found: Findings) -> Section:
    """The rows of `explain`."""
    rows = explain(found.scenario)
    own = sum(row.origin.startswith("line") for row in rows)
    return section(
        "assumed",
        "What was assumed",
        plain(
            f"{own} of {len(rows)} values are the grower's own (bold: with the line of the file); "
            "the rest are the program's defaults and its catalogue, each with its source. A value "
            "that is wrong for this farm can be written into the file, and the page made anew."
        ),
        sheet(explain_table(rows, found.scenario.path, found.units)),
    )
