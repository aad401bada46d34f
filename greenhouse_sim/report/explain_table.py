"""The table of every value in force in a scenario."""

from __future__ import annotations

from collections.abc import Iterable
from pathlib import Path
from typing import TYPE_CHECKING

from greenhouse_sim.report.explain_units import in_reader_units
from greenhouse_sim.report.words import Units
from greenhouse_sim.scenario import ExplainRow

if TYPE_CHECKING:
    from rich.table import Table


def explain_table(
    rows: Iterable[ExplainRow], path: str | None = None, units: Units | None = None
) -> Table:
    """Key, value with unit, where it comes from and its source, section by section.

    Parameters
    ----------
    rows
        Of `greenhouse_sim.scenario.explain`.
    path
        The scenario's file, to name in the title.
    units
        In which values of the tables are told; US where absent. What the file says stands as it
        is written there.
    """
    from rich import box
    from rich.table import Table
    from rich.text import Text

    name = Path(path).name if path else "the scenario"
    table = Table(
        title=f"Every value in force in {name}", title_justify="left", title_style="bold",
        box=box.SIMPLE_HEAD, padding=(0, 1, 0, 0), show_edge=False,
    )  # fmt: skip
    table.add_column("Key", max_width=26, overflow="fold")
    table.add_column("Value", max_width=30, overflow="fold")
    table.add_column("From", max_width=10)
    table.add_column("Source", ratio=1, overflow="fold", style="dim")
    section = ""
    for row in rows:
        if row.section != section:
            section = row.section
            table.add_section()
            table.add_row(Text(f"[{section}]", style="bold"))
        value = in_reader_units(row, units or Units())
        given = row.origin.startswith("line")
        table.add_row(
            Text(f"  {row.key}"), Text(value, style="bold" if given else ""), row.origin,
            Text(row.source),
        )  # fmt: skip
    return table
