"""Hours of work by task and month."""

from __future__ import annotations

from typing import TYPE_CHECKING

from greenhouse_sim.plans.labour import AFTER, BEFORE, ORDER
from greenhouse_sim.report.season_tables import month_name
from greenhouse_sim.report.spread import spread
from greenhouse_sim.report.woodpile_table import grid
from greenhouse_sim.report.words import few

if TYPE_CHECKING:
    from collections.abc import Sequence

    from rich.table import Table

    from greenhouse_sim.plans.labour import Work

MOST_COLUMNS = 10
"""More months than this are told in the files only."""


def months_of(work: Sequence[Work]) -> list[str]:
    """Columns: before the season, its months as "01", after it."""
    names = dict.fromkeys(span.name[5:] for span in work[0].months)
    return [BEFORE, *names, AFTER]


def cells(work: Sequence[Work], task: str) -> dict[str, float]:
    """Hours of a task by column, the middle of the winters, and "all"."""
    rows = []
    for one in work:
        row = dict.fromkeys(months_of(work), 0.0)
        for name, hours in one.by_month(task).items():
            row[name if name in (BEFORE, AFTER) else name[5:]] += hours
        rows.append(row)
    found = {name: spread([row[name] for row in rows]).median for name in months_of(work)}
    return found | {"all": spread([one.hours(task) for one in work]).median}


def labour_table(work: Sequence[Work]) -> Table:
    """Tasks by month, hours, the middle of the winters each."""
    many = f", the middle of {len(work)} winters each" if len(work) > 1 else ""
    table = grid(f"Hours of work{many}")
    table.padding = (0, 0, 0, 1)
    done = [task for task in ORDER if any(task in one.tasks for one in work)]
    found = {task: cells(work, task) for task in done}
    heads = [name for name in [*months_of(work), "all"] if _used(found, name)]
    if len(heads) > MOST_COLUMNS:
        heads = [BEFORE, "all"]
    table.add_column("")
    for head in heads:
        table.add_column(head if len(head) > 2 else month_name(head)[:3], justify="right")
    for task in done:
        table.add_row(task, *(_hours(found[task][head]) for head in heads))
    return table


def _hours(hours: float) -> str:
    return few(hours) if hours >= 0.05 else ""


def _used(found: dict[str, dict[str, float]], name: str) -> bool:
    return name not in (BEFORE, AFTER) or any(row[name] > 0.0 for row in found.values())
