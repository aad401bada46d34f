"""Heaters by what they cost, and what would change the decision, in tables."""

from __future__ import annotations

from collections.abc import Sequence
from typing import TYPE_CHECKING

from greenhouse_sim.plans.cost_lines import BACKUP, BOUGHT, CURRENT, FUEL, WORK
from greenhouse_sim.plans.money import Cost, Money
from greenhouse_sim.plans.switch import Switch
from greenhouse_sim.report.dollars import back, dollars, priced, rough
from greenhouse_sim.report.words import whole

if TYPE_CHECKING:
    from rich.table import Table

TIGHT = 0


def costs_table(found: Money) -> Table:
    """One row a heater, cheapest first; those that do not do their work below, faint."""
    from rich import box
    from rich.table import Table

    table = Table(
        title=_title(found), title_justify="left", title_style="bold", box=box.SIMPLE_HEAD,
        padding=TIGHT, show_edge=False,
    )  # fmt: skip
    table.add_column("Heater", width=22)
    for head, width in (
        ("To buy", 8), ("A year", 13), ("of it bought", 7), ("fuel", 7), ("Own hours", 6),
        ("work", 8), ("Hours cold", 6), ("Crop lost", 5), ("Paid back, years", 8),
        (f"Net in {found.years} years", 9),
    ):  # fmt: skip
        table.add_column(head, justify="right", width=width)
    told = ordered(found)
    for number, cost in enumerate(told, start=1):
        ends = 0 < number == len(found.doing) < len(told)
        style = "" if cost in found.doing else "dim"
        table.add_row(*_row(found, cost), style=style, end_section=ends)
    return table


def _title(found: Money) -> str:
    winters = found.costs[0].winters
    of = f": mean of {winters} winters" if winters > 1 else ""
    return f"What heaters cost, dollars, held against {found.baseline}{of}"


def ordered(found: Money) -> list[Cost]:
    """Those that do their work first, each group by its yearly cost, unknown last."""
    big = float("inf")

    def place(cost: Cost) -> tuple[bool, float]:
        return cost not in found.doing, big if cost.yearly is None else cost.yearly

    return sorted(found.costs, key=place)


def _row(found: Money, cost: Cost) -> list[str]:
    held = next((one for one in found.against if one.heater == cost.heater), None)
    if cost not in found.doing:
        held = None  # money saved by losing the crop is not told
    name = f"{cost.heater} (baseline)" if cost.heater == found.baseline else cost.heater
    spread = cost.range
    year = rough(cost.yearly)
    if spread is not None:
        year += f"\n[dim]{rough(spread[0])}-{rough(spread[1])[1:]}[/dim]"
    return [
        name,
        rough(cost.first),
        year,
        rough(cost.of(BOUGHT)),
        rough(cost.of(FUEL) + cost.of(CURRENT) + cost.of(BACKUP)),
        whole(cost.hours),
        rough(cost.of(WORK)),
        whole(cost.cold_hours),
        f"{cost.lost}/{cost.winters}",
        "" if held is None else back(held.extra, held.payback),
        "" if held is None else rough(held.net),
    ]


def switch_table(switches: Sequence[Switch], best: str) -> Table:
    """One row an unknown: where another heater becomes the cheaper one."""
    from rich import box
    from rich.table import Table

    table = Table(
        title=f"What would change the decision for {best}", title_justify="left",
        title_style="bold", box=box.SIMPLE_HEAD, padding=TIGHT, show_edge=False,
    )  # fmt: skip
    for head, width in (
        ("Unknown", 24), ("Taken here", 23), ("It may be", 15), ("Another is cheaper", 35),
    ):  # fmt: skip
        table.add_column(head, width=width)
    for one in switches:
        turns = [("under", one.below), ("over", one.above)]
        said = [f"{word} {number(turn[0], one.unit)}: {turn[1]}" for word, turn in turns if turn]
        text = "\n".join(said) or "at no value tried"
        table.add_row(
            name(one), _with_unit(one.now, one.unit),
            f"{number(one.low, one.unit)} to {number(one.high, one.unit)}",
            f"[bold]* {text}[/bold]" if one.within else text,
        )  # fmt: skip
    return table


def name(one: Switch) -> str:
    """An unknown in words."""
    words = {
        "wood": "price of bought wood", "own_wood": "outlay for own wood",
        "pellets": "price of pellets", "propane": "price of propane",
        "electricity": "price of electricity", "compost": "price of chips",
        "wage": "worth of an own hour",
    }  # fmt: skip
    return words.get(one.what, one.what)


def number(value: float, unit: str) -> str:
    """A value without its unit's words."""
    if unit == "share":
        return f"{100.0 * value:.0f} %"
    if unit == "dollars":
        return dollars(value)
    if unit.startswith("1/"):
        return "$0" if value == 0.0 else priced(value, unit).split(" ")[0]
    return f"{value:.1f}"


def _with_unit(value: float, unit: str) -> str:
    if unit.startswith("1/"):
        return priced(value, unit)
    return number(value, unit) if unit in ("share", "dollars") else f"{value:.1f} {unit}"
