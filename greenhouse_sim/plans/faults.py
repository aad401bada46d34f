"""Faults of the season: what each costs beside the plain season.

Every fault is run alone through every winter, then all together. What is left to chance is drawn
anew in each winter, and with few winters several times over, from a seed.
"""

from __future__ import annotations

import math
from collections.abc import Callable, Sequence
from datetime import datetime
from typing import TYPE_CHECKING, NamedTuple

import numpy as np

from greenhouse_sim.heater.burnt import default_fuel
from greenhouse_sim.heater.catalogue import burns
from greenhouse_sim.plans import mishaps
from greenhouse_sim.plans.foreseen import Work, done_all, foreseen, prepared, tasks_of
from greenhouse_sim.plans.other_wood import Wood
from greenhouse_sim.plans.stretches import Turn, run_in_stretches
from greenhouse_sim.season import tally as at
from greenhouse_sim.season.ledger import Identity, check_balance
from greenhouse_sim.season.many import Tallied, Task
from greenhouse_sim.season.run import Winter, scenario_fuel
from greenhouse_sim.tables.read import read_keyed
from greenhouse_sim.units import KWH_J
from greenhouse_sim.weather import Weather

if TYPE_CHECKING:
    from greenhouse_sim.scenario import Scenario

Array = np.ndarray
BACKUP_W = at.TRACE.index("backup_W")
CUTS, MISSED = 1, 2
"""Kinds of fault that are drawn."""


class Faults(NamedTuple):
    """How much goes wrong."""

    cuts_year: float
    """Power cuts a year."""
    cut_h: float
    """Length of each, h."""
    missed: float
    """Chance that a round falls out."""
    wet: float
    """Moisture of wet wood, wet basis."""
    blocked_days: int
    """Coldest days on which the chimney is blocked."""
    seed: int = 1


class Faulty(NamedTuple):
    """The season with one fault; arrays of shape (seasons,), turn by turn, winters in order."""

    name: str
    cold_h: Array
    damage_h: Array
    wakeups: Array
    lowest_C: Array
    backup_J: Array
    """Fuel of the back-up, gross."""
    tank_lasts: tuple[int | None, ...]
    """Hour of the season in which the back-up's tank runs empty (after it there is no back-up);
    None where it lasts."""


class Found(NamedTuple):
    """The whole answer."""

    winters: tuple[str, ...]
    starts: tuple[datetime, ...]
    """First hours of the winters."""
    turns: int
    """Times that each winter was drawn for."""
    faults: Faults
    seasons: tuple[Faulty, ...]
    """The plain season first, all faults together last."""
    tank_J: float

    def more(self, one: Faulty, key: str) -> Array:
        """What a fault adds to the plain season, one a season."""
        return np.asarray(getattr(one, key) - getattr(self.seasons[0], key))


def usual() -> Faults:
    """How much goes wrong where nobody says otherwise."""
    number = {key: row.number for key, row in read_keyed("faults").items()}
    return Faults(
        number["cuts"], number["cut_length"], number["missed"], number["wet"],
        int(number["blocked"]),
    )  # fmt: skip


def turns_for(winters: int) -> int:
    """Times that each winter is drawn for."""
    return math.ceil(read_keyed("faults")["drawings"].number / winters)


def names(scenario: Scenario) -> tuple[str, ...]:
    """Faults that this heater knows, in order."""
    kind = scenario.heater.kind
    given = ("the power cuts of the file",) if scenario.site.power_cuts else ()
    fuel = ("wet wood",) if burns(kind) == "wood" else ()
    fire = burns(kind) in ("wood", "pellets")
    tended = ("missed rounds",) if fire else ()
    chimney = ("blocked chimney",) if fire else ()
    return ("plain", *given, "power cuts", *tended, *fuel, *chimney, "all together")


def steps(scenario: Scenario, winters: int) -> int:
    """Steps of the work, for a bar."""
    return winters * (2 + turns_for(winters) * len(names(scenario)))


def faults(
    scenario: Scenario,
    weather: Sequence[Weather],
    given: Faults,
    tank_J: float = math.inf,
    work: Work | None = None,
) -> Found:
    """Run every fault.

    Parameters
    ----------
    scenario
        The scenario; its own power cuts are a fault of their own, not of the plain season.
    weather
        Its winters.
    given
        How much goes wrong.
    tank_J
        Fuel of the back-up at the season's start, J gross; inf where nobody asks.
    work
        How work is done and told.
    """
    turns, tried = turns_for(len(weather)), names(scenario)
    how = (work or Work()).settled(len(weather) * turns * len(tried))
    winters = foreseen(scenario, prepared(scenario, weather, how), how)
    base = tasks_of(scenario, winters, scenario.heater.kind, traced=math.isfinite(tank_J))
    changes = _changes(scenario, base, winters, given, set(tried))
    plain = [_with_power(task) for task in base]
    seasons = []
    for name in tried:
        some = list(changes.values()) if name == "all together" else [changes[name]]
        tasks = []
        for turn in range(turns):
            for n, task in enumerate(plain):
                for change in some:
                    task = change(task, n, turn)
                tasks.append(task)
        puts_out = "blocked chimney" in tried and name in ("blocked chimney", "all together")
        outs = [_first_blocked(one, given) for one in winters] if puts_out else [None] * len(plain)
        seasons.append(_run(name, tasks, outs * turns, tank_J, how))
    return Found(
        tuple(one.weather.name for one in winters), tuple(one.weather.start for one in winters),
        turns, given, tuple(seasons), tank_J,
    )  # fmt: skip


