"""Sizes in words."""

from __future__ import annotations

from collections.abc import Sequence

from greenhouse_sim.plans.parts import COUNT, Part
from greenhouse_sim.plans.quantiles import few_winters
from greenhouse_sim.plans.sizing import Sized, Target, Tried
from greenhouse_sim.report.words import Units, counted, few, whole
from greenhouse_sim.units import from_si

SHOWN = {
    "stove firebox": ("ft^3", "ft³", "m^3", "m³"),
    "barrel": ("ft^3", "ft³", "m^3", "m³"),
    "boiler firebox": ("ft^3", "ft³", "m^3", "m³"),
    "hopper": ("lb", "lb", "kg", "kg"),
    "tank": ("gal", "gal", "L", "L"),
    "bench": ("short_ton", "tons", "t", "t"),
    "pile": ("yd^3", "yd³", "m^3", "m³"),
}
"""Unit and its sign for the reader: US customary, then SI."""


def size_number(part: Part, size: float, units: Units) -> float:
    """A size as a number in the reader's unit."""
    if part.key == COUNT:
        return size
    us, _, si, _ = SHOWN[part.name]
    return from_si(size, part.si, us if units.us else si)


def size_text(part: Part, size: float, units: Units) -> str:
    """A size with its unit: "3.5 ft³", "2 heaters"."""
    if part.key == COUNT:
        return counted(size, "heater")
    value = size_number(part, size, units)
    sign = SHOWN[part.name][1 if units.us else 3]
    digits = f"{value:.2f}" if value < 1.0 else few(value)
    return f"{digits} {sign}"


def target_words(target: Target, winters: int) -> str:
    """What is asked for: "no more than 5 times up ... in at least 27 of 30 winters"."""
    parts = []
    if target.wakeups is not None:
        parts.append(f"no more than {counted(target.wakeups, 'time')} up at night")
    if target.cold_h is not None:
        parts.append(f"no more than {counted(target.cold_h, 'hour')} below setpoint")
    kept = target.winters(winters)
    which = "in the one winter" if winters == 1 else f"in at least {kept} of {winters} winters"
    return f"{' and '.join(parts)}, {which}"


def part_line(one: Sized, winters: int, units: Units) -> str:
    """The answer for one part in a sentence."""
    name = "how many" if one.part.key == COUNT else one.part.name
    if one.smallest is None:
        best = one.best
        most = size_text(one.part, one.standard[-1].size, units)
        return (
            f"{name}: no size up to {most} keeps it. The best reachable is "
            f"{size_text(one.part, best.size, units)}: {reached(best, winters)}."
        )
    found = one.smallest
    line = f"{name}: {size_text(one.part, found.size, units)} ({reached(found, winters)})"
    if one.part.key == COUNT:
        return f"{line}."
    smaller, larger = one.next_smaller, one.next_larger
    beside = []
    if smaller is None:
        beside.append("the smallest that is sold or built keeps it already")
    else:
        beside.append(
            f"next smaller {size_text(one.part, smaller.size, units)} ({reached(smaller, winters)})"
        )
    if larger is not None and larger.size > found.size:
        beside.append(
            f"next larger {size_text(one.part, larger.size, units)} ({reached(larger, winters)})"
        )
    return f"{line}; {'; '.join(beside)}."


def reached(one: Tried, winters: int) -> str:
    """How a size does: "27 of 30 winters, 4 times up, 38 h"."""
    which = "keeps it" if winters == 1 and one.kept else f"kept in {one.kept} of {winters}"
    return f"{which}, {whole(one.wakeups)} up, {whole(one.cold_h)} h below setpoint"


def steady_line(one: Sized, units: Units) -> str:
    """A sentence where a larger size did worse, else an empty text."""
    if one.worse is None:
        return ""
    less, more = one.worse
    name = "More heaters" if one.part.key == COUNT else f"A larger {one.part.name}"
    line = (
        f"{name} did not always do better: {whole(less.wakeups)} up and {whole(less.cold_h)} h "
        f"below setpoint with {size_text(one.part, less.size, units)}, {whole(more.wakeups)} up "
        f"and {whole(more.cold_h)} h with {size_text(one.part, more.size, units)}."
    )
    failing = one.failing_above
    if failing is None:
        return line
    return f"{line} So {size_text(one.part, failing.size, units)} does not keep the target."


def notes(found: Sequence[Sized], target: Target, winters: int, never_up: bool) -> list[str]:
    """How to read the answer."""
    of = "the winter" if winters == 1 else f"{target.winters(winters)} of the winters"
    said = [
        f"Times up and hours are those that {of} do not exceed, by the scenario's routine. One "
        "part is changed at a time, all else as the scenario has it; a stove's output, iron and "
        "surface grow with its firebox as they do through the catalogue.",
    ]
    if never_up and target.wakeups is not None:
        said.insert(
            0,
            "This grower never gets up, so every size keeps the times up: ask for --cold-hours, "
            'or write gets_up_below = "36 degF".',
        )
    if any(one.part.name == "tank" for one in found):
        said.append("Over 119 gal a closed tank falls under pressure-vessel rules in many places.")
    too_few = few_winters(winters, target.share) if 0.5 <= target.share < 1.0 else ""
    return [*([too_few] if too_few else []), *said]
