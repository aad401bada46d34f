"""Tonight in words: what to do at which hour, how cold it gets, how sure that is."""

from __future__ import annotations

from typing import NamedTuple

from greenhouse_sim.heater.numbers import DECAY, SET_AND_LEAVE
from greenhouse_sim.plans.tonight import BEST, NOTHING, ROUTINE, VISIT, Spread, Tonight, Way
from greenhouse_sim.plans.tonight_search import setting_share
from greenhouse_sim.report.away_words import amount, away_cautions, percent
from greenhouse_sim.report.cautions import cautions
from greenhouse_sim.report.tonight_journal import by_loads, fuel_range, when
from greenhouse_sim.report.words import Units
from greenhouse_sim.season import numbers as places

OPEN = ("shut to its lowest", "1/6 open", "1/3 open", "half open", "2/3 open", "5/6 open", "open")
NAMES = {
    NOTHING: "nobody from now",
    ROUTINE: "as the routine",
    BEST: "best load",
    VISIT: "with one visit",
}

LIKELY = 0.9
"""Chance of a hurt crop over which a visit is said not to save it (judgement)."""
PERHAPS = 0.5
"""Chance under which an alarm may decide whether somebody gets up (judgement)."""


class Step(NamedTuple):
    """One thing to do."""

    hour: int
    load_kg: float
    air: str
    """How far the air is open; "" where there is none to set, or where it is as usual."""
    up: bool
    """Whether somebody gets up for it."""


def steps(found: Tonight) -> list[Step]:
    """What the advised night asks for, in order."""
    loads = dict(found.plan.loads)
    acts = {act.hour: act for act in (found.best, found.up) if act is not None}
    kept = []
    for hour in sorted({*loads, *acts}):
        act = acts.get(hour)
        air = air_words(found, act.setting_w) if act is not None and found.burns(act) else ""
        if hour in loads or air:
            kept.append(Step(hour, loads.get(hour, 0.0), air, hour > found.night.bed))
    return kept


def air_words(found: Tonight, setting_w: float) -> str:
    """The air's setting: "half open"; "" for a heater that sets its own."""
    heater = found.night.task.heater
    if heater.law != SET_AND_LEAVE:
        return ""
    return OPEN[round(setting_share(heater, setting_w) * (len(OPEN) - 1))]


def clock(found: Tonight, hour: int) -> str:
    """An hour of tonight: "03:00"."""
    return f"{found.moment(hour):%H:%M}"


def span(given: Spread, units: Units) -> str:
    """The range of a temperature: "38 to 43 °F"."""
    low, high = round(units.degrees(given.low)), round(units.degrees(given.high))
    return (
        f"{low + 0:d} {units.degree}"
        if low == high
        else f"{low + 0:d} to {high + 0:d} {units.degree}"
    )


def step_words(found: Tonight, step: Step, units: Units) -> str:
    """One thing to do in words."""
    parts = [f"put in {amount(step.load_kg, units)}"] if step.load_kg > 0.0 else []
    if step.air:
        parts.append(f"air {step.air}")
    up = "get up, " if step.up else ""
    return f"{clock(found, step.hour)} {up}{', '.join(parts)}"


def first_line(found: Tonight, units: Units) -> str:
    """What to do and how cold it gets, in one line."""
    return f"{what_to_do(found, units)} {coldest(found.plan, found, units)}"


def what_to_do(found: Tonight, units: Units) -> str:
    """The steps, and whether somebody must get up."""
    todo = steps(found)
    if found.night.task.heater.hand_fed < 0.5:
        begun = "Tonight there is nothing to load."
    elif not todo:
        begun = "Tonight nothing needs doing."
    else:
        begun = "Tonight: " + "; ".join(step_words(found, one, units) for one in todo) + "."
    if found.up is not None:
        return begun
    return f"{begun} Nobody needs to get up." if not found.helpless else begun


def coldest(way: Way, found: Tonight, units: Units) -> str:
    """The coldest hour of a way, with its range."""
    return (
        f"Coldest at the plants {units.temperature(way.lowest.forecast)} at "
        f"{clock(found, way.lowest_at)} ({span(way.lowest, units)} with the forecast's error)."
    )


