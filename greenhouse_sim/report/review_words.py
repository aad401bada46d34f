"""A winter reviewed, in words: the answer, what each cause was, and what to doubt."""

from __future__ import annotations

from typing import TYPE_CHECKING

from greenhouse_sim.journal.entry import LOAD
from greenhouse_sim.plans.quantiles import few_winters
from greenhouse_sim.plans.review_habit import LEAST_LOADS, alike
from greenhouse_sim.plans.review_journal import STACK, WEIGHT
from greenhouse_sim.plans.review_runs import HABIT, HOUSE, WEATHER, WOOD
from greenhouse_sim.plans.review_was import FITTED, NOTES, OPTION
from greenhouse_sim.report.review_table import CAUSES, fuel_text, measure_of, signed
from greenhouse_sim.report.words import Units, counted, day, few, whole

if TYPE_CHECKING:
    from greenhouse_sim.plans.review import Review
    from greenhouse_sim.plans.review_journal import Span

MUCH = 0.05
"""Share of the season as it was from which a rest is spoken of (judgement)."""
MAINLY = 0.5
"""Share of what moved one way from which one cause alone is named (judgement)."""
SILENT = 0.1
"""Share of the season's fuel that falls on silent days from which it is told first (judgement)."""
NEAR = 0.03
"""A difference within this share of the plan is told as none (judgement)."""
DEEP_NIGHT_H = 5
FACTORS = {
    "loss": "loss of covers and walls", "leak": "air leaking", "capacity": "heat capacity",
    "soil": "soil", "sun": "sun getting in",
}  # fmt: skip


def first_line(found: Review, units: Units) -> str:
    """The answer in a line: fuel against the plan, and the main causes."""
    unit = measure_of(found, units)
    fuel = found.bridges["fuel"]
    said = (
        f"Winter {found.noted.span.winter}: {fuel_text(unit.of(fuel.journal))} {unit.unit} burnt, "
        f"{fuel_text(unit.of(fuel.plan))} planned"
    )
    if abs(fuel.difference) <= NEAR * fuel.plan:
        return f"{said}: as planned"
    more = "more" if fuel.difference > 0.0 else "less"
    main = " and ".join(f"{name} ({signed(unit.of(value))})" for name, value in _main_causes(found))
    return f"{said}: {fuel_text(unit.of(abs(fuel.difference)))} {more}, mostly {main}"


def _main_causes(found: Review) -> list[tuple[str, float]]:
    """The cause with most of what moved the difference's way, or the two largest."""
    fuel = found.bridges["fuel"]
    way = 1.0 if fuel.difference > 0.0 else -1.0
    moves = [(CAUSES[one.name], one.mean) for one in fuel.causes]
    moves.append(("what is not explained", fuel.rest))
    same = sorted((one for one in moves if one[1] * way > 0.0), key=lambda one: -abs(one[1]))
    total = sum(abs(value) for _, value in same)
    return same[:1] if abs(same[0][1]) >= MAINLY * total else same[:2]


def plan_lines(found: Review, units: Units) -> list[str]:
    """What the plan is, and how far its winters lie apart."""
    unit = measure_of(found, units)
    if found.winters == 1:
        lines = ["The plan is the scenario in its one past winter; no other winters tell how far "
                 "winters lie apart."]  # fmt: skip
    else:
        band = found.plan_totals["fuel"]
        inside = "within" if band.low <= found.bridges["fuel"].journal <= band.high else "outside"
        low, high = (fuel_text(unit.of(one)) for one in (band.low, band.high))
        lines = [
            f"The plan is the middle of {found.winters} past winters (10 to 90 % of them: {low} to "
            f"{high} {unit.unit}); this one lies {inside} that. Months are each month's middle "
            "winter and need not add up to the winter's."
        ]
        told = few_winters(found.winters)
        lines += [told] if told else []
    if found.house.source not in (None, OPTION):
        lines.append(
            "The plan is reckoned without the fitted factors under [greenhouse], which are taken "
            "for the house as it was. If the plan had them already, name them: --fitted with the "
            "scenario itself."
        )
    return lines


def silent_lines(found: Review, units: Units) -> list[str]:
    """Where much of the winter was not noted, before anything else is read."""
    fuel = sum(one.fuel for one in found.silences)
    if fuel <= SILENT * found.bridges["fuel"].as_it_was:
        return []
    days = sum(one.span.days for one in found.silences)
    unit = measure_of(found, units)
    return [
        f"The journal is silent on {days} of {found.noted.span.days} days, on which the season as "
        f"it was takes {fuel_text(unit.of(fuel))} {unit.unit}: this holds part of a winter against "
        "the plan of a whole one. Name the days that were noted with --from and --to."
    ]


def cause_lines(found: Review, units: Units) -> list[str]:
    """How each cause was, and where that is known from."""
    lines = [_weather(found, units), _wood(found, units), _house(found), *_habit(found, units)]
    if len(found.causes) > 1:
        lines.append(
            "Causes act together, so what one adds depends on the order in which they are made as "
            "they were. Each figure is the mean over all orders (Shapley's value); the figures add "
            "up to the season as it was."
        )
    return lines


