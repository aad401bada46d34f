"""Season dates in tables and words."""

from __future__ import annotations

from collections.abc import Sequence
from typing import TYPE_CHECKING, NamedTuple

from greenhouse_sim.heater.catalogue import burns
from greenhouse_sim.plans.dates import NO_BURN, PLAIN, REST, START, STOP, Choice, Dated
from greenhouse_sim.plans.foreseen import cords_per_kg
from greenhouse_sim.plans.quantiles import few_winters
from greenhouse_sim.report.spread import Spread, spread
from greenhouse_sim.report.woodpile_table import grid
from greenhouse_sim.report.words import Units, few, whole
from greenhouse_sim.units import CORD_M3

if TYPE_CHECKING:
    from rich.table import Table

    from greenhouse_sim.scenario import Scenario
    from greenhouse_sim.weather.month_day import MonthAndDay

MONTHS = ["Jan", "Feb", "Mar", "Apr", "May", "Jun", "Jul", "Aug", "Sep", "Oct", "Nov", "Dec"]
HEADS = {
    START: "Heating starts", STOP: "Heating stops", REST: "A rest", NO_BURN: "Days without fire",
}  # fmt: skip


def day_words(day: MonthAndDay) -> str:
    """A day of no year: "15 Nov"."""
    return f"{day[1]} {MONTHS[day[0] - 1]}"


def choice_words(choice: Choice, units: Units) -> str:
    """A choice in a few words."""
    if choice.group == START and choice.first:
        return day_words(choice.first)
    if choice.group == STOP and choice.last:
        return f"after {day_words(choice.last)}"
    if choice.group == REST and choice.first and choice.last:
        held = "no heat" if choice.held_C is None else f"held at {units.temperature(choice.held_C)}"
        return f"{day_words(choice.first)} to {day_words(choice.last)}, {held}"
    return f"{choice.days} a winter" if choice.group == NO_BURN else "as it is"


class Amount(NamedTuple):
    """How the fuel is told: cords where there are any, else tons, else heat."""

    cords_per_kg: float | None
    burnt: bool
    """Whether there is fuel to weigh."""
    units: Units

    @property
    def unit(self) -> str:
        """Its unit."""
        if not self.burnt:
            return self.units.heat_word
        if self.cords_per_kg is None:
            return "tons" if self.units.us else "t"
        return "cords" if self.units.us else "m³ stacked"

    def of(self, one: Dated) -> list[float]:
        """The amounts of a choice, one a winter."""
        if not self.burnt:
            return [self.units.heat(float(kWh)) for kWh in one.heat_kWh]
        if self.cords_per_kg is None:
            return [self.units.tons(float(kg)) for kg in one.fuel_kg]
        each = self.cords_per_kg * (1.0 if self.units.us else CORD_M3)
        return [each * float(kg) for kg in one.fuel_kg]


def amount_of(scenario: Scenario, units: Units) -> Amount:
    """How the fuel of the scenario's heater is told."""
    kind = scenario.heater.kind
    return Amount(cords_per_kg(scenario, kind), burns(kind) in ("wood", "pellets"), units)


def dates_table(found: Sequence[Dated], amount: Amount, units: Units, damage_C: float) -> Table:
    """A row a choice, the middle winter with 10 to 90 % for fuel and times up."""
    winters = len(found[0].cold_h)
    of = f"the middle of {winters} winters (10 to 90 %)" if winters > 1 else "one winter"
    table = grid(f"Season dates, {of}")
    table.add_column("", no_wrap=True)
    heads = (
        amount.unit, "saved", "times up", "hours below setpoint",
        f"hours under {units.temperature(damage_C)} while heated",
        f"coldest while not, {units.degree}",
    )  # fmt: skip
    for head in heads:
        table.add_column(head, justify="right", max_width=14)
    before = spread(amount.of(found[0])).median
    group = ""
    for one in found:
        if one.choice.group != group and one.choice.group != PLAIN:
            table.add_section()
            table.add_row(f"[bold]{HEADS[one.choice.group]}[/bold]")
        group = one.choice.group
        fuel = spread(amount.of(one))
        table.add_row(
            choice_words(one.choice, units), _two(fuel),
            "" if group == PLAIN else few(before - fuel.median),
            _two(spread([float(ups) for ups in one.wakeups]), True),
            whole(spread([float(h) for h in one.cold_h]).median),
            whole(spread([float(h) for h in one.damage_h]).median),
            _coldest(one, units),
        )  # fmt: skip
    return table


def _two(found: Spread, counts: bool = False) -> str:
    write = whole if counts else few
    span = found.range(write)
    return f"{found.middle(write)} ({span})" if span else found.middle(write)


def _coldest(one: Dated, units: Units) -> str:
    cold = [float(t) for t in one.lowest_off_C if t == t]
    return f"{round(units.degrees(spread(cold).median)) + 0:d}" if cold else ""


def first_line(heater: str, found: Sequence[Dated], amount: Amount, units: Units) -> str:
    """What the season takes, and which choice saves most."""
    plain = spread(amount.of(found[0])).median
    line = f"{heater}: {few(plain)} {amount.unit} for the season as it is"
    others = [one for one in found if one.choice.group in (START, STOP, REST)]
    if not others:
        return line
    best = min(others, key=lambda one: spread(amount.of(one)).median)
    saved = plain - spread(amount.of(best)).median
    by = {START: "starting on", STOP: "stopping", REST: "a rest,"}[best.choice.group]
    words = f"{by} {choice_words(best.choice, units)}"
    return f"{line}; most is saved by {words}: {few(saved)} {amount.unit}"


def notes(found: Sequence[Dated], winters: int) -> list[str]:
    """How to read the table."""
    said = [
        "While not heated the house stands through the same weather, and nothing is asked of the "
        "heater; its soil and store keep their memory. Plants left in it then are not counted "
        "under damage: look at the coldest hour. Nobody gets up in a rest.",
    ]
    if any(one.choice.group == NO_BURN for one in found):
        said.append(
            "Days without fire are drawn evenly over the winter, each winter its own; real bans "
            "come in still, often cold, weather and in a row, and are harder than these. They are "
            "known the day before: the grower loads for them, and nothing is lit or loaded on them."
        )
    too_few = few_winters(winters)
    return [*([too_few] if too_few else []), *said]