def if_nobody(found: Tonight, units: Units) -> str:
    """What comes of staying in bed, where somebody should get up or nothing helps; else ""."""
    if found.up is None and not found.helpless:
        return ""
    way = found.way(BEST)
    limit = units.temperature(found.limit)
    said = f"If nobody gets up: {_uncapitalised(coldest(way, found, units))}"
    under = found.limit - way.lowest.forecast
    if under > 0.0:
        far = f"{under * (1.8 if units.us else 1.0):.0f} {units.degree}"
        said += f" That is {far} under the {limit} for which somebody gets up."
    said += f" Chance of less than {limit}: {percent(way.under_limit)}"
    if way.hurt > 0.0:
        said += f", of less than {units.temperature(found.damage)} (crop hurt): {percent(way.hurt)}"
    said += "."
    if way.under_limit < PERHAPS:
        said += f" With an alarm at {limit} by the bed, get up only if it rings."
    return said


def _uncapitalised(text: str) -> str:
    return text[0].lower() + text[1:]


def helpless(found: Tonight, units: Units) -> str:
    """A warning where the heater cannot hold the plants over the limit; else ""."""
    if not found.helpless:
        return ""
    way, limit = found.plan, units.temperature(found.limit)
    sure = way.lowest.forecast < found.limit
    begun = "This heater" if sure else "On the cold side of the forecast this heater"
    said = (
        f"{begun} cannot keep the plants over {limit} tonight, with or without a visit (coldest "
        f"{units.temperature(way.lowest.low)} in one night of ten)."
    )
    if way.hurt > 0.0:
        saves = found.up is not None and way.hurt > LIKELY
        said += (
            f" Under {units.temperature(found.damage)} the crop is hurt: chance "
            f"{percent(way.hurt)}{'; one visit does not save it' if saves else ''}."
        )
    return (
        f"{said} Have the back-up ready; cover the beds, clear of stove and pipe; shut every leak."
    )


def present_line(found: Tonight, units: Units) -> str:
    """What was taken for the present state."""
    heater, state = found.night.task.heater, found.here
    noted = found.noted
    inside = f"{units.temperature(found.present.air_C)} inside"
    if found.present.by_journal and noted is not None and noted.reading is not None:
        inside += f" (noted {when(noted.reading.at, noted.at)})"
    parts = [inside]
    if heater.hand_fed > 0.5:
        kg = found.now_kg
        parts.append(
            (f"{amount(kg, units)} in the fire" if kg > 0.0 else "fire out") + _from(found, units)
        )
    if heater.store_c > 0.0:
        left = "noted loads" if by_loads(found) else "days before"
        told = "" if found.present.store_C is not None else f" (as the {left} would leave it)"
        core = float(state.state[places.CORE])
        parts.append(f"the heater's store at {units.temperature(core)}{told}")
    return (
        f"{found.at.day} {found.at:%B %Y, %H:%M}: "
        + ", ".join(parts)
        + f". Forecast {found.forecast.name}, "
        f"issued {found.forecast.issued.day} {found.forecast.issued:%B %H:%M}: outside down to "
        f"{units.temperature(float(found.out.min()))} "
        f"({span(Spread(0.0, *(float(q) for q in found.out_band.min(axis=1))), units)})."
    )


def _from(found: Tonight, units: Units) -> str:
    """Where the fuel in the box is known from."""
    if found.present.fuel_kg is not None:
        return ""
    if by_loads(found):
        return (
            f" (by the journal; {fuel_range(found, units)})"
            if fuel_range(found, units)
            else " (by the journal)"
        )
    return " (as the routine would have left it)"


def notes(found: Tonight, units: Units) -> list[str]:
    """How to read the answer."""
    hold = units.temperature(found.night.hold)
    way = "routine and then the noted loads" if by_loads(found) else "routine"
    said = [
        f"Loads are chosen to hold {hold} until the look-in at "
        f"{clock(found, found.night.morning)} on the cold side of the forecast that one night in "
        "ten passes, air from shut to open in sixths. Ranges are where 8 of 10 perturbed forecasts "
        "lie; their errors are published ones of forecasts for a town, and your valley may differ.",
        f"Soil and store are as the days before leave them ({found.night.laid.dawn // 24} days "
        f"before tonight, run with the {way}), the sun as it usually is at this date.",
        *(f"{text}." for text in found.notes),
        *([f"Forecast: {found.forecast.source}."] if found.forecast.source else []),
    ]
    if found.night.task.heater.watch_share > 0.0:
        said.append(
            "This fire must be watched while it burns: the last load is put in so that it burns "
            "down before bedtime, and nobody gets up to light it."
        )
    if found.night.task.heater.law == DECAY:
        said.append("The pile is taken as fresh as at the season's start; an older one is cooler.")
    return said


def mind() -> tuple[str, ...]:
    """What anybody must hear who is told to load a fire and sleep."""
    return (away_cautions()[0], *cautions())