def _weather(found: Review, units: Units) -> str:
    if WEATHER not in found.known or found.outdoor_C is None:
        return (
            "Weather: not known, so it is in what is not explained. Name this winter's record with "
            "--this-winter FILE (weather fetch gets one)."
        )
    plan, this = found.outdoor_C
    apart = abs(this - plan) * (1.8 if units.us else 1.0)
    word = "warmer" if this > plan else "colder"
    middle = "the plan's winter" if found.winters == 1 else "the plan's middle winter"
    name = found.weather.name if found.weather is not None else ""
    return (
        f"Weather: {name}, mean {units.temperature(this)} outdoors, "
        f"{apart:.1f} {units.degree} {word} than {middle}."
    )


def _wood(found: Review, units: Units) -> str:
    wood, planned = found.wood, found.fuel
    if planned.kind != "wood":
        return f"Fuel: {planned.name}, taken as sold."
    if WOOD not in found.known:
        return (
            f"Wood: not known, taken as planned ({_wood_text(planned.name, planned.moisture)}). "
            'Name it with --wood "red oak" and --moisture 0.28, or note "moisture 28 %" with loads.'
        )
    where = (
        f"by {counted(wood.notes, 'note', 'notes')} of the journal"
        if wood.source == NOTES
        else "as told"
    )
    if not wood.changes:
        return f"Wood: {_wood_text(wood.fuel.name, wood.fuel.moisture)}, {where}, as planned."
    cord = few(units.pounds(wood.fuel.cord_kg or 0.0))
    weighed = f"as weighed, {cord} {'lb' if units.us else 'kg'} to a cord as it was"
    amounts = {
        WEIGHT: f"Amounts are taken {weighed}.",
        STACK: "Amounts are taken by the stack, which water does not change.",
    }.get(
        found.noted.told_by or "",
        f"Loads are taken {weighed}; what was carried in, and loads told as full or half, by the "
        "stack. --noted weight or --noted stack says otherwise.",
    )
    return (
        f"Wood: {_wood_text(wood.fuel.name, wood.fuel.moisture)}, {where}; planned "
        f"{_wood_text(planned.name, planned.moisture)}. {amounts}"
    )


def _wood_text(name: str, moisture: float) -> str:
    return f"{name} at {moisture:.0%} water, wet basis".replace("%", " %")


def _house(found: Review) -> str:
    house = found.house
    if HOUSE not in found.known:
        return (
            "House: its heat loss is not known better than by the tables. A thermometer log tells "
            "it: fit FILE --log LOG.csv --write FITTED.toml, then --fitted FITTED.toml here."
        )
    if not house.changes:
        return "House: the fitted factors are the plan's own."
    factors = [
        f"{FACTORS[name]} × {value:.2f}"
        for name, value in house.changes[FITTED].items()
        if abs(value - 1.0) >= 0.005
    ]
    line = f"House, as the thermometer log showed it: {', '.join(factors) or 'as the tables say'}."
    if house.efficiency is not None:
        plan, fitted = house.efficiency
        line += (
            f" The same fit has the heater at {100 * fitted:.0f} % in place of {100 * plan:.0f} %; "
            "that is not made a cause, since wet wood shows in it too. It may be in the rest."
        )
    return line


def _habit(found: Review, units: Units) -> list[str]:
    habit = found.habit
    lines = []
    ups, planned, got = habit.nights
    if habit.loads < LEAST_LOADS:
        lines.append(
            f"Habit: {counted(habit.loads, 'load')} by day say too little of the hours of tending; "
            "they are taken as planned."
        )
    if habit.loads < LEAST_LOADS and HABIT not in found.causes:
        pass
    elif HABIT not in found.causes:
        lines.append(
            f"Habit: as planned. The hours of {habit.loads} loads lie {habit.apart_h[0]:.1f} h "
            f"from the routine's, and {ups:.0f} nights up are noted where it has {planned:.0f}."
        )
    else:
        keys = ", ".join(key.removeprefix("routine.") for key in habit.changes)
        lines.append(
            f"Habit: [routine] {keys} by the journal. The hours of {habit.loads} loads lie "
            f"{habit.apart_h[0]:.1f} h from the plan's routine and {habit.apart_h[1]:.1f} h from "
            f"this one; {ups:.0f} nights up are noted, {planned:.0f} by the plan's routine, "
            f"{got:.0f} by this one. A routine is chosen because it fits, so it may hold what is "
            "due to something else."
        )
    if not habit.nights_judged and not alike(ups, got):
        lines.append(
            f"The {ups:.0f} nights up, {got:.0f} in the season run again, are not laid to habit: "
            "without this winter's weather, or with so much fuel not explained, they may come from "
            "that."
        )
    unmarked = [
        one for one in found.noted.entries
        if one.kind == LOAD and not one.woken and one.at.hour < DEEP_NIGHT_H
    ]  # fmt: skip
    if len(unmarked) > max(2, 0.02 * found.noted.months.loads.sum()):
        lines.append(
            f"{len(unmarked)} loads between midnight and 05:00 are not marked as got up for "
            "(--woken): if somebody got up, nights up are too few and the hours of tending wrong."
        )
    return lines


