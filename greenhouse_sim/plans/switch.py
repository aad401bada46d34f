"""What would change the decision: the value of each unknown at which another heater is cheaper.

A price enters a heater's yearly cost as a straight line, quantity × price, so the value at which
another heater becomes the cheapest is where the lines cross: exact. Tightness, moisture and
efficiency change the winters themselves: heaters run again at the low and the high end of the
range (in at most three winters), and between those ends costs are taken as straight.
"""

from __future__ import annotations

from collections.abc import Callable, Sequence
from typing import TYPE_CHECKING, NamedTuple

from greenhouse_sim.heater.catalogue import burns, heater_table
from greenhouse_sim.plans.foreseen import Work
from greenhouse_sim.plans.money import Cost, Money, cost_of
from greenhouse_sim.plans.other_wood import few
from greenhouse_sim.plans.same_winters import SameWinters
from greenhouse_sim.season.many import engine_name
from greenhouse_sim.season.run import Season, run_seasons
from greenhouse_sim.tables.read import Row, read_keyed, read_rows

if TYPE_CHECKING:
    from greenhouse_sim.scenario import Scenario

RIVALS = 3
"""Heaters next in line that are run again beside the cheapest."""
HIGHEST = 20.0
"""A price is followed up to this many times the high end of its range."""


class Switch(NamedTuple):
    """One unknown: where the decision turns, below and above what is taken now."""

    what: str
    unit: str
    now: float
    low: float
    high: float
    """Range that the unknown may have."""
    below: tuple[float, str] | None
    """(value, the heater that is cheaper from there down)."""
    above: tuple[float, str] | None

    @property
    def within(self) -> bool:
        """Whether the decision turns within the range."""
        below = self.below is not None and self.below[0] >= self.low
        return below or (self.above is not None and self.above[0] <= self.high)


class WinterBest(NamedTuple):
    """The cheapest heater of one winter."""

    winter: str
    heat_kWh: float
    """What the winter needs."""
    heater: str


def crossing(
    now: float, best: tuple[float, float], others: dict[str, tuple[float, float]], up: bool
) -> tuple[float, str] | None:
    """The nearest value, up or down, at which another straight line lies lower.

    Parameters
    ----------
    now
        Value of the unknown.
    best
        (cost at ``now``, slope) of the cheapest.
    others
        The same of the others, by name.
    up
        Whether to look above ``now``, else below.
    """
    found: tuple[float, str] | None = None
    for name, (cost, slope) in others.items():
        faster = best[1] - slope if up else slope - best[1]
        if faster <= 0.0:
            continue
        away = (cost - best[0]) / faster
        value = now + away if up else now - away
        if found is None or abs(value - now) < abs(found[0] - now):
            found = (value, name)
    return found


def price_switches(found: Money) -> tuple[Switch, ...]:
    """Every price that the heaters' costs hold."""
    fit = found.fit
    if not fit:
        return ()
    prices = {
        line.key: line.each
        for cost in fit
        for line in cost.lines
        if line.key and line.key != "crop_value" and line.each is not None
    }
    switches = []
    for key, each in prices.items():
        now = {cost.heater: (cost.yearly or 0.0, _slope(cost, key)) for cost in fit}
        best = now.pop(fit[0].heater)
        row = read_keyed("money")[key]
        low, high = float(row.low), float(row.high)
        below = crossing(each.value, best, now, up=False)
        above = crossing(each.value, best, now, up=True)
        if below is not None and below[0] < 0.0:
            below = None
        if above is not None and above[0] > HIGHEST * high:
            above = None
        switches.append(Switch(key, row.unit, each.value, low, high, below, above))
    return tuple(switches)


def _slope(cost: Cost, key: str) -> float:
    """Dollars a year for each dollar of a price."""
    return sum(
        line.quantity if line.life is None else (line.amount or 0.0) / line.each.value
        for line in cost.lines
        if line.key == key and line.each is not None and (line.life is None or line.each.value)
    )


def purchase_switch(found: Money) -> Switch | None:
    """How much more the cheapest heater may cost to buy before another is cheaper."""
    fit = found.fit
    if len(fit) < 2 or fit[0].first <= 0.0:
        return None
    best, second = fit[0], fit[1]
    slope = best.of("purchase") / best.first
    value = best.first + ((second.yearly or 0.0) - (best.yearly or 0.0)) / slope
    lines = [line for line in best.lines if line.life is not None and line.each is not None]
    low = sum(line.quantity * line.each.low for line in lines if line.each)
    high = sum(line.quantity * line.each.high for line in lines if line.each)
    name = f"purchase of {best.heater}"
    return Switch(name, "dollars", best.first, low, high, None, (value, second.heater))


def winters_best(scenario: Scenario, found: Money, seasons: Sequence[Season]) -> list[WinterBest]:
    """The cheapest of the fit heaters in each winter, mildest winter first."""
    names = [cost.heater for cost in found.fit]
    by_winter: dict[str, list[Season]] = {}
    for season in seasons:
        if season.heater in names:
            by_winter.setdefault(season.winter, []).append(season)
    best = []
    for winter, run in by_winter.items():
        costs = [cost_of(scenario, season.heater, [season]) for season in run]
        cheapest = min(costs, key=lambda cost: (cost.lost, cost.yearly or 0.0))
        need = float(run[0].ledger["heat_need_kWh"])
        best.append(WinterBest(winter, need, cheapest.heater))
    return sorted(best, key=lambda one: one.heat_kWh)


