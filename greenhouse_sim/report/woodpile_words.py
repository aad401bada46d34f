"""The woodpile in sentences: the line to begin with, the trade's rule, and how to read it."""

from __future__ import annotations

from greenhouse_sim.plans.labour import Work
from greenhouse_sim.plans.quantiles import few_winters
from greenhouse_sim.plans.stack import number
from greenhouse_sim.plans.woodpile import Woodpile
from greenhouse_sim.report.season_tables import month_name
from greenhouse_sim.report.spread import spread
from greenhouse_sim.report.woodpile_table import day_text, unit_of
from greenhouse_sim.report.words import Units, counted, few, whole, winter_words
from greenhouse_sim.units import FT_M

CUBIC_YARD_M3 = (3.0 * FT_M) ** 3


def first_line(found: Woodpile, units: Units) -> str:
    """What to have ready, in a sentence without a verb."""
    if found.compost is not None:
        return f"{found.heater}: {_heap(found, units)}"
    if not found.ready:
        return f"{found.heater}: no fuel needed in any winter"
    unit = unit_of(found, units)
    told = {one.cover.share: few(unit.of(one.cover.amount)) for one in found.ready}
    if len(found.seasons) == 1:
        return f"{found.heater}: {told[None]} {unit.unit} of {found.fuel.name} in this one winter"
    nine = next(one for one in found.ready if one.cover.share == 0.9)
    return (
        f"{found.heater}: have {told[0.9]} {unit.unit} of {found.fuel.name} ready (enough for "
        f"{nine.cover.winters} of {len(found.seasons)} winters; the middle one takes {told[0.5]}, "
        f"the worst {told[None]}); half of it still there on {day_text(nine.half)}"
    )


def _heap(found: Woodpile, units: Units) -> str:
    heap = found.compost
    if heap is None:
        return ""
    per, unit = (CUBIC_YARD_M3, "yd³") if units.us else (1.0, "m³")
    return (
        f"{whole(heap.chips_m3 / per)} {unit} of wood chips and {whole(heap.manure_m3 / per)} "
        f"{unit} of manure for a heap of {whole(heap.pile_m3 / per)} {unit} "
        f"({counted(heap.trucks, 'truckload')} of {number('truck_volume', 'm^3') / per:.0f} {unit})"
    )


def rule_line(found: Woodpile) -> str:
    """The trade's "half by midwinter" against the run."""
    rule = found.rule
    if rule is None:
        return "Half by midwinter: 2 February (2 August in the south) is not in this season."
    when, many = day_text(rule.day), len(found.seasons)
    left = f"{rule.middle:.0%}".replace("%", " %")
    if many > 1:
        left += f" ({rule.low:.0%} to {rule.high:.0%} over {many} winters)".replace("%", " %")
    if rule.holds == many:
        verdict = "here half a pile on that day is enough" + (" in all of them" if many > 1 else "")
    elif rule.holds == 0:
        verdict = "here half a pile on that day is too little"
    else:
        verdict = f"here half a pile on that day is enough in {rule.holds} of {many} winters"
    return (
        f"Half by midwinter (common practice): on {when} {left} of what a winter takes is still "
        f"to be burnt: {verdict}."
    )


def winters_line(found: Woodpile) -> str:
    """A sentence where there are too few winters, else an empty text."""
    return few_winters(len(found.seasons)) if found.ready else ""


def work_line(found: Woodpile) -> str:
    """Hours of work, and the week with the most."""
    hours = spread([one.total for one in found.work])
    hardest = max(found.work, key=lambda one: one.peak.hours)
    span = hours.range(whole, " to ")
    many = f" ({span} over {hours.winters} winters)" if span else ""
    which = f", winter {winter_words(hardest.winter)}" if hours.winters > 1 else ""
    told = f"Work: {whole(hours.median)} h in all{many}"
    if hardest.peak.hours < 0.05:
        return f"{told}; none of it in the season."
    return (
        f"{told}; the hardest seven days of the season take {few(_peak(found.work))} h in the "
        f"middle winter and {few(hardest.peak.hours)} h at most (from "
        f"{day_text(hardest.peak.first)}{which})."
    )


def _peak(work: tuple[Work, ...]) -> float:
    return spread([one.peak.hours for one in work]).median


def notes(found: Woodpile, units: Units) -> list[str]:
    """How to read the tables."""
    said = []
    if found.ready:
        said.append(
            "Fuel is counted as it goes into the heater, in winters run without a limit to the "
            "pile. Must be left: so much that the rest of the winter was covered in that share of "
            "the winters. Half still there on: the last morning on which half may not yet be burnt."
        )
    if found.ready and found.kind == "wood":
        said += _wood_notes(found, units)
    if found.kind == "compost":
        said.append(
            "Chips and manure are told before mixing; a heap loses volume as the one fills the "
            "gaps of the other. One heap a season: what it gives, and when it cools, says run."
        )
    said.append(
        "Hours of work are told with the wood's own; run and compare tell the heater's alone. "
        "Rates: labour_rates.csv of --out, with sources; change them under [labour]."
    )
    return said


def _wood_notes(found: Woodpile, units: Units) -> list[str]:
    held, step = found.rack, FT_M if units.us else 1.0
    unit = "ft" if units.us else "m"
    stick = f"{held.stick_m / 0.0254:.0f} in" if units.us else f"{held.stick_m:.2f} m"
    weight = any(one.stack and one.stack.loads_by_weight for one in found.ready)
    smoke = round(100.0 * (number("smoke_30", "1") - 1.0))
    return [
        f"Stacked {round(held.height_m / step, 1):g} {unit} high, one stick of {stick} deep, one "
        f"row. Pickup loads by {'weight' if weight else 'volume'}, whichever is reached first.",
        "Other woods and moistures: the heater run again in the mildest, middle and hardest "
        "winter, the pile scaled by what it took there. Where they give less heat the house is "
        "colder: light and wet wood fill a firebox with less.",
        "Drying: from published times of one-inch lumber, three times as long for split wood "
        "(believed: 1 to 7 times; the safe side is the longest), counted over the site's own "
        f"drying weather{_lent(found)}. Stacked in sun and wind, the top covered; rounds left "
        "unsplit take three to five times as long. Look with a meter, on a fresh split.",
        f"Wet wood: 30 % water makes {smoke} % more fine smoke than 20 % (Fairbanks); damped, "
        "wet fires make creosote, and creosote burns chimneys.",
    ]


def _lent(found: Woodpile) -> str:
    if not found.year.lent:
        return ""
    if len(found.year.lent) == 12:
        months = "all months"
    else:
        months = ", ".join(month_name(f"{month:02d}") for month in found.year.lent)
    return f" (where the weather files have no {months}: those of the upper Midwest)"
