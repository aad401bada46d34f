"""Nights: what getting up is worth, for each heater."""

from __future__ import annotations

from collections.abc import Sequence
from typing import TYPE_CHECKING, NamedTuple

import numpy as np

from greenhouse_sim.heater.catalogue import burns
from greenhouse_sim.plans.compare import all_heaters
from greenhouse_sim.plans.design import Design, design_loss, design_night
from greenhouse_sim.plans.foreseen import Work, done_all, foreseen, prepared, tasks_of
from greenhouse_sim.plans.load_hours import LoadHours, load_hours
from greenhouse_sim.plans.night_log import Edge, Night, edge, night_log
from greenhouse_sim.plans.night_rules import WAYS, Rule, rules, under
from greenhouse_sim.routine.calendar import calendar
from greenhouse_sim.season import tally as at
from greenhouse_sim.season.many import Tallied, Task
from greenhouse_sim.season.run import Winter
from greenhouse_sim.weather import Weather

if TYPE_CHECKING:
    from greenhouse_sim.scenario import Scenario

Array = np.ndarray
TENDED = ("wood", "pellets")
"""Kinds of fuel that somebody must load."""
FEW = 5
"""Winters, evenly from the mildest to the hardest, that stand for all with heaters that are only
tried beside the scenario's own."""
KEYS = {
    "night_wakeups": at.WAKEUPS,
    "nights_with_wakeup": at.NIGHTS_WOKEN,
    "hours_below_setpoint": at.COLD_H,
    "degree_hours_below_setpoint": at.COLD_DEGREE_H,
    "hours_below_damage": at.DAMAGE_H,
    "lowest_air_C": at.LOWEST_AIR,
    "longest_sleep_h": at.LONGEST_SLEEP_H,
    "fuel_kg": at.FUEL_KG,
}
"""Keys of the ledger that are told, and their places in the tally."""


class Outcome(NamedTuple):
    """One heater under one rule."""

    heater: str
    rule: Rule
    winters: tuple[str, ...]
    total: Array
    """Tallies, shape (winters, tally.SIZE)."""

    def of(self, key: str) -> Array:
        """A key of `KEYS`, one value a winter."""
        return np.asarray(self.total[:, KEYS[key]])


class Nights(NamedTuple):
    """The whole answer."""

    heater: str
    """The scenario's own, or the first that was asked for: run in every winter."""
    winters: tuple[str, ...]
    rules: tuple[Rule, ...]
    outcomes: tuple[Outcome, ...]
    """Heater by heater, rule by rule."""
    log: tuple[Night, ...]
    """Every night of the first heater, under the alarm."""
    edge: Edge
    design: Design
    need_W: float
    """Of the design night, under a clear sky."""
    loads: dict[str, LoadHours]

    @property
    def heaters(self) -> tuple[str, ...]:
        """Heaters in order."""
        return tuple(dict.fromkeys(one.heater for one in self.outcomes))

    def of(self, heater: str) -> tuple[Outcome, ...]:
        """One heater under every rule."""
        return tuple(one for one in self.outcomes if one.heater == heater)


def tended() -> tuple[str, ...]:
    """Heaters that somebody must load, in the order of tables."""
    return tuple(name for name in all_heaters() if burns(name) in TENDED)


def steps(winters: int, named: int, others: int) -> int:
    """Steps of the work, for a bar: winters made ready, and seasons run."""
    return winters * (2 + named * WAYS) + others * min(winters, FEW) * WAYS