def rest_lines(found: Review, units: Units) -> list[str]:
    """What is not explained, and what it may be."""
    unit = measure_of(found, units)
    fuel = found.bridges["fuel"]
    rest = fuel.rest / max(fuel.as_it_was, 1e-9)
    line = (
        f"Not explained: {signed(unit.of(fuel.rest))} {unit.unit}, {100.0 * abs(rest):.0f} % of "
        "the season as it was."
    )
    lines = [line + (" " + _perhaps(found) if abs(rest) > MUCH else "")]
    lines += _read(found, units)
    for one in found.silences:
        lines.append(
            f"Nothing is noted {_span_text(one.span)} ({one.span.days} days), when the season as "
            f"it was loads {fuel_text(unit.of(one.fuel))} {unit.unit}: away, or not noted?"
            + _edge(found, one.span)
        )
    if found.noted.cut_h > 0.0:
        lines.append(
            f"Power was off for {few(found.noted.cut_h)} h by the journal; that is no cause here."
        )
    return lines


def _perhaps(found: Review) -> str:
    """What a rest may be, more or less burnt than explained."""
    if found.bridges["fuel"].rest > 0.0:
        likely = ["a warmer house than the setpoint", "doors and vents left open",
                  "a heater worse than its table"]  # fmt: skip
        if WOOD not in found.known and found.fuel.kind == "wood":
            likely.insert(0, "wetter or lighter wood than planned")
        if HOUSE not in found.known:
            likely.insert(0, "a house that loses more than the tables say")
    else:
        likely = ["loads that were not noted", "a colder house than the setpoint",
                  "a heater better than its table"]  # fmt: skip
        if HOUSE not in found.known:
            likely.append("a house that loses less than the tables say")
    if WEATHER not in found.known:
        likely.insert(0, "this winter's weather")
    text = "; ".join([*likely, "amounts misjudged (weigh a week of loads)"])
    return f"It may be {text}."


def _read(found: Review, units: Units) -> list[str]:
    read = found.readings
    if read is None:
        return []
    apart = abs(read.warmer_K) * (1.8 if units.us else 1.0)
    if apart < 0.5:
        return [f"{read.number} readings at hours with fire agree with the season as it was."]
    word = "warmer" if read.warmer_K > 0.0 else "colder"
    return [
        f"{read.number} readings at hours with fire are {apart:.1f} {units.degree} {word} than the "
        "season as it was (median): the house was held so, or the thermometer hangs so."
    ]


def _span_text(span: Span) -> str:
    return f"from {day(span.first.isoformat())} to {day(span.last.isoformat())}"


def _edge(found: Review, silent: Span) -> str:
    """How to leave out days at an end of the winter that were not noted."""
    whole = found.noted.span
    if silent.first == whole.first and silent.last < whole.last:
        return " To leave them out, begin with the first day noted: --from."
    if silent.last == whole.last and silent.first > whole.first:
        return " To leave them out, end with the last day noted: --to."
    return ""


def work_lines(found: Review) -> list[str]:
    """Where the journal's fuel and hours come from."""
    book = found.noted
    basis = "loaded" if book.basis == LOAD else "carried in, which is more than was loaded"
    carrying = "" if book.carrying_noted else " Carrying was not noted and goes by the fuel."
    noted = "No minutes were noted, so the hours are by the tables."
    if book.noted_share > 0.0:
        noted = f"{100.0 * book.noted_share:.0f} % of them were noted, the rest is by the tables."
    return [
        f"Fuel burnt is what was {basis}. Hours of work are loading with the ash, night visits, "
        "looking in and carrying; lighting and watching are left out on both sides. "
        f"{noted}{carrying} A reading is no visit."
    ]


def nothing_line(found: Review) -> str:
    """Where no line is to be changed: because all is well, or because too little is known."""
    fuel = found.bridges["fuel"]
    if abs(fuel.rest) <= MUCH * max(fuel.as_it_was, 1e-9):
        return "Nothing in the scenario needs to change."
    return (
        "No line of the scenario is known to be wrong; find out first what is not explained, so "
        "that next year's plan does not miss by as much again."
    )


def next_lines_before(found: Review, units: Units) -> list[str]:
    """What the lines for next year would make of the plan."""
    unit = measure_of(found, units)
    if not set(found.causes) - {WEATHER}:
        return []
    band, ups = found.next_plan["fuel"], found.next_plan["nights_up"].middle
    low, middle, high, before = (
        fuel_text(unit.of(one))
        for one in (band.low, band.middle, band.high, found.plan_totals["fuel"].middle)
    )
    spread = f" (10 to 90 %: {low} to {high})" if found.winters > 1 else ""
    return [
        f"With wood, house and habit as they were, the plan's middle winter takes {middle} "
        f"{unit.unit}{spread} in place of {before}, and {whole(ups)} nights up in place of "
        f"{whole(found.plan_totals['nights_up'].middle)}."
    ]