Change = Callable[[Task, int, int], Task]
"""A season's task, the number of its winter, the turn: the same with a fault in it."""


def _changes(
    scenario: Scenario, base: Sequence[Task], winters: Sequence[Winter], given: Faults,
    tried: set[str],
) -> dict[str, Change]:  # fmt: skip
    def own(task: Task, n: int, _: int) -> Task:
        return mishaps.without_power(task, base[n].calendar.power < 0.5)

    def cuts(task: Task, n: int, turn: int) -> Task:
        rng = mishaps.drawn(winters[n], given.seed, turn, CUTS)
        hours = winters[n].weather.hours
        dark = mishaps.cut_hours(hours, given.cuts_year, given.cut_h, rng)
        return mishaps.without_power(task, dark)

    def missed(task: Task, n: int, turn: int) -> Task:
        rng = mishaps.drawn(winters[n], given.seed, turn, MISSED)
        return mishaps.without_rounds(task, mishaps.missed_hours(winters[n], given.missed, rng))

    wet = _wet(scenario, winters[0], given.wet) if "wet wood" in tried else base[0]

    def soaked(task: Task, _: int, __: int) -> Task:
        return task._replace(heater=wet.heater, pile_kg=wet.pile_kg)

    def chimney(task: Task, n: int, _: int) -> Task:
        return mishaps.blocked(task, mishaps.coldest_days(winters[n], given.blocked_days))

    every: dict[str, Change] = {
        "plain": lambda task, _, __: task, "the power cuts of the file": own, "power cuts": cuts,
        "missed rounds": missed, "wet wood": soaked, "blocked chimney": chimney,
    }  # fmt: skip
    return {name: change for name, change in every.items() if name in tried}


def _first_blocked(winter: Winter, given: Faults) -> int:
    """Hour in which the chimney is found blocked, and the fire put out."""
    return int(np.argmax(mishaps.coldest_days(winter, given.blocked_days)))


def _with_power(task: Task) -> Task:
    return task._replace(calendar=task.calendar._replace(power=np.ones_like(task.calendar.power)))


def _wet(scenario: Scenario, winter: Winter, moisture: float) -> Task:
    """The heater with its wood at this moisture."""
    wood = Wood(default_fuel(scenario.heater.kind, scenario_fuel(scenario)).name, moisture)
    fuel = scenario.fuel.model_copy(update=wood._asdict())
    soaked = scenario.model_copy(update={"fuel": fuel})
    return tasks_of(soaked, [winter], scenario.heater.kind)[0]


def _run(
    name: str, tasks: Sequence[Task], outs: Sequence[int | None], tank_J: float, work: Work
) -> Faulty:
    """Run seasons, in some of which the fire is put out; after them those whose tank ran empty."""
    done = [
        _stretched(task, out, None, work) if out is not None else None
        for task, out in zip(tasks, outs, strict=True)
    ]
    rest = iter(
        done_all([task for task, run in zip(tasks, done, strict=True) if run is None], work)
    )
    runs = [next(rest) if run is None else run for run in done]
    lasts: list[int | None] = [None] * len(tasks)
    if math.isfinite(tank_J):
        for n, (task, out) in enumerate(zip(tasks, outs, strict=True)):
            lasts[n] = empty_at(runs[n].trace[:, BACKUP_W] / task.backup.efficiency, tank_J)
            if lasts[n] is not None:
                runs[n] = _stretched(task, out, lasts[n], work)
    total = np.array([run.total for run in runs])
    return Faulty(
        name, total[:, at.COLD_H], total[:, at.DAMAGE_H], total[:, at.WAKEUPS],
        total[:, at.LOWEST_AIR], total[:, at.BACKUP_FUEL_J], tuple(lasts),
    )  # fmt: skip


def _stretched(task: Task, out: int | None, empty: int | None, work: Work) -> Tallied:
    turns = [] if out is None else [Turn(out, put_out=True)]
    if empty is not None:
        turns.append(Turn(empty + 1, tank_empty=True))
    if empty is None:
        work.step()
    run = run_in_stretches(task, turns, work.engine)
    check_balance(run.total, Identity("a season", 1, "in stretches", "", None))
    return run


def empty_at(fuel_W: Array, tank_J: float) -> int | None:
    """Hour in which a tank runs empty; None where it lasts."""
    used = np.cumsum(fuel_W) * 3600.0
    over = np.flatnonzero(used > tank_J)
    return int(over[0]) if len(over) else None


def backup_kWh(found: Found, one: Faulty) -> Array:
    """Fuel of the back-up, kWh gross, one a season."""
    return np.asarray(one.backup_J / KWH_J)
