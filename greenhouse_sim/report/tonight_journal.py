"""What tonight took from the journal, in words and for JSON."""

from __future__ import annotations

from datetime import datetime, timedelta
from typing import TYPE_CHECKING, Any

from greenhouse_sim.heater.numbers import ROOM_THERMOSTAT, SET_AND_LEAVE, STORE_THERMOSTAT
from greenhouse_sim.plans.tonight_error import number
from greenhouse_sim.report.away_words import amount
from greenhouse_sim.report.words import Units, counted

if TYPE_CHECKING:
    from greenhouse_sim.journal.entry import Entry
    from greenhouse_sim.plans.tonight import Tonight
    from greenhouse_sim.plans.tonight_journal import Noted

TOLD_K = 0.5
"""A difference of the coldest hour under this is not told (judgement)."""
SHOWN = 3
"""Loads that are named one by one."""


def by_loads(found: Tonight) -> bool:
    """Whether the fire now is what the noted loads leave."""
    return bool(found.noted and found.noted.loads) and found.present.fuel_kg is None


def fuel_range(found: Tonight, units: Units) -> str:
    """As little and as much as may be in the box: "18 to 40 lb"; "" where both are the same."""
    low, high = found.now_range_kg
    least, most = amount(low, units), amount(high, units)
    return "" if least == most else f"{least.split()[0]} to {most}"


def journal_lines(found: Tonight, units: Units) -> list[str]:
    """What was taken from the journal, and what was left."""
    told = found.noted
    if told is None:
        return []
    lines = [" ".join(part for part in (_loads(found, told, units), _doubt(found, units)) if part)]
    lines += [_reading(found, told, units), _pile(found, told, units)]
    return [f"Journal: {text}" for text in lines if text]


def when(moment: datetime, now: datetime) -> str:
    """A moment seen from now: "at 18:00", "yesterday at 21:30", "on 9 January at 18:00"."""
    at = f"at {moment:%H:%M}"
    if moment.date() == now.date():
        return at
    if moment.date() == now.date() - timedelta(days=1):
        return f"yesterday {at}"
    return f"on {moment.day} {moment:%B} {at}"


def _loads(found: Tonight, told: Noted, units: Units) -> str:
    """The loads, and that the fire follows from them."""
    if found.night.task.heater.hand_fed < 0.5:
        return ""
    if told.loads:
        named = [_load(one, told, units) for one in reversed(told.loads[-SHOWN:])]
        more = len(told.loads) - len(named)
        text = ", ".join(named) + (f" and {counted(more, 'load')} before" if more else "")
        if found.present.fuel_kg is not None:
            return f"put in {text}; --fire goes before that."
        said = f"put in {text}; what has burnt since is reckoned by this heater's burn."
        if told.overfull is not None:
            held = amount(found.night.task.heater.charge_kg, units)
            said += (
                f" {_load(told.overfull, told, units)} are more than the {held} that it holds: "
                "taken as full (is the entry right?)."
            )
        return said
    if found.present.fuel_kg is not None:
        return ""
    if told.before is None:
        return "no load noted; the fire is taken as the routine would have left it."
    return (
        f"the last load noted is {_load(told.before, told, units)}, "
        f"{told.age_h(told.before):.0f} h ago: too old to say what burns now. The fire is taken as "
        "the routine would have left it; note each load, or write --fire."
    )


def _load(one: Entry, told: Noted, units: Units) -> str:
    return f"{amount(one.kg or 0.0, units)} {when(one.at, told.at)}"


def _doubt(found: Tonight, units: Units) -> str:
    """How sure the fuel in the box is, where that matters."""
    low, high = found.now_range_kg
    heater = found.night.task.heater
    if not by_loads(found) or high - low < number("range_told") * heater.charge_kg:
        return ""
    first = "how far the air was open" if heater.law == SET_AND_LEAVE else "what lay in it before"
    if heater.law in (ROOM_THERMOSTAT, STORE_THERMOSTAT):
        first += ", or how much heat the weather asked for"
    said = f"Nobody noted {first}, so that {fuel_range(found, units)} may be left."
    if not matters(found):
        said += poor_line(found, units)
    return f"{said} Look into the box, and write what is there, such as --fire half."


