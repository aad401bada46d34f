"""Nights in tables: what each way to spend them costs, and what a full load is good for."""

from __future__ import annotations

from collections.abc import Sequence
from typing import TYPE_CHECKING

from greenhouse_sim.plans.night_rules import Rule
from greenhouse_sim.plans.nights import FEW, Nights, Outcome
from greenhouse_sim.report.spread import Spread, spread
from greenhouse_sim.report.woodpile_table import grid
from greenhouse_sim.report.words import Units, few, whole

if TYPE_CHECKING:
    from rich.table import Table


def rule_words(rule: Rule, units: Units) -> str:
    """What a rule is called: "alarm at 36 °F"."""
    return rule.name if rule.below_C is None else f"alarm at {units.temperature(rule.below_C)}"


def over_winters(one: Outcome, key: str) -> Spread:
    """One quantity of a heater under a rule, over its winters."""
    return spread([float(value) for value in one.of(key)])


def own_table(found: Nights, units: Units, damage_C: float) -> Table:
    """The first heater: a row a rule."""
    many = len(found.winters)
    of = f"the middle of {many} winters (10 to 90 %)" if many > 1 else f"winter {found.winters[0]}"
    table = grid(f"{found.heater}: ways to spend the night, {of}")
    table.add_column("Get up", no_wrap=True)
    heads = (
        "times up", "nights", "hours below setpoint", f"hours under {units.temperature(damage_C)}",
        f"coldest air, {units.degree}", "longest sleep, h",
    )  # fmt: skip
    for head in heads:
        table.add_column(head, justify="right", max_width=18)
    for one in found.of(found.heater):
        coldest = over_winters(one, "lowest_air_C")
        table.add_row(
            rule_words(one.rule, units), _two(over_winters(one, "night_wakeups")),
            whole(over_winters(one, "nights_with_wakeup").median),
            _two(over_winters(one, "hours_below_setpoint")),
            _two(over_winters(one, "hours_below_damage")),
            f"{round(units.degrees(coldest.median)) + 0:d}",
            few(over_winters(one, "longest_sleep_h").median),
        )  # fmt: skip
    return table


def _two(found: Spread) -> str:
    span = found.range(whole)
    return f"{found.middle(whole)} ({span})" if span else found.middle(whole)


def all_table(found: Nights, units: Units) -> Table:
    """Every heater: times up and hours below setpoint under every rule."""
    few_winters = min(FEW, len(found.winters))
    note = "" if few_winters == len(found.winters) else f", others in {few_winters} of them"
    table = grid(f"Times up / hours below setpoint, middle winter{note}")
    table.add_column("Heater", min_width=20)
    for rule in found.rules:
        name = rule_words(rule, units).replace("clock every", "clock,")
        table.add_column(name, justify="right", max_width=11)
    for heater in found.heaters:
        cells = [
            f"{whole(over_winters(one, 'night_wakeups').median)} / "
            f"{whole(over_winters(one, 'hours_below_setpoint').median)}"
            for one in found.of(heater)
        ]
        table.add_row(heater, *cells)
    return table


def load_table(found: Nights, units: Units) -> Table:
    """Every heater on the design night."""
    cold = units.temperature(found.design.night.temperature_C)
    need = f"{few(units.power(found.need_W))} {units.power_word}"
    table = grid(f"On the design night: {cold}, {need} needed under a clear sky")
    table.add_column("Heater")
    for head in ("most it gives, % of that", "a full load lasts, h", "a full store lasts, h"):
        table.add_column(head, justify="right")
    for heater, load in found.loads.items():
        table.add_row(
            heater, whole(100.0 * load.share),
            "nobody loads it" if load.hours is None else few(load.hours),
            "" if load.store_hours is None else few(load.store_hours),
        )  # fmt: skip
    return table


def trade(outcomes: Sequence[Outcome]) -> list[tuple[Rule, float, float]]:
    """Each rule but the first (never), its times up, and hours below setpoint that it saves."""
    never = over_winters(outcomes[0], "hours_below_setpoint").median
    return [
        (
            one.rule,
            over_winters(one, "night_wakeups").median,
            never - over_winters(one, "hours_below_setpoint").median,
        )
        for one in outcomes[1:]
    ]
