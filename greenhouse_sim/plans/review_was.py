"""What is known of a winter: its weather, its wood, the house as a log showed it."""

from __future__ import annotations

import re
from collections.abc import Mapping, Sequence
from typing import TYPE_CHECKING, Any, NamedTuple

import numpy as np

from greenhouse_sim.errors import JournalError, ScenarioError, WeatherError
from greenhouse_sim.heater.burnt import default_fuel
from greenhouse_sim.heater.fuel import Fuel, fuel_for, wet_basis, wood_names
from greenhouse_sim.journal.entry import Entry
from greenhouse_sim.plans.review_journal import Span
from greenhouse_sim.season.run import scenario_fuel
from greenhouse_sim.weather import Weather, winters

if TYPE_CHECKING:
    from greenhouse_sim.scenario import Scenario

FITTED = "greenhouse.fitted"
OPTION, NOTES, FILE = "option", "notes", "file"
_NUMBER = r"(\d{1,2}(?:[.,]\d+)?)\s*%"
_MOISTURE = (
    re.compile(rf"\b(?:moisture|water)\b\s*(?:of|[:=])?\s*{_NUMBER}\s*(dry)?", re.IGNORECASE),
    re.compile(rf"{_NUMBER}\s*(?:of\s+)?(?:moisture|water)\b\s*(dry)?", re.IGNORECASE),
)


class Wood(NamedTuple):
    """The wood as it was."""

    changes: Mapping[str, Any]
    """Keys of the scenario; empty where it was as planned, or is not known."""
    fuel: Fuel
    source: str | None
    """Where it is known from: `OPTION`, `NOTES`; None where it is not."""
    notes: int = 0
    """Entries that told its moisture."""


class House(NamedTuple):
    """The house as it was."""

    plan: Scenario
    changes: Mapping[str, Any]
    source: str | None
    """`OPTION`, `FILE` (the plan's own fitted factors) or None."""
    efficiency: tuple[float, float] | None = None
    """The heater's best efficiency as planned and as fitted, where a fit changed it."""


def this_winter(
    plan: Scenario, past: Sequence[Weather], given: Weather | None, span: Span
) -> tuple[list[Weather], Weather | None]:
    """The plan's winters without this one, and this one's weather where it is known.

    Parameters
    ----------
    plan
        For its season.
    past
        The plan's winters; where it is not given, this one is taken from among them if one
        measured record alone has it.
    given
        A record that should cover this winter.
    span
        The winter that is reviewed.

    Raises
    ------
    WeatherError
        The record does not cover it.
    """
    if given is None:
        among = [one for one in past if one.start.date() == span.first and not one.synthetic]
        if len(among) != 1:
            return list(past), None
        return _without(past, among[0]), among[0]
    site = plan.site
    try:
        cut = winters(given, site.season_start, site.season_end)
    except WeatherError as problem:
        raise WeatherError(
            f"--this-winter: {problem}; or review only the days that it covers, with --from and "
            "--to"
        ) from None
    found = [one for one in cut if one.start.date() == span.first]
    if not found:
        have = ", ".join(str(one.start.date()) for one in cut)
        raise WeatherError(
            f"--this-winter {given.name}: has no winter that starts on {span.first}, as the one in "
            f"the journal does (its winters start on {have}); name the weather of {span.winter}, "
            "or another winter of the journal with --winter"
        )
    return _without(past, found[0]), found[0]


def _without(past: Sequence[Weather], this: Weather) -> list[Weather]:
    """The winters but this one; all of them where it is the only one."""
    others = [one for one in past if not np.array_equal(one.t_out_C, this.t_out_C)]
    return others or list(past)


