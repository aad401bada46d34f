"""A whole winter out of the journal, by month: what is reviewed, and what cannot be."""

from __future__ import annotations

import re
from collections.abc import Sequence
from datetime import date, datetime, time, timedelta
from itertools import pairwise
from typing import TYPE_CHECKING, NamedTuple

import numpy as np

from greenhouse_sim.errors import JournalError
from greenhouse_sim.heater.burnt import default_fuel
from greenhouse_sim.heater.fuel import Fuel
from greenhouse_sim.heater.heater import heater_numbers
from greenhouse_sim.heater.numbers import Heater
from greenhouse_sim.journal.entry import CARRIED, CUT, LOAD, VISIT, Entry
from greenhouse_sim.journal.stand import between
from greenhouse_sim.plans.journal_review import season_first, season_last
from greenhouse_sim.plans.review_runs import NOON_H, Months, carrying_h, per_kg
from greenhouse_sim.season.run import scenario_fuel
from greenhouse_sim.season.visit import LOOK_S
from greenhouse_sim.units import LB_KG

if TYPE_CHECKING:
    from greenhouse_sim.scenario import Scenario

Array = np.ndarray
WEIGHT, STACK = "weight", "stack"
TOO_FULL = 1.25
"""A load over so many charges does not fit into the heater: it was another one (judgement)."""
BY_SHARE = re.compile(r"(full|half)\b")
"""The journal's own words for a load told as a share of the charge."""


class Span(NamedTuple):
    """The days that are reviewed, both included."""

    first: date
    last: date

    @property
    def winter(self) -> str:
        """Name of the winter: "2026-27"."""
        a, b = self.first.year, self.last.year
        return f"{a}" if a == b else f"{a}-{b % 100:02d}"

    @property
    def days(self) -> int:
        """How many days."""
        return (self.last - self.first).days + 1

    @property
    def months(self) -> tuple[str, ...]:
        """Every month touched: "2026-12"."""
        number = self.first.year * 12 + self.first.month - 1
        stop = self.last.year * 12 + self.last.month - 1
        return tuple(f"{m // 12}-{m % 12 + 1:02d}" for m in range(number, stop + 1))

    def month(self, when: date) -> int:
        """Number of the month that a day falls into, within the span."""
        number = (when.year - self.first.year) * 12 + when.month - self.first.month
        return min(max(number, 0), len(self.months) - 1)


class Noted(NamedTuple):
    """What the journal says of a winter."""

    span: Span
    entries: tuple[Entry, ...]
    months: Months
    """Fuel as `basis` has it."""
    carried: Array
    """Fuel carried in by month, as `Months.fuel`."""
    basis: str
    """`LOAD` or `CARRIED`: what was burnt is told by the one of which more was noted."""
    noted_share: float
    """Share of the hours of work that was noted, the rest is by the tables."""
    carrying_noted: bool
    """Whether carrying in was noted; else its work is by the fuel."""
    told_by: str | None
    """How all amounts were told, `WEIGHT` or `STACK`; None for each as it is usual."""
    cut_h: float
    """Without power, h."""


def span_of(scenario: Scenario, entries: Sequence[Entry], winter: str | None, where: str) -> Span:
    """The winter that is reviewed: the one that is asked for, or the last with a load.

    Raises
    ------
    JournalError
        It has no load, or the winter is written in a way that cannot be read.
    """
    loads = [one for one in entries if one.kind in (LOAD, CARRIED)]
    firsts = sorted({season_first(scenario, one.at.date()) for one in loads if _in(scenario, one)})
    spans = [Span(first, season_last(scenario, first)) for first in firsts]
    if not spans:
        raise JournalError(
            f"{where}: no load is noted in any season ({len(entries)} entries in all), so there is "
            'nothing to review; note loads with log --load "40 lb", or import them with log '
            "--import CSV"
        )
    if winter is None:
        return spans[-1]
    match = re.fullmatch(r"\s*(\d{4})(?:-(\d{2}|\d{4}))?\s*", winter)
    if match is None:
        raise JournalError(f"--winter: {winter[:20]!r} is not a winter; write one such as 2026-27")
    found = [one for one in spans if one.first.year == int(match[1])]
    if not found:
        have = ", ".join(one.winter for one in spans)
        raise JournalError(
            f"{where}: no load is noted in the winter {winter.strip()}; it has loads of {have}"
        )
    return found[0]


def _in(scenario: Scenario, entry: Entry) -> bool:
    first = season_first(scenario, entry.at.date())
    return entry.at.date() <= season_last(scenario, first)


