"""A winter reviewed, in tables: plan against journal by month, and the causes."""

from __future__ import annotations

import math
from collections.abc import Callable, Sequence
from typing import TYPE_CHECKING

from greenhouse_sim.plans.review_runs import ORDER
from greenhouse_sim.report.fuel_words import Measure
from greenhouse_sim.report.season_tables import month_name
from greenhouse_sim.report.woodpile_table import grid
from greenhouse_sim.report.words import Units, few, whole
from greenhouse_sim.units import CORD_M3

if TYPE_CHECKING:
    from rich.table import Table

    from greenhouse_sim.plans.review import Review

CAUSES = {
    "weather": "weather",
    "wood": "wood",
    "house": "the house's heat loss",
    "habit": "habit",
}
"""Causes in words."""
LEAST, MOST_WITH_TENTHS = 0.05, 100.0


def measure_of(found: Review, units: Units) -> Measure:
    """How fuel is told: cords (stacked m³) of wood, tons of pellets."""
    if found.fuel.cord_kg:
        return Measure("cords", 1.0) if units.us else Measure("m³ stacked", CORD_M3)
    return Measure("tons" if units.us else "t", units.tons(1.0))


def fuel_text(value: float) -> str:
    """A winter's fuel with one decimal, so that what adds up can be seen to: "21.2"."""
    if abs(value) < LEAST:
        return "0"
    return f"{value:.1f}" if abs(value) < MOST_WITH_TENTHS else whole(value)


def signed(value: float, write: Callable[[float], str] = fuel_text) -> str:
    """A difference: "+1.3", "-0.4"; "0" where nothing is left of it."""
    text = write(abs(value))
    return "0" if float(text.replace(",", "")) == 0.0 else ("+" if value > 0.0 else "-") + text


def fuel_table(found: Review, units: Units) -> Table:
    """Fuel, loads and the coldest air by month."""
    unit = measure_of(found, units)
    book, plan, was = found.noted, found.plan, found.was
    table = grid(f"Fuel by month, {unit.unit}; loads; coldest air, {units.degree}")
    carried = book.carrying_noted
    heads = ["Month", "burnt, journal", "plan", "as it was", *(["carried in"] if carried else []),
             "loads, journal", "plan", "coldest read", "plan"]  # fmt: skip
    for head in heads:
        table.add_column(head, justify="left" if head == "Month" else "right")
    for place, month in enumerate(book.span.months):
        table.add_row(
            month_name(month[5:]),
            *(few(unit.of(float(one.fuel[place]))) for one in (book.months, plan, was)),
            *([few(unit.of(float(book.carried[place])))] if carried else []),
            *(whole(float(one.loads[place])) for one in (book.months, plan)),
            *(_degrees(float(one.coldest_C[place]), units) for one in (book.months, plan)),
        )
    fuel, loads = found.bridges["fuel"], found.bridges["loads"]
    coldest = [min(map(float, one.coldest_C), default=math.nan, key=_warm_if_unread)
               for one in (book.months, plan)]  # fmt: skip
    table.add_section()
    table.add_row(
        "winter",
        *(fuel_text(unit.of(one)) for one in (fuel.journal, fuel.plan, fuel.as_it_was)),
        *([fuel_text(unit.of(float(book.carried.sum())))] if carried else []),
        *(whole(one) for one in (loads.journal, loads.plan)),
        *(_degrees(one, units) for one in coldest),
    )
    return table


def _warm_if_unread(celsius: float) -> float:
    return math.inf if math.isnan(celsius) else celsius


def _degrees(celsius: float, units: Units) -> str:
    return "" if not math.isfinite(celsius) else f"{round(units.degrees(celsius)) + 0:d}"


def work_table(found: Review) -> Table:
    """Visits, nights up and hours of work by month."""
    table = grid("Visits, nights up and hours of work by month")
    table.add_column("Month")
    for name in ("visits", "nights up", "hours of work"):
        table.add_column(f"{name}, journal", justify="right")
        table.add_column("plan", justify="right")
    names = ("visits", "nights_up", "hours")
    for place, month in enumerate(found.noted.span.months):
        cells = [
            _plain(name)(float(getattr(one, name)[place]))
            for name in names
            for one in (found.noted.months, found.plan)
        ]
        table.add_row(month_name(month[5:]), *cells)
    table.add_section()
    sums = [
        _plain(name)(value)
        for name in names
        for value in (found.bridges[name].journal, found.bridges[name].plan)
    ]
    table.add_row("winter", *sums)
    return table


def _plain(name: str) -> Callable[[float], str]:
    """How a quantity is written: counts whole, hours as they are known."""
    return {"hours": few, "fuel": fuel_text}.get(name, whole)


def cause_table(found: Review, units: Units) -> Table:
    """From the plan to the journal, cause by cause."""
    unit = measure_of(found, units)
    table = grid("What the difference is due to")
    several = len(found.causes) > 1
    table.add_column("", no_wrap=True)
    table.add_column(f"fuel, {unit.unit}", justify="right", max_width=10)
    if several:
        table.add_column("least to most, by order", justify="right", max_width=16)
    for head in ("loads", "nights up", "hours of work"):
        table.add_column(head, justify="right", max_width=10)
    names = ("fuel", "loads", "nights_up", "hours")
    scale = {"fuel": unit.per_kg}

    def row(name: str, values: Sequence[str], span: str = "") -> None:
        table.add_row(name, values[0], *([span] if several else []), *values[1:])

    def sums(which: str) -> list[str]:
        return [
            _plain(name)(getattr(found.bridges[name], which) * scale.get(name, 1.0))
            for name in names
        ]

    row(_plan_name(found), sums("plan"))
    for cause in ORDER:
        if cause not in found.causes:
            known = "as planned" if cause in found.known else "not known"
            row(f"{CAUSES[cause]}: {known}", [""] * len(names))
            continue
        own = [
            next(one for one in found.bridges[name].causes if one.name == cause) for name in names
        ]
        cells = [
            signed(one.mean * scale.get(name, 1.0), _plain(name))
            for one, name in zip(own, names, strict=True)
        ]
        low, high = (signed(value * unit.per_kg) for value in (own[0].low, own[0].high))
        row(CAUSES[cause], cells, low if low == high else f"{low} to {high}")
    table.add_section()
    row("the season as it was", sums("as_it_was"))
    rests = [
        signed(found.bridges[name].rest * scale.get(name, 1.0), _plain(name)) for name in names
    ]
    row("not explained", rests)
    row("journal", sums("journal"))
    return table


def _plan_name(found: Review) -> str:
    if found.winters == 1:
        return "plan"
    return f"plan, middle of {found.winters} winters"