def matters(found: Tonight) -> bool:
    """Whether the least that the box may hold makes the advised night too cold."""
    poorest = found.poorest
    return poorest is not None and poorest < found.limit <= found.plan.lowest.forecast


def poor_line(found: Tonight, units: Units) -> str:
    """What comes of the advice with the least that the box may hold; "" where that is no matter."""
    poorest = found.poorest
    if poorest is None or poorest > found.plan.lowest.forecast - TOLD_K:
        return ""
    return (
        f" With the least of that, the same loads get the plants through the forecast's night at "
        f"no less than {units.temperature(poorest)}."
    )


def look_first(found: Tonight, units: Units) -> str:
    """A warning where the advice hangs on what is in the box; else ""."""
    if not matters(found):
        return ""
    low, _ = found.now_range_kg
    there = f"only {amount(low, units)} in the fire" if low > 0.0 else "nothing in the fire"
    return (
        f"Look into the box first: the journal leaves {fuel_range(found, units)} in it. With "
        f"{there} the same loads do not do, and the plants get down to "
        f"{units.temperature(found.poorest or 0.0)}: ask again with --fire."
    )


def _reading(found: Tonight, told: Noted, units: Units) -> str:
    """The last reading, used or not."""
    one = told.reading
    if one is None or one.indoor_C is None:
        return ""
    read = f"{units.temperature(one.indoor_C)} inside {when(one.at, told.at)}"
    if found.present.by_journal:
        return f"{read}, taken for now."
    if told.is_fresh:
        return f"{read}; --now goes before it."
    return f"the last reading, {read}, is {told.age_h(one):.0f} h old and is not used."


def _pile(found: Tonight, told: Noted, units: Units) -> str:
    """What is left of the pile, and whether it does for tonight."""
    from greenhouse_sim.heater.burnt import default_fuel
    from greenhouse_sim.report.woodpile_table import unit_of_fuel
    from greenhouse_sim.report.words import few
    from greenhouse_sim.season.run import scenario_fuel

    left = told.left
    if left is None:
        return ""
    fuel = default_fuel(found.scenario.heater.kind, scenario_fuel(found.scenario))
    unit = unit_of_fuel(fuel, units)
    counted_on = f"counted {left.counted_on.day} {left.counted_on:%B}"
    need = found.plan.loaded_kg
    if left.kg >= max(need, 1e-9):
        return f"{few(unit.of(left.kg))} {unit.unit} left of the pile ({counted_on})."
    example = "2 cord" if fuel.kind == "wood" else "1 ton"
    left_words = amount(left.kg, units) if left.kg > 0.0 else "nothing"
    return (
        f"{left_words} left of the pile ({counted_on}), and tonight asks for "
        f"{amount(need, units)}: get more, or count the pile anew (greenhouse-sim log FILE --pile "
        f'"{example}").'
    )


def journal_row(found: Tonight) -> dict[str, Any] | None:
    """For JSON, SI; None without a journal."""
    told = found.noted
    if told is None:
        return None
    reading = told.reading
    return {
        "loads": [{"at": _stamp(one.at), "kg": one.kg} for one in told.loads],
        "loads_used": by_loads(found),
        "reading_C": None if reading is None else reading.indoor_C,
        "reading_at": None if reading is None else _stamp(reading.at),
        "reading_used": found.present.by_journal,
        "pile_left_kg": None if told.left is None else told.left.kg,
        "pile_counted_on": None if told.left is None else told.left.counted_on.isoformat(),
        "lowest_with_least_fuel_C": found.poorest,
    }


def _stamp(moment: datetime) -> str:
    return moment.isoformat(sep=" ", timespec="minutes")