def noted(
    plan: Scenario,
    entries: Sequence[Entry],
    span: Span,
    fuels: tuple[Fuel, Fuel],
    told_by: str | None,
) -> Noted:
    """The journal of a winter by month.

    Parameters
    ----------
    plan
        The scenario.
    entries
        The whole journal.
    span
        The days.
    fuels
        The fuel as planned, with which the journal turned stacks into weights, and as it was.
    told_by
        `WEIGHT` or `STACK` for all amounts; None where loads are by weight, and loads told as
        "full" or "half" and what was carried in by the stack.
    """
    own = between(entries, span.first, span.last)
    kinds = {kind: [one for one in own if one.kind == kind] for kind in (LOAD, CARRIED)}
    used = {
        kind: _by_month(span, some, [amount(one, fuels, told_by) for one in some])
        for kind, some in kinds.items()
    }
    basis = CARRIED if used[CARRIED].sum() > used[LOAD].sum() else LOAD
    heater = heater_of(plan, fuels[1])
    working = [one for one in own if one.kind != CUT]
    hours, share = _hours(
        heater, plan, working, span, [amount(one, fuels, told_by) for one in working]
    )
    if not kinds[CARRIED]:
        hours = hours + used[basis] * carrying_h(plan, fuels[1])
    tended = [one for one in own if one.kind in (LOAD, VISIT)]
    evenings = {(one.at - timedelta(hours=NOON_H)).date() for one in own if one.woken}
    ups = np.zeros(len(span.months))
    for evening in evenings:
        ups[span.month(evening)] += 1.0
    months = Months(
        used[basis],
        _by_month(span, kinds[LOAD]),
        _by_month(span, tended),
        ups,
        hours,
        _coldest(span, own),
    )
    return Noted(
        span,
        tuple(own),
        months,
        used[CARRIED],
        basis,
        share,
        bool(kinds[CARRIED]),
        told_by,
        sum((one.until - one.at).total_seconds() / 3600.0 for one in own if one.until),
    )


def amount(entry: Entry, fuels: tuple[Fuel, Fuel], told_by: str | None) -> float:
    """Fuel of an entry in cords of the wood as it was (kg of what is counted by weight).

    A weight is divided by what a cord weighed as it was. A stack keeps its measure: the journal
    turned it into a weight with the wood as planned.
    """
    fuel = fuels[0] if _stacked(entry, told_by) else fuels[1]
    return (entry.kg or 0.0) * per_kg(fuel)


def _stacked(entry: Entry, told_by: str | None) -> bool:
    if told_by is not None:
        return told_by == STACK
    return entry.kind == CARRIED or BY_SHARE.match(entry.note) is not None


def check_heater(plan: Scenario, entries: Sequence[Entry], fuel: Fuel, where: str) -> None:
    """Refuse loads that the plan's heater cannot hold: then another one was loaded.

    Raises
    ------
    JournalError
        Most loads are larger than its charge.
    """
    own, held = plan.heater, heater_of(plan, fuel).charge_kg
    loads = [one.kg or 0.0 for one in entries if one.kind == LOAD]
    middle = float(np.median(loads)) if loads else 0.0
    if middle > TOO_FULL * held:
        raise JournalError(
            f"{where}: the middle load of {middle:.0f} kg ({middle / LB_KG:.0f} lb) does not "
            f"fit into {own.kind} (count {own.count}), which holds {held:.0f} kg: the plan's "
            "heater is not the one that was loaded, or loads are the sums of days; write the "
            "heater that was used under [heater], or note each load"
        )


def heater_of(plan: Scenario, fuel: Fuel) -> Heater:
    """The plan's heater with this fuel."""
    own = plan.heater
    return heater_numbers(own.kind, own.count, own.overrides, fuel)


def unnoted(span: Span, entries: Sequence[Entry], least_days: int) -> list[Span]:
    """Stretches of so many days or more without any entry, in order."""
    days = sorted({one.at.date() for one in entries})
    day = timedelta(days=1)
    edges = [span.first - day, *days, span.last + day]
    found = []
    for before, after in pairwise(edges):
        if (after - before).days - 1 >= least_days:
            found.append(Span(before + day, after - day))
    return found


def hour_of(span: Span, moment: datetime) -> int:
    """Hours since the span's first midnight."""
    return int((moment - datetime.combine(span.first, time())).total_seconds() // 3600)


def _hours(
    heater: Heater, plan: Scenario, entries: Sequence[Entry], span: Span, cords: Sequence[float]
) -> tuple[Array, float]:
    """Hours of work by month, and the share of all of them that was noted.

    What was not noted takes the minutes that the season's own work does.
    """
    hours, noted_h = np.zeros(len(span.months)), 0.0
    carrying = carrying_h(plan, default_fuel(plan.heater.kind, scenario_fuel(plan)))
    for one, own in zip(entries, cords, strict=True):
        spent_h = _usual_s(one, heater) / 3600.0 + (one.kind == CARRIED) * own * carrying
        if one.minutes is not None:
            spent_h = one.minutes / 60.0
            noted_h += spent_h
        hours[span.month(one.at.date())] += spent_h
    total = float(hours.sum())
    return hours, noted_h / total if total > 0.0 else 0.0


def _usual_s(one: Entry, heater: Heater) -> float:
    """Seconds at the heater that an entry usually takes."""
    got_up = heater.night_s if one.woken else 0.0
    if one.kind == LOAD:
        return got_up + heater.load_s + heater.ash_s_kg * (one.kg or 0.0)
    return got_up + (LOOK_S if one.kind == VISIT else 0.0)


def _by_month(span: Span, entries: Sequence[Entry], values: Sequence[float] | None = None) -> Array:
    found = np.zeros(len(span.months))
    for one, value in zip(entries, values or [1.0] * len(entries), strict=True):
        found[span.month(one.at.date())] += value
    return found


def _coldest(span: Span, entries: Sequence[Entry]) -> Array:
    found = np.full(len(span.months), np.nan)
    for one in entries:
        if one.indoor_C is not None:
            month = span.month(one.at.date())
            found[month] = np.fmin(found[month], one.indoor_C)
    return found
