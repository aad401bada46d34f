"""Sizes in a table."""

from __future__ import annotations

from typing import TYPE_CHECKING

from greenhouse_sim.plans.parts import COUNT
from greenhouse_sim.plans.sizing import Sized, Target, Tried
from greenhouse_sim.report.size_words import size_text
from greenhouse_sim.report.woodpile_table import grid
from greenhouse_sim.report.words import Units, whole

if TYPE_CHECKING:
    from rich.table import Table


def size_table(one: Sized, target: Target, winters: int, units: Units) -> Table:
    """The standard sizes of one part, with the smallest and today's among them."""
    name = "How many" if one.part.key == COUNT else one.part.name.capitalize()
    table = grid(f"{name}, all else as it is")
    table.add_column("Size", justify="right")
    table.add_column("", no_wrap=True)
    table.add_column(f"winters of {winters} that keep it", justify="right")
    of = "" if winters == 1 else f", {target.winters(winters)} of {winters} winters"
    table.add_column(f"times up{of}", justify="right")
    table.add_column(f"hours below setpoint{of}", justify="right")
    for tried, mark in rows(one):
        style = "bold" if tried.enough else ""
        table.add_row(
            size_text(one.part, tried.size, units), mark, str(tried.kept), whole(tried.wakeups),
            whole(tried.cold_h), style=style,
        )  # fmt: skip
    return table


def rows(one: Sized) -> list[tuple[Tried, str]]:
    """Sizes in order, and what each is."""
    found: dict[float, tuple[Tried, list[str]]] = {}
    marked = [(one.now, "now")]
    if one.smallest is not None:
        marked.append((one.smallest, "smallest"))
    elif one.best in one.standard:
        marked.append((one.best, "best reachable"))
    for tried, mark in [*marked, *((tried, "") for tried in one.standard)]:
        same = next((size for size in found if abs(size / tried.size - 1.0) < 1e-3), tried.size)
        words = found.setdefault(same, (tried, []))[1]
        if mark:
            words.append(mark)
    return [(tried, ", ".join(words)) for _, (tried, words) in sorted(found.items())]
