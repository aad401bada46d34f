"""What can be decided without a price: who needs less of everything, and what fuels are worth."""

from __future__ import annotations

from typing import NamedTuple

from greenhouse_sim.plans.cost_lines import BOUGHT, Line
from greenhouse_sim.plans.money import Cost, Money


class Beaten(NamedTuple):
    """A heater that runs dearer than another at any prices."""

    heater: str
    by: str


class Worth(NamedTuple):
    """What a unit of one fuel is worth in another: prices at which fuels cost the same."""

    heater: str
    fuel: str
    unit: str
    other: str
    other_fuel: str
    other_unit: str
    ratio: float
    """Units of the other fuel that do the work of one of this."""


def needs(cost: Cost) -> dict[str, float]:
    """What a heater takes in a year, by price (own hours among them)."""
    found: dict[str, float] = {}
    for line in cost.lines:
        if line.kind != BOUGHT and line.key and line.key != "crop_value":
            found[line.key] = found.get(line.key, 0.0) + line.quantity
    return found


def beaten(found: Money) -> tuple[Beaten, ...]:
    """Heaters of the fit that take no less of anything than another, and more of something."""
    doing = found.doing
    answer = []
    for one in doing:
        for other in doing:
            if other is not one and _no_more(other, one):
                answer.append(Beaten(one.heater, other.heater))
                break
    return tuple(answer)


def _no_more(less: Cost, more: Cost) -> bool:
    a, b = needs(less), needs(more)
    soft = less.wakeups <= more.wakeups and less.cold_hours <= more.cold_hours
    return soft and all(a[key] <= b.get(key, 0.0) for key in a) and a != b


def worth(found: Money) -> tuple[Worth, ...]:
    """The thriftiest heater of each fuel against the baseline's fuel."""
    base = found.cost(found.baseline)
    own = _main(base)
    if own is None or base not in found.doing:
        return ()
    best: dict[str, tuple[Cost, Line]] = {}
    for cost in found.doing:
        line = _main(cost)
        if line is None or line.key == own.key:
            continue
        if line.key not in best or line.quantity < best[line.key][1].quantity:
            best[line.key] = (cost, line)
    return tuple(
        Worth(
            cost.heater, _name(line), line.unit, base.heater, _name(own), own.unit,
            own.quantity / line.quantity,
        )
        for cost, line in best.values()
    )  # fmt: skip


def _main(cost: Cost) -> Line | None:
    """The line of what it burns."""
    kinds = ("fuel", "electricity")
    lines = [line for line in cost.lines if line.kind in kinds and line.quantity > 0.0]
    return next(iter(lines), None)


def _name(line: Line) -> str:
    return line.item.split(",")[0]
