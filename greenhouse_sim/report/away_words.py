"""Absences in words: hours and days, the first line, what to mind."""

from __future__ import annotations

import math

from greenhouse_sim.heater.fuel import fuel_for
from greenhouse_sim.plans.absence import FULL_H, Absence
from greenhouse_sim.plans.absence_sums import SHARES, Week, weeks
from greenhouse_sim.plans.quantiles import few_winters
from greenhouse_sim.plans.trip import Trip
from greenhouse_sim.report.fuel_words import propane_text
from greenhouse_sim.report.words import Units, day, day_and_hour, few, whole, winter_words
from greenhouse_sim.tables.read import read_rows

IN_HOURS = 48.0
"""Times up to this are told in hours, longer ones in days."""


def lasts(hours: float, looked: float = FULL_H) -> str:
    """Hours or days that went well: "9 h", "3.4 days", "14 days +" where no end was seen."""
    if math.isnan(hours):
        return ""
    if hours >= looked:
        return f"{whole(looked / 24.0)} days +" if looked >= IN_HOURS else f"{looked:.0f} h +"
    if hours < 1.0:
        return "under 1 h"
    if hours < IN_HOURS:
        return f"{math.floor(hours):d} h"
    tenths = math.floor(hours / 2.4)
    return f"{tenths // 10} days" if tenths >= 100 else f"{tenths / 10.0:.1f} days"


def fire_lasts(hours: float, looked: float = FULL_H) -> str:
    """As `lasts`, for a fire that may not be lit at all."""
    return "no fire" if hours < 1.0 else lasts(hours, looked)


def share_words(share: float, winters: int) -> str:
    """ "half of winters", "9 in 10", "every winter"."""
    if winters == 1:
        return "this winter"
    return {0.5: "half of winters", 0.9: "9 in 10 winters", 1.0: "every winter"}[share]


def percent(share: float) -> str:
    """A share: "35 %"; "" where it is not known."""
    return "" if math.isnan(share) else f"{100.0 * share:.0f} %"


def backup_fuel(joules: float, found: Absence, units: Units) -> str:
    """Fuel of the back-up: gallons (litres) of propane, or kWh."""
    if "propane" in found.backup:
        return propane_text(joules / fuel_for("propane").gross_J_kg, units).replace(
            " of propane", ""
        )
    return f"{whole(joules / 3.6e6)} kWh"


def who(found: Absence, units: Units) -> str:
    """What runs while nobody is there."""
    if found.has_backup:
        return (
            f"{found.heater}, with the {found.backup} from {units.temperature(found.starts_below)}"
        )
    return f"{found.heater}, no back-up"


def shortest_week(found: Absence) -> Week:
    """The week in which an absence is shortest."""
    return min(weeks(found), key=lambda week: (sum(week.safe_h), week.hurt_h))


def first_line(found: Absence, units: Units) -> str:
    """How long one can stay away when it is worst."""
    worst = shortest_week(found)
    many = len(found.winters)
    start = f"{who(found, units)}: nobody comes, and the crop is unhurt"
    if min(worst.safe_h) >= FULL_H:
        return f"{start} for {lasts(FULL_H)} (or to the season's end), whenever one leaves"
    told = _worst_parts(worst, many)
    week = f"in the week of {day(worst.first.isoformat())}"
    if told:
        text = f"{start}, {week}, for {', '.join(told)}"
    else:
        text = (
            f"{who(found, units)}: leave it to nobody {week}: the crop can be hurt within the hour"
        )
    if not (found.own.fire_out_h < math.inf).any():
        return text
    if worst.fire_h < 1.0:
        return f"{text}; there is no fire then"
    return f"{text}; the fire lasts {lasts(worst.fire_h, worst.looked_h)}"


def _worst_parts(worst: Week, winters: int) -> list[str]:
    """How long it goes well in how many winters; nothing where it never goes well for an hour."""
    pairs = list(zip(SHARES, worst.safe_h, strict=True))
    if winters == 1:
        pairs = pairs[-1:]
    if max(hours for _, hours in pairs) < 1.0:
        return []
    words = [lasts(hours, worst.looked_h) for _, hours in pairs]
    return [
        f"{word} in {share_words(share, winters)}"
        for (share, _), word, after in zip(pairs, words, [*words[1:], ""], strict=True)
        if word != after  # of two that are the same, the one for more winters is enough
    ]


def winters_line(found: Absence) -> str:
    """A sentence where the winters are too few; "" otherwise."""
    return few_winters(len(found.winters))


def notes(found: Absence, units: Units) -> list[str]:
    """How to read the tables."""
    said = [
        "Hours count from the last look-in before bedtime. Then firebox or hopper is filled "
        "for the last time; a stove's air is shut to the lowest steady fire, or left open for the "
        "cold of a long night, whichever keeps the crop unhurt for longer. From then on nobody "
        "loads, lights or opens anything by hand. Vents open by themselves.",
        "Hurt: the air at the plants falls under "
        f"{units.temperature(found.winters[0].house.damage_below)}. Safe: it does not until the "
        "return, whichever evening of the week one leaves on. "
        f"Two weeks were looked at: {lasts(FULL_H)} is no promise of more.",
    ]
    if not found.has_backup:
        said.append(
            f"The file has no back-up; the {found.backup} that is told of holds "
            f"{units.temperature(found.starts_below)}. A power cut stops it where its fan or "
            "controls need power."
        )
    return said


def away_cautions() -> tuple[str, ...]:
    """What anybody must hear who leaves a fire alone."""
    return tuple(row["text"] for row in read_rows("cautions_away"))


def amount(kg: float, units: Units) -> str:
    """A load to two digits, as one can carry it: "66 lb", "230 lb"."""
    value = units.pounds(kg)
    told = few(value) if value < 99.5 else whole(10.0 * round(value / 10.0))
    return f"{told} {'lb' if units.us else 'kg'}"


def trip_line(found: Trip, units: Units) -> str:
    """What a trip comes to."""
    first, last = found.span
    many = len(found.outcomes)
    hurt = [one for one in found.outcomes if math.isfinite(one.hurt_h)]
    out = [one for one in found.outcomes if math.isfinite(one.fire_out_h)]
    worst = min(found.outcomes, key=lambda one: one.lowest_crop)
    cold = f"coldest at the plants {units.temperature(worst.lowest_crop)}"
    span = f"Away from {day_and_hour(first)} to {day_and_hour(last)}"
    if found.forecast:
        lost = f"the crop is hurt after {lasts(hurt[0].hurt_h)}" if hurt else "the crop is unhurt"
        fire = f"the fire is out after {lasts(out[0].fire_out_h)}" if out else "the fire burns on"
        return f"{span}, in the forecast {found.forecast}: {lost}, {fire}, {cold}."
    if many == 1:
        lost = f"hurt after {lasts(hurt[0].hurt_h)}" if hurt else "unhurt"
        return f"{span}, in the one winter: the crop is {lost}, {cold}."
    name = winter_words(worst.winter)
    return (
        f"{span}: the crop is hurt in {len(hurt)} of {many} winters, the fire goes out in "
        f"{len(out)}; {cold} ({name})."
    )
