"""What to change in the scenario for next year, as lines of TOML with the reason."""

from __future__ import annotations

import textwrap
from collections.abc import Mapping
from typing import TYPE_CHECKING, Any, NamedTuple

from greenhouse_sim.plans.review_runs import HABIT, HOUSE, WOOD
from greenhouse_sim.plans.review_was import FITTED, OPTION
from greenhouse_sim.report.review_table import measure_of, signed
from greenhouse_sim.report.words import Units
from greenhouse_sim.scenario.write_fitted import fitted_line
from greenhouse_sim.units import to_si

if TYPE_CHECKING:
    from greenhouse_sim.plans.review import Review

WIDE = 96
MUCH_WARMER_K = 1.5
"""Readings so far from the season as it was speak for another setpoint (judgement)."""
SECTIONS = ("site", "greenhouse", "crop", "fuel", "routine")


class Line(NamedTuple):
    """One key to write."""

    section: str
    key: str
    toml: str
    """The whole line."""
    why: str
    sure: bool = True
    """Whether it follows from what is known; else it is only to be thought over."""


def next_lines(found: Review, weather_line: str | None, units: Units | None = None) -> list[Line]:
    """Lines for next year's scenario, in the order of its sections.

    Parameters
    ----------
    found
        The review.
    weather_line
        The line that has this winter in the record too; None where it is there, or is not known.
    units
        For what reasons tell, and for temperatures.
    """
    words = units or Units()
    lines: list[Line] = []
    if weather_line is not None:
        lines.append(
            Line("site", "weather", weather_line,
                 "this winter belongs to the record that the next plan is made from")
        )  # fmt: skip
    if found.house.source == OPTION and found.house.changes:
        why = "the house as the thermometer log showed it; " + _worth(found, HOUSE, words)
        lines.append(Line("greenhouse", "fitted", fitted_line(found.house.changes[FITTED]), why))
    lines += _wood(found, words)
    lines += [_habit(key, value, found, words) for key, value in found.habit.changes.items()]
    lines += _setpoint(found, words)
    return sorted(lines, key=lambda one: SECTIONS.index(one.section))


def next_text(lines: list[Line]) -> str:
    """The lines under their sections, reasons as comments; what is not sure stands as a comment."""
    found: list[str] = []
    section = ""
    for one in lines:
        if one.section != section:
            section = one.section
            found += ([""] if found else []) + [f"[{section}]"]
        why = one.why if one.sure else f"perhaps: {one.why}"
        found += [f"# {part}" for part in textwrap.wrap(why, WIDE)]
        found += one.toml.splitlines() if one.sure else [f"# {one.toml}"]
    return "\n".join(found) + "\n" if found else ""


def _worth(found: Review, cause: str, units: Units) -> str:
    """What a cause was worth: "+1.3 cords in this winter"."""
    unit = measure_of(found, units)
    own = next((one for one in found.bridges["fuel"].causes if one.name == cause), None)
    if own is None:
        return "it cost nothing in this winter"
    return f"{signed(unit.of(own.mean))} {unit.unit} in this winter"


def _wood(found: Review, units: Units) -> list[Line]:
    fuel, planned = found.wood.fuel, found.fuel
    worth = _worth(found, WOOD, units)
    lines = []
    if "fuel.species" in found.wood.changes:
        why = f"{fuel.name} was burnt, {planned.name} planned; {worth}, its water included"
        lines.append(Line("fuel", "species", f"species = {_toml(fuel.name)}", why))
    if "fuel.moisture" in found.wood.changes:
        told = "" if lines else f"; {worth}"
        why = (
            f"{fuel.moisture:.0%} of the wood's weight was water, {planned.moisture:.0%} planned"
            f"{told}. Leave it out if next year's wood is dry"
        ).replace("%", " %")
        moisture = found.wood.changes["fuel.moisture"]
        lines.append(Line("fuel", "moisture", f"moisture = {moisture:g}", why))
    return lines


def _habit(key: str, value: Any, found: Review, units: Units) -> Line:
    name = key.removeprefix("routine.")
    worth = _worth(found, HABIT, units)
    ups, planned, got = found.habit.nights
    if name == "gets_up_below":
        why = (
            f"{ups:.0f} nights up are noted; the plan's rule gives {planned:.0f} in such a winter, "
            f"this one {got:.0f}"
        )
        return Line("routine", name, f"{name} = {_toml(_alarm(value, units))}", why)
    if name == "clock_every":
        return Line("routine", name, 'clock_every = "none"', f"{ups:.0f} nights up are noted")
    own_h, best_h = found.habit.apart_h
    text = _toml("none" if value is None else value)
    why = (
        f"the hours of {found.habit.loads} loads lie {own_h:.1f} h from the plan's, {best_h:.1f} h "
        f"with this; all of the habit together {worth}"
    )
    return Line("routine", name, f"{name} = {text}", why)


def _alarm(value: str, units: Units) -> str:
    if units.us or value == "never":
        return value
    return f"{to_si(value, 'degC', 'gets_up_below', '36 degF'):.1f} degC"


def _setpoint(found: Review, units: Units) -> list[Line]:
    """Another setpoint, where readings speak for one; only to be thought over."""
    read, crop = found.readings, found.scenario.crop
    day_C, night_C = crop.setpoint.day, crop.setpoint.night
    if read is None or abs(read.warmer_K) < MUCH_WARMER_K or day_C is None or night_C is None:
        return []
    unit = "degF" if units.us else "degC"
    day, night = (f"{units.degrees(one + read.warmer_K):.0f} {unit}" for one in (day_C, night_C))
    scale = 1.8 if units.us else 1.0
    word = "warmer" if read.warmer_K > 0.0 else "colder"
    why = (
        f"{read.number} readings at hours with fire are {abs(read.warmer_K) * scale:.0f} "
        f"{units.degree} {word} than the season as it was (median); if the thermometer is right "
        "and hangs at the crop"
    )
    toml = f'setpoint = {{ day = "{day}", night = "{night}" }}'
    return [Line("crop", "setpoint", toml, why, sure=False)]


def _toml(value: Any) -> str:
    """A value as TOML: texts, lists and tables of them."""
    if isinstance(value, Mapping):
        return "{ " + ", ".join(f"{key} = {_toml(one)}" for key, one in value.items()) + " }"
    if isinstance(value, list | tuple):
        return "[" + ", ".join(_toml(one) for one in value) + "]"
    escaped = str(value).replace("\\", "\\\\").replace('"', '\\"')
    return f'"{escaped}"'


def weather_toml(names: list[str]) -> str:
    """The line of ``[site]`` with these files; over several lines where it is long."""
    line = f"weather = {_toml(names)}"
    if len(line) <= WIDE:
        return line
    return "weather = [\n" + "".join(f"    {_toml(name)},\n" for name in names) + "]"