def nights(
    scenario: Scenario,
    weather: Sequence[Weather],
    records: Sequence[Weather],
    heaters: Sequence[str] | None = None,
    work: Work | None = None,
    ready: Sequence[Winter] | None = None,
) -> Nights:
    """What getting up is worth.

    Parameters
    ----------
    scenario
        The scenario.
    weather
        Its winters.
    records
        The weather that the design temperature is taken from (`season.run.read_records`).
    heaters
        Heaters to run in every winter; where none are named the scenario's own, and in a few
        winters (`FEW`) every other that somebody must load.
    work
        How work is done and told.
    ready
        The winters as the grower expects them, where they are at hand (`foreseen`).
    """
    how = (work or Work()).settled(len(weather) * WAYS)
    scenario = _without_clock(scenario)
    if ready is None:
        winters = foreseen(scenario, prepared(scenario, weather, how), how)
    else:
        winters = tuple(_at_home(scenario, winter) for winter in ready)
    named = list(dict.fromkeys(heaters or [scenario.heater.kind]))
    others = [] if heaters else [name for name in tended() if name not in named]
    ways = rules(scenario)
    some = few_of(winters)
    own = _runs(scenario, winters, named[0], ways, how, traced=True)
    outcomes = _outcomes(own, winters, named[0])
    for kinds, those in ((named[1:], winters), (others, some)):
        for kind in kinds:
            outcomes += _outcomes(_runs(scenario, those, kind, ways, how), those, kind)
    alarm = next(rule for rule in ways if rule.below_C is not None)
    log = night_log(winters, own[alarm])
    design = _design(scenario, winters, records)
    need_W = design.loss_W + design.clear_sky_W
    return Nights(
        named[0], _names(winters), ways, tuple(outcomes), log, edge(log), design, need_W,
        _loads(scenario, winters[0], [*named, *others], design, need_W),
    )  # fmt: skip


def _without_clock(scenario: Scenario) -> Scenario:
    """The scenario without a clock of its own: the rules bring theirs."""
    routine = scenario.routine.model_copy(update={"clock_every": None})
    return scenario.model_copy(update={"routine": routine})


def _at_home(scenario: Scenario, winter: Winter) -> Winter:
    """A winter with the calendar of this scenario; nothing else in it asks for the grower."""
    start, hours = winter.weather.start, winter.weather.hours
    days = calendar(scenario.routine, scenario.site.power_cuts, start, hours)
    return winter._replace(calendar=days)


def few_of(winters: Sequence[Winter]) -> list[Winter]:
    """`FEW` winters, evenly from the one that needs least heat to the one that needs most."""
    order = sorted(winters, key=lambda one: float(one.walk.hours.need_sum_j[-1]))
    if len(order) <= FEW:
        return order
    return [order[round(n)] for n in np.linspace(0, len(order) - 1, FEW)]


def _runs(
    scenario: Scenario,
    winters: Sequence[Winter],
    kind: str,
    ways: Sequence[Rule],
    work: Work,
    traced: bool = False,
) -> dict[Rule, list[Tallied]]:
    """One heater under every rule; with the traces of the alarm where they are asked for.

    A clock that is never set is "never": such a season is run once for all rules.
    """
    base = tasks_of(scenario, winters, kind)
    tasks: dict[tuple[object, ...], Task] = {}
    keys = {}
    for rule in ways:
        done = under(rule, base, winters)
        if traced and rule.below_C is not None:
            done = [task._replace(traced=True) for task in done]
        keys[rule] = [(number, *_same(task)) for number, task in enumerate(done)]
        tasks |= dict(zip(keys[rule], done, strict=True))
    found = dict(zip(tasks, done_all(list(tasks.values()), work), strict=True))
    for _ in range(len(ways) * len(winters) - len(tasks)):
        work.step()
    return {rule: [found[key] for key in keys[rule]] for rule in ways}


def _same(task: Task) -> tuple[object, ...]:
    """What the rules change in a season."""
    days = task.calendar
    return days.chance.tobytes(), days.gap_h.tobytes(), task.habits.gets_up_below


def _outcomes(
    runs: dict[Rule, list[Tallied]], winters: Sequence[Winter], kind: str
) -> list[Outcome]:
    names = _names(winters)
    return [
        Outcome(kind, rule, names, np.array([one.total for one in done]))
        for rule, done in runs.items()
    ]


def _names(winters: Sequence[Winter]) -> tuple[str, ...]:
    return tuple(one.weather.name for one in winters)


def _design(scenario: Scenario, winters: Sequence[Winter], records: Sequence[Weather]) -> Design:
    grounds = [float(one.drive.t_ground[np.argmin(one.drive.t_out)]) for one in winters]
    night = design_night(scenario, records, float(np.mean(grounds)))
    return design_loss(scenario, night, place=winters[0].weather)


def _loads(
    scenario: Scenario, winter: Winter, kinds: Sequence[str], design: Design, need_W: float
) -> dict[str, LoadHours]:
    inside, out = design.night.inside_C, design.night.temperature_C
    return {
        kind: load_hours(tasks_of(scenario, [winter], kind)[0].heater, need_W, inside, out)
        for kind in kinds
    }
