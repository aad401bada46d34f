"""Whether winter heat pays, in tables."""

from __future__ import annotations

import math
from typing import TYPE_CHECKING

from greenhouse_sim.heater.catalogue import burns
from greenhouse_sim.plans.worth import Held, Worth
from greenhouse_sim.report.dollars import by_area, rough
from greenhouse_sim.report.fuel_words import gallons
from greenhouse_sim.report.words import Units, few, whole
from greenhouse_sim.units import CORD_M3, SHORT_TON_KG

if TYPE_CHECKING:
    from rich.table import Table

DEGREE_US_K = 5.0 / 9.0


def setpoint_table(found: Worth, units: Units) -> Table:
    """One row a setpoint: what its heat costs, what the crop brings, what each degree more does."""
    from rich import box
    from rich.table import Table

    many = len(found.winters)
    of = f", mean of {many} winters" if many > 1 else f", winter {found.winters[0]}"
    table = Table(
        title=f"Heat by setpoint{of}, dollars", title_justify="left", title_style="bold",
        box=box.SIMPLE_HEAD, padding=0, show_edge=False,
    )  # fmt: skip
    table.add_column(f"Night / day, {units.degree}", width=24)
    for head, width in (
        (f"Fuel, {_measure(found, units)[0]}", 9), ("Times up", 7),
        ("Crop lost, winters", 9), ("Heat costs", 9),
        (f"each {units.degree} more", 9), ("Crop brings", 9), (f"each {units.degree} more", 9),
        ("Left", 9),
    ):  # fmt: skip
        table.add_column(head, justify="right", width=width)
    before: Held | None = None
    for name, held in [("no heat", found.off), (_guard(found, units), found.guard)]:
        table.add_row(*_row(name, held, None, found, units))
    for place, held in enumerate(found.held):
        name = _pair(held, units) + (" (yours)" if place == found.own else "")
        row = _row(name, held, before, found, units)
        table.add_row(*row, style="bold" if held is found.best else "")
        before = held
    return table


def _measure(found: Worth, units: Units) -> tuple[str, float]:
    """Measure of the heater's fuel, and how much of it a kg is."""
    kind = burns(found.heater)
    if kind == "wood":
        own = found.held[found.own]
        per_kg = own.cords / own.fuel_kg if own.fuel_kg > 0.0 else 0.0
        return ("cords", per_kg) if units.us else ("m³ stacked", per_kg * CORD_M3)
    if kind == "propane":
        return ("gal", gallons(1.0)) if units.us else ("kg", 1.0)
    return ("tons", 1.0 / SHORT_TON_KG) if units.us else ("t", 0.001)


def _pair(held: Held, units: Units) -> str:
    assert held.night_C is not None and held.day_C is not None
    return f"{units.degrees(held.night_C):.0f} / {units.degrees(held.day_C):.0f}"


def _guard(found: Worth, units: Units) -> str:
    assert found.guard.night_C is not None
    return f"{units.degrees(found.guard.night_C):.0f}: the crop alive"


def _row(name: str, held: Held, before: Held | None, found: Worth, units: Units) -> list[str]:
    fuel = _measure(found, units)[1] * held.fuel_kg
    cost_more = brings_more = ""
    if before is not None and held.night_C is not None and before.night_C is not None:
        degrees = (held.night_C - before.night_C) / (DEGREE_US_K if units.us else 1.0)
        cost_more = rough((held.cost - before.cost) / degrees)
        if held.brings is not None and before.brings is not None:
            brings_more = rough((held.brings - before.brings) / degrees)
    lost = round(held.lost * len(found.winters))
    return [
        name, few(fuel), whole(held.wakeups), f"{lost} of {len(found.winters)}",
        rough(held.cost), cost_more, "?" if held.brings is None else rough(held.brings),
        brings_more, "?" if held.margin is None else rough(held.margin),
    ]  # fmt: skip


def week_table(found: Worth, units: Units) -> Table:
    """One row a week: holding the setpoint against only keeping the crop alive."""
    from rich import box
    from rich.table import Table

    table = Table(
        title="Week by week: your setpoint against only keeping the crop alive, dollars",
        title_justify="left", title_style="bold", box=box.SIMPLE_HEAD, padding=0, show_edge=False,
    )  # fmt: skip
    area = "square foot" if units.us else "square metre"
    table.add_column("Week from", width=14)
    for head, width in (
        ("Heat costs more", 12), ("Crop brings more", 12), ("", 10),
        (f"Pays if a {area} brings over, a week", 24),
    ):  # fmt: skip
        table.add_column(head, justify="right", width=width)
    for week in found.weeks:
        said = "" if week.pays is None else ("pays" if week.pays else "no")
        table.add_row(
            f"{week.first.day} {week.first:%B}",
            rough(week.cost),
            "?" if week.brings is None else rough(week.brings),
            said,
            "nothing does"
            if math.isinf(week.needed)
            else by_area(week.needed, units).split(" ")[0],
        )
    return table