class _Trial(NamedTuple):
    what: str
    unit: str
    now: float
    low: float
    high: float
    changed: Callable[[Scenario, str, float], Scenario]
    only_best: bool = False
    house: bool = False
    """Whether the winters have to be made ready anew."""


def run_switches(
    scenario: Scenario, found: Money, seasons: Sequence[Season], engine: str = "auto"
) -> tuple[Switch, ...]:
    """Tightness, moisture and efficiency: the cheapest heaters run again at both ends."""
    fit = found.fit[: RIVALS + 1]
    if len(fit) < 2:
        return ()
    names = [cost.heater for cost in fit]
    chosen = few([season for season in seasons if season.heater == names[0]])
    weather = [season.weather for season in chosen]
    kept = {season.winter for season in chosen}
    needs = tuple(float(season.ledger["heat_need_kWh"]) for season in chosen)
    prepared = tuple(season.prepared for season in chosen)
    work = Work(engine_name(engine, len(chosen) * len(names)))
    same = SameWinters(scenario, prepared, needs, work)
    now = {
        name: cost_of(
            scenario, name, [s for s in seasons if s.heater == name and s.winter in kept]
        ).yearly
        or 0.0
        for name in names
    }
    best = min(now, key=lambda name: now[name])
    switches = []
    for trial in _trials(scenario, best, names):
        ends = {}
        for value in (trial.low, trial.high):
            rerun = [best] if trial.only_best else names
            other = trial.changed(scenario, best, value)
            run: Sequence[Season] = (
                run_seasons(other, rerun, weather, engine=engine)
                if trial.house
                else same._replace(scenario=other).seasons(rerun)
            )
            costs = dict(now)
            for name in rerun:
                theirs = [season for season in run if season.heater == name]
                costs[name] = cost_of(other, name, theirs).yearly or 0.0
            ends[value] = costs
        switches.append(_between(trial, now, ends, best))
    return tuple(switches)


def _between(
    trial: _Trial, now: dict[str, float], ends: dict[float, dict[str, float]], best: str
) -> Switch:
    sides: dict[bool, tuple[float, str] | None] = {}
    for up, end in ((False, trial.low), (True, trial.high)):
        sides[up] = None
        if end == trial.now:
            continue
        lines = {
            name: (now[name], (ends[end][name] - now[name]) / (end - trial.now)) for name in now
        }
        first = lines.pop(best)
        turn = crossing(trial.now, first, lines, up)
        if turn is not None and min(end, trial.now) <= turn[0] <= max(end, trial.now):
            sides[up] = turn
    return Switch(
        trial.what, trial.unit, trial.now, trial.low, trial.high, sides[False], sides[True]
    )


def _trials(scenario: Scenario, best: str, names: Sequence[str]) -> list[_Trial]:
    trials = []
    house = scenario.greenhouse
    if house.shape != "surfaces":
        rows = {row["name"]: row for row in read_rows("tightness")}
        here = rows[house.tightness]
        air = (house.air_changes or 0.0) * 3600.0 or float(here["air_changes_h"])
        trials.append(
            _Trial(
                "tightness", "air changes an hour", air, 0.5 * air, 2.0 * air, _with_air, house=True
            )
        )
    if any(burns(name) == "wood" for name in names):
        row = read_keyed("defaults")["fuel.moisture"]
        low, high = (float(row.low), float(row.high))
        wet = scenario.fuel.moisture
        trials.append(
            _Trial("moisture of the wood", "share", wet, min(low, wet), max(high, wet), _with_water)
        )
    rows_of = heater_table(best)
    if "efficiency_max" in rows_of:
        trials.append(_efficiency(scenario, best, rows_of["efficiency_max"]))
    return trials


def _efficiency(scenario: Scenario, best: str, row: Row) -> _Trial:
    own = scenario.heater.overrides if best == scenario.heater.kind else {}
    now = float(own.get("efficiency_max", row.number))
    scale = now / row.number
    return _Trial(
        f"efficiency of {best}", "share", now, scale * float(row.low), scale * float(row.high),
        _with_efficiency, only_best=True,
    )  # fmt: skip


def _with_air(scenario: Scenario, heater: str, value: float) -> Scenario:
    return scenario.with_(**{"greenhouse.air_changes": value / 3600.0})


def _with_water(scenario: Scenario, heater: str, value: float) -> Scenario:
    return scenario.with_(**{"fuel.moisture": value})


def _with_efficiency(scenario: Scenario, heater: str, value: float) -> Scenario:
    """The heater's whole curve, moved in proportion."""
    rows = heater_table(heater)
    own = scenario.heater.overrides if heater == scenario.heater.kind else {}
    top = float(own.get("efficiency_max", rows["efficiency_max"].number))
    changed: dict[str, float | str | int] = dict(own)
    changed["efficiency_max"] = value
    if "efficiency_min" in rows:
        lowest = float(own.get("efficiency_min", rows["efficiency_min"].number))
        changed["efficiency_min"] = lowest * value / top
    changed.pop("floor_share", None)
    return scenario.with_(heater={"kind": heater, "count": scenario.heater.count, **changed})
