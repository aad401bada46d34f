"""The table of heaters side by side."""

from __future__ import annotations

from collections.abc import Callable, Mapping, Sequence
from typing import TYPE_CHECKING, Any, NamedTuple

from greenhouse_sim.report.fuel_words import amount, kind_of, measure
from greenhouse_sim.report.season_tables import HURT, hurt, share_of_need
from greenhouse_sim.report.spread import Spread, spread
from greenhouse_sim.report.words import Units, few, whole

if TYPE_CHECKING:
    from rich.table import Table

    from greenhouse_sim.plans.compare import Comparison

Row = Mapping[str, Any]
WIDE = 100
"""Columns of a terminal that take the whole table; on narrower ones names are broken."""


class Column(NamedTuple):
    """A column: its head, and what it says of one heater's winters."""

    head: str
    cell: Callable[[Sequence[Row]], str]
    width: int
    wide_only: bool = False


def compare_table(result: Comparison, units: Units, damage_C: float, width: int = 100) -> Table:
    """One row a heater: the middle of its winters, and under it the 10th to 90th percentile.

    Parameters
    ----------
    result
        Heaters by winters.
    units
        The reader's units.
    damage_C
        The crop's damage temperature.
    width
        Columns of text there is room for; under 100 names are broken and nights left out.
    """
    from rich import box
    from rich.table import Table

    columns = [
        column for column in _columns(units, damage_C) if width >= WIDE or not column.wide_only
    ]
    table = Table(
        title=title(result), title_justify="left", title_style="bold", box=box.SIMPLE_HEAD,
        padding=0, show_edge=False,
    )  # fmt: skip
    table.add_column("Heater", width=26 if width >= WIDE else 14)
    for column in columns:
        table.add_column(column.head, justify="right", width=column.width)
    for heater in result.heaters:
        rows = [season.ledger for season in result.of(heater)]
        table.add_row(heater, *(column.cell(rows) for column in columns))
    return table


def title(result: Comparison) -> str:
    """What the table holds."""
    many = len(result.winters)
    if many == 1:
        return f"Heaters side by side, winter {result.winters[0]}"
    return f"Heaters side by side, {many} winters: the middle one, under it 10 to 90 % of them"


def _columns(units: Units, damage_C: float) -> list[Column]:
    damage = f"Hours\nunder\n{units.temperature(damage_C)}"
    return [
        Column("Fuel", lambda rows: _fuel(rows, units), 13),
        Column("Times up", _of("night_wakeups"), 8),
        Column("Nights woken", _middle("nights_with_wakeup"), 6, wide_only=True),
        Column("Work h", _middle("labour_hours"), 5),
        Column("Share of need", lambda rows: f"{whole(_spread(rows, share_of_need).median)} %", 5),
        Column("Hours below setpoint", _of("hours_below_setpoint"), 9),
        Column(f"Coldest {units.degree}", lambda rows: _coldest(rows, units), 10),
        Column(damage, _damage, 9),
    ]


def _spread(rows: Sequence[Row], value: Callable[[Row], float]) -> Spread:
    return spread([value(row) for row in rows])


def _two(found: Spread, write: Callable[[float], str], word: str = "") -> str:
    """The middle, and under it the range in a fainter hand."""
    first = f"{found.middle(write)} {word}".rstrip()
    below = found.range(write)
    return f"{first}\n[dim]{below}[/dim]" if below else first


def _of(key: str) -> Callable[[Sequence[Row]], str]:
    return lambda rows: _two(_spread(rows, lambda row: float(row[key])), whole)


def _fuel(rows: Sequence[Row], units: Units) -> str:
    unit = measure(rows[0], units).unit
    if kind_of(rows[0]) == "none":
        return "none"
    return _two(_spread(rows, lambda row: amount(row, units)), few, unit)


def _middle(key: str) -> Callable[[Sequence[Row]], str]:
    return lambda rows: whole(_spread(rows, lambda row: float(row[key])).median)


def _coldest(rows: Sequence[Row], units: Units) -> str:
    found = _spread(rows, lambda row: units.degrees(row["lowest_air_C"]))
    return _two(found, lambda value: f"{round(value) + 0:d}")


def _damage(rows: Sequence[Row]) -> str:
    found = _spread(rows, lambda row: float(row["hours_below_damage"]))
    below = found.range(whole)
    first = hurt(found.median)
    if first == "0" and any(row["hours_below_damage"] >= 0.5 for row in rows):
        first = f"{HURT} 0"
    if first != "0":
        first = f"[bold red]{first}[/bold red]"
    return f"{first}\n[dim]{below}[/dim]" if below else first
