"""Nights in sentences."""

from __future__ import annotations

from greenhouse_sim.plans.night_log import Night
from greenhouse_sim.plans.nights import Nights
from greenhouse_sim.plans.quantiles import few_winters
from greenhouse_sim.report.nights_table import over_winters, rule_words, trade
from greenhouse_sim.report.words import Units, counted, day, few, winter_words


def first_line(found: Nights, units: Units) -> str:
    """Asleep all winter, or up by the alarm: what it costs."""
    never, alarm = found.of(found.heater)[:2]
    cold = counted(over_winters(never, "hours_below_setpoint").median, "hour")
    ups = over_winters(alarm, "night_wakeups").median
    warm = counted(over_winters(alarm, "hours_below_setpoint").median, "hour")
    at = rule_words(alarm.rule, units)
    up = f"{counted(ups, 'time')} up by the {at}" if ups >= 0.5 else f"never up by the {at}"
    return f"{found.heater}: {cold} below setpoint without getting up; {up}, {warm} below setpoint"


def worth_lines(found: Nights, units: Units) -> list[str]:
    """Hours below setpoint saved for each time up."""
    parts = []
    for rule, ups, saved in trade(found.of(found.heater)):
        if ups < 0.5:
            continue
        each = saved / ups
        worth = f"{few(each)} h each" if each >= 0.05 else "nothing"
        parts.append(f"{rule_words(rule, units)}: {worth}")
    if not parts:
        return ["Nobody needs to get up for this heater."]
    return [f"Hours below setpoint that a time up saves: {'; '.join(parts)}."]


def edge_lines(found: Nights, units: Units) -> list[str]:
    """The coldest night that needs no visit."""
    edge, lines = found.edge, []
    if edge.coldest_unvisited is not None:
        lines.append(
            f"Coldest night with nobody up and no hour below setpoint: "
            f"{_night(edge.coldest_unvisited, units)}."
        )
    if edge.coldest_unwoken is not None and edge.coldest_unwoken != edge.coldest_unvisited:
        lines.append(f"Coldest night with nobody up: {_night(edge.coldest_unwoken, units)}.")
    if edge.mildest_woken is not None:
        lines.append(f"Mildest night with somebody up: {_night(edge.mildest_woken, units)}.")
    if edge.half_of_all:
        lines.append("Half or more of all nights need somebody.")
    elif edge.half_C is not None:
        cold = units.temperature(edge.half_C)
        lines.append(f"Of nights that fall to {cold} or lower, half or more need somebody.")
    return lines


def _night(night: Night, units: Units) -> str:
    which = winter_words(night.winter)
    return f"{units.temperature(night.out_C)} outside, {day(night.evening.isoformat())} ({which})"


def notes(found: Nights) -> list[str]:
    """How to read the tables."""
    said = [
        "Alarm: the grower gets up when the air falls to it, and not again for two hours. Clock: "
        "so many hours after falling asleep and again; set only where there will be something to "
        "do. Nobody gets up to sit by a fire that must be watched for hours.",
        "A full load counts down to its coals, with the air set for the need; a full store down "
        "to where it no longer gives the need.",
    ]
    too_few = few_winters(len(found.winters))
    return [*([too_few] if too_few else []), *said]
