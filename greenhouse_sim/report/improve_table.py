"""Improvements in tables: alone, in the best order, and packages."""

from __future__ import annotations

from collections.abc import Sequence
from typing import TYPE_CHECKING

from greenhouse_sim.plans.improve import Improved
from greenhouse_sim.plans.invest import payback
from greenhouse_sim.plans.measures import Measure
from greenhouse_sim.plans.outcome import Farm, Outcome
from greenhouse_sim.report.dollars import back, rough
from greenhouse_sim.report.fuel_words import kind_of, measure
from greenhouse_sim.report.words import Units, few, whole
from greenhouse_sim.units import CORD_M3

if TYPE_CHECKING:
    from rich.table import Table


def fuel(farm: Farm, out: Outcome, units: Units) -> float:
    """Fuel of a winter in the measure it is bought in."""
    row = farm.ledger()
    kind = kind_of(row)
    if kind == "wood":
        return out.cords * (1.0 if units.us else CORD_M3)
    if kind in ("electricity", "none"):
        return out.fuel_kWh
    return measure(row, units).of(out.fuel_kg)


def unit(farm: Farm, units: Units) -> str:
    """Name of that measure."""
    return measure(farm.ledger(), units).unit


def alone_table(found: Improved, units: Units) -> Table:
    """One row a measure, applied alone; what saves most a year first."""
    many = len(found.winters)
    of = f"mean of {many} winters" if many > 1 else found.winters[0]
    table = _table(found, units, f"Each improvement alone, {of}")
    _row(table, found, units, "as it is", found.base, None, None)
    pairs = list(zip(found.fit, found.alone, strict=True))
    for one, out in sorted(pairs, key=lambda pair: pair[1].yearly):
        _row(table, found, units, one.name, out, found.base, one)
    return table


def order_table(found: Improved, units: Units) -> Table:
    """One row a step: what the farm comes to with all measures so far."""
    few_words = (
        f", mean of {len(found.places)} winters"
        if len(found.places) > 1
        else f", {found.winters[0]}"
        if len(found.winters) == 1
        else ", in one winter"
    )
    title = f"In the best order, each on top of those before it{few_words}"
    table = _table(found, units, title)
    before = found.base_few
    _row(table, found, units, "as it is", before, None, None)
    for number, step in enumerate(found.order, start=1):
        one = found.farm.fit[step.name]
        _row(table, found, units, f"{number}. {step.name}", step.outcome, before, one)
        before = step.outcome
    return table


def _table(found: Improved, units: Units, title: str) -> Table:
    from rich import box
    from rich.table import Table

    table = Table(
        title=title, title_justify="left", title_style="bold", box=box.SIMPLE_HEAD, padding=0,
        show_edge=False,
    )  # fmt: skip
    table.add_column("Improvement", width=25)
    for head, width in (
        ("To buy", 13), (f"Fuel, {unit(found.farm, units)}", 9), ("Fuel saved", 7),
        ("Times up", 6), ("Hours cold", 6), ("Crop lost", 6), ("A year", 8), ("less by", 8),
        ("Paid back, years", 10),
    ):  # fmt: skip
        table.add_column(head, justify="right", width=width)
    return table


def _row(
    table: Table, found: Improved, units: Units, name: str, out: Outcome, before: Outcome | None,
    one: Measure | None,
) -> None:  # fmt: skip
    used = fuel(found.farm, out, units)
    cells = [name, "", few(used), "", whole(out.wakeups), whole(out.cold_hours)]
    winters = len(found.winters) if out in (found.base, *found.alone) else len(found.places)
    cells += [f"{out.lost}/{winters}", rough(out.yearly), "", ""]
    if before is not None and one is not None:
        had = fuel(found.farm, before, units)
        cells[1] = cost_range(one)
        cells[3] = f"{round(100.0 * (1.0 - used / had)) + 0:d} %" if had > 0.0 else ""
        cells[8] = rough(before.yearly - out.yearly)
        cells[9] = back(one.cost.value, payback(one.cost.value, before.spent - out.spent))
    table.add_row(*cells)


def cost_range(one: Measure) -> str:
    """What a measure costs, low to high: "$60-500"."""
    low, high = rough(one.cost.low), rough(one.cost.high)
    return low if low == high else f"{low}-{high[1:]}"


def front_table(found: Improved, outcomes: Sequence[Outcome], units: Units) -> Table:
    """A row a package that no other beats in both cost and wake-ups; lettered as in the picture."""
    from rich import box
    from rich.table import Table

    table = Table(
        title="Cost against nights: packages that no other run beats in both", title_justify="left",
        title_style="bold", box=box.SIMPLE_HEAD, padding=0, show_edge=False,
    )  # fmt: skip
    for head, width, justify in (
        ("", 3, "left"), ("A year", 8, "right"), ("Times up", 6, "right"),
        ("Hours cold", 6, "right"), ("To buy", 8, "right"), (" Measures", 64, "left"),
    ):  # fmt: skip
        table.add_column(head, width=width, justify=justify)  # type: ignore[arg-type]
    for letter, out in zip(letters(len(outcomes)), outcomes, strict=True):
        table.add_row(
            letter, rough(out.yearly), few(out.wakeups), whole(out.cold_hours), rough(out.first),
            f" {named(out)}",
        )  # fmt: skip
    return table


def named(out: Outcome) -> str:
    """A package in words."""
    return ", ".join(out.names) or "the farm as it is"


def letters(many: int) -> list[str]:
    """A, B ... Z, A2, B2 ..."""
    names = [chr(ord("A") + i % 26) + (str(i // 26 + 1) if i >= 26 else "") for i in range(many)]
    return names