def wood_as_it_was(
    plan: Scenario, entries: Sequence[Entry], species: str | None, moisture: float | None
) -> Wood:
    """The wood by the options, else by the journal's notes.

    Notes are read for "moisture 28 %" (of the whole weight; "28 % dry" for a hand meter's share of
    the dry weight) and for the name of one wood of the table.

    Raises
    ------
    ScenarioError
        No such wood, an impossible moisture, or a heater that burns none.
    """
    planned = default_fuel(plan.heater.kind, scenario_fuel(plan))
    if planned.kind != "wood":
        if species is not None or moisture is not None:
            raise ScenarioError(
                f"--wood and --moisture: {plan.heater.kind} burns {planned.name} as they are "
                "sold; leave the options out"
            )
        return Wood({}, planned, None)
    source, count = OPTION, 0
    if species is None and moisture is None:
        species, moisture, count = _from_notes(entries)
        source = NOTES
    if species is None and moisture is None:
        return Wood({}, planned, None)
    name = planned.name if species is None else fuel_for(species, None, "--wood").name
    water = planned.moisture if moisture is None else moisture
    fuel = fuel_for(name, water, "--moisture" if source == OPTION else "the journal's notes")
    if fuel.kind != "wood":
        raise ScenarioError(f'--wood: {fuel.name} is no cordwood; write one such as "red oak"')
    changes: dict[str, Any] = {}
    if fuel.name != planned.name:
        changes["fuel.species"] = fuel.name
    if abs(fuel.moisture - planned.moisture) > 1e-9:
        changes["fuel.moisture"] = round(fuel.moisture, 3)
    return Wood(changes, fuel, source, count)


def _from_notes(entries: Sequence[Entry]) -> tuple[str | None, float | None, int]:
    """The one wood named, the mean moisture noted, and how many notes tell it."""
    waters, named = [], set()
    names = sorted(wood_names(), key=len, reverse=True)
    for one in entries:
        text = one.note
        match = next((found for look in _MOISTURE if (found := look.search(text))), None)
        if match is not None:
            share = float(match[1].replace(",", ".")) / 100.0
            waters.append(wet_basis(share) if match[2] else share)
        here = next((n for n in names if re.search(rf"\b{re.escape(n)}\b", text, re.I)), None)
        if here is not None:
            named.add(here)
    species = named.pop() if len(named) == 1 else None
    return species, sum(waters) / len(waters) if waters else None, len(waters)


def house_as_it_was(scenario: Scenario, other: Scenario | None) -> House:
    """The house as a thermometer log showed it, and the plan without that.

    With another scenario its fitted factors are the house as it was, and the scenario stands as
    the plan. Without one the scenario's own fitted factors are, and the plan is the tables'.

    Raises
    ------
    ScenarioError, JournalError
        The other scenario has no fitted factors, or is of another greenhouse or heater.
    """
    if other is None:
        own = scenario.greenhouse.fitted
        if own is None:
            return House(scenario, {}, None)
        plan = scenario.with_(**{FITTED: None})
        return House(plan, {FITTED: own.model_dump()}, FILE)
    where = f"--fitted {other.path}"
    found = other.greenhouse.fitted
    if found is None:
        raise ScenarioError(
            f"{where}: has no fitted factors under [greenhouse]; write them with fit FILE --log "
            "LOG.csv --write FITTED.toml"
        )
    if (other.heater.kind, other.heater.count) != (scenario.heater.kind, scenario.heater.count):
        raise JournalError(
            f"{where}: its heater is {_heater(other)}, the plan's is {_heater(scenario)}; name a "
            "scenario that was fitted with the plan's heater"
        )
    bare = {"fitted": None}
    if scenario.greenhouse.model_copy(update=bare) != other.greenhouse.model_copy(update=bare):
        raise ScenarioError(
            f"{where}: its [greenhouse] is not the plan's; fit the plan's own scenario again"
        )
    changes = {} if found == scenario.greenhouse.fitted else {FITTED: found.model_dump()}
    return House(scenario, changes, OPTION, _efficiency(scenario, other))


def _heater(scenario: Scenario) -> str:
    count = scenario.heater.count
    return f"{count} × {scenario.heater.kind}" if count > 1 else scenario.heater.kind


def _efficiency(scenario: Scenario, other: Scenario) -> tuple[float, float] | None:
    from greenhouse_sim.heater.catalogue import choose

    key = "efficiency_max"
    pair = []
    for one in (scenario, other):
        choice = choose(one.heater.kind, one.heater.overrides)
        if key not in choice.table:
            return None
        pair.append(choice.number(key))
    return (pair[0], pair[1]) if abs(pair[0] - pair[1]) > 5e-4 else None
