"""Seasons with what the grower does not know drawn at random, and what that moves.

The winter is one of the unknowns, so the spread of the answers is that of a coming winter on a
farm like this, and the number of seasons does not grow with the number of winters. Draws are a
scrambled Sobol sequence with a fixed seed (`scipy.stats.qmc`), worked through in a fixed order: the
answer is the same on any number of cores.
"""

from __future__ import annotations

import math
from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass
from typing import TYPE_CHECKING, Any, NamedTuple

import numpy as np

from greenhouse_sim.errors import GreenhouseError
from greenhouse_sim.plans import unknowns as of
from greenhouse_sim.plans.changed_winter import Pair, changed_winter, sun_by_planting
from greenhouse_sim.plans.ledgers import Held, held, ledger_of
from greenhouse_sim.plans.rank import Indices, effect, indices
from greenhouse_sim.plans.unknowns import OF_HOUSE, Unknown, unknowns
from greenhouse_sim.season.many import Advance, Task, Tell, engine_name, run_many
from greenhouse_sim.season.run import expecting, task

if TYPE_CHECKING:
    from greenhouse_sim.scenario import Scenario
    from greenhouse_sim.weather import Weather

Array = np.ndarray
Row = Mapping[str, Any]
DRAWS = 64
FEWEST, MOST = 16, 8192
SEED = 1
CHUNK = 32
"""Houses worked on at a time: memory does not grow with the draws."""
ANSWERS = ("fuel", "hours_below_setpoint")
"""What the unknowns are ranked by; fuel is cords where wood is burnt, else the fuel's energy."""


class Ranking(NamedTuple):
    """How much each unknown moves one answer, arrays of shape (unknowns,)."""

    indices: Indices
    effect: Array
    """What the answer changes by from an unknown's 10th to its 90th percentile (not a winter's)."""


@dataclass(frozen=True, eq=False)
class Uncertain:
    """One heater's seasons with the unknowns drawn."""

    heater: str
    unknowns: tuple[Unknown, ...]
    values: Array
    """What was drawn, shape (2·draws, unknowns): a winter by its number."""
    rows: tuple[Row, ...]
    """Ledgers, one for each row of ``values``."""
    ranking: Mapping[str, Ranking | None]
    """By answer; empty where the heater was not ranked, None where nothing moves the answer."""

    def answer(self, name: str) -> Array:
        """One of `ANSWERS` for every draw."""
        return np.array([answer(row, name) for row in self.rows])


def answer(row: Row, name: str) -> float:
    """One of `ANSWERS` from a ledger."""
    if name == "fuel":
        cords = row["cords"]
        return float(row["fuel_energy_kWh"] if cords is None else cords)
    return float(row[name])


def draws_of(asked: int) -> int:
    """Draws for what was asked: the power of two from there on, which Sobol's sequence wants."""
    if not FEWEST <= asked <= MOST:
        raise GreenhouseError(
            f"--uncertain {asked}: write a number of draws from {FEWEST} to {MOST}, such as {DRAWS}"
        )
    return int(2 ** math.ceil(math.log2(asked)))


def seasons_of(count: int, draws: int, ranked: bool) -> int:
    """Seasons of one heater for this many unknowns."""
    return draws * (count + 2 if ranked else 2)


def uncertain(
    scenario: Scenario,
    winters: Sequence[Weather],
    heaters: Sequence[str],
    *,
    draws: int = DRAWS,
    ranked: Sequence[str] | None = None,
    engine: str = "auto",
    workers: int | None = None,
    tell: Tell | None = None,
    advance: Advance | None = None,
) -> list[Uncertain]:
    """Run heaters with the unknowns of the farm drawn ``2·draws`` times.

    Parameters
    ----------
    scenario
        The farm as written; its values are taken as the likeliest.
    winters
        Drawn evenly.
    heaters
        Names of the catalogue; all see the same houses and winters.
    draws
        Rows of each of the two tables of draws, a power of two (`draws_of`).
    ranked
        Heaters whose unknowns are ranked: as many draws again for each unknown. All by default.
    engine, workers, tell
        See `greenhouse_sim.season.many.run_many`.
    advance
        Counts seasons: the sum of `seasons_of` over the heaters.
    """
    tell_rank = set(heaters if ranked is None else ranked)
    plans = [_Plan(scenario, kind, len(winters), draws, kind in tell_rank) for kind in heaters]
    chosen = engine_name(engine, draws * len(heaters))
    pairs = _Pairs(scenario, winters)
    by_house = _by_house(plans)
    for houses in _chunks(list(by_house), CHUNK):
        built = [changed_winter(pairs.of(dict(house)), dict(house)) for house in houses]
        found = held(scenario, built, chosen, workers)
        todo, places = [], []
        for house, one in zip(houses, found, strict=True):
            for plan, number in by_house[house]:
                todo.append(plan.task(number, one))
                places.append((plan, number, one))
        done = run_many(todo, chosen, workers, tell, advance)
        for (plan, number, one), ran in zip(places, done, strict=True):
            plan.keep(number, one, ran)
    return [plan.result() for plan in plans]


class _Plan:
    """The draws of one heater, and its ledgers as they come in."""

    def __init__(
        self, scenario: Scenario, kind: str, winters: int, draws: int, ranked: bool
    ) -> None:
        self.scenario, self.kind, self.draws, self.ranked = scenario, kind, draws, ranked
        self.unknowns = unknowns(scenario, kind, winters)
        self.values = _table(self.unknowns, draws, ranked)
        self.rows: list[Row | None] = [None] * len(self.values)

    def at(self, number: int) -> dict[str, float]:
        """The unknowns of a draw by key."""
        drawn = self.values[number]
        return {one.key: float(v) for one, v in zip(self.unknowns, drawn, strict=True)}

    def house(self, number: int) -> tuple[tuple[str, float], ...]:
        """Those that change the house."""
        return tuple((key, v) for key, v in self.at(number).items() if key in OF_HOUSE)

    def task(self, number: int, found: Held) -> Task:
        """The season of a draw."""
        values = self.at(number)
        scenario = _with_moisture(self.scenario, values)
        habit = scenario.routine.looks_ahead == "habit"
        winter = expecting(found.winter, found.needed_W, habit)
        one = task(scenario, winter, self.kind, False)
        better = values.get(of.EFFICIENCY, 1.0)
        heater = one.heater._replace(
            efficiency_max=one.heater.efficiency_max * better,
            efficiency_min=one.heater.efficiency_min * better,
            efficiency_slope=one.heater.efficiency_slope * better,
        )
        margin = one.habits.margin * values.get(of.MARGIN, 1.0)
        return one._replace(
            heater=heater,
            habits=one.habits._replace(margin=margin),
            pile_kg=one.pile_kg * values.get(of.CORD, 1.0),
        )

    def keep(self, number: int, found: Held, ran: Any) -> None:
        """Take a season's tally in."""
        values = self.at(number)
        scenario = _with_moisture(self.scenario, values)
        row = ledger_of(scenario, self.kind, found.winter, ran, found.need_kWh)
        if row["cords"] is not None:
            row["cords"] /= values.get(of.CORD, 1.0)
        self.rows[number] = row

    def result(self) -> Uncertain:
        """All draws and their ranking."""
        rows = tuple(row for row in self.rows if row is not None)
        n = self.draws
        ranking = {name: self._ranked(name, rows) for name in ANSWERS} if self.ranked else {}
        return Uncertain(self.kind, self.unknowns, self.values[: 2 * n], rows[: 2 * n], ranking)

    def _ranked(self, name: str, rows: Sequence[Row]) -> Ranking | None:
        n, count = self.draws, len(self.unknowns)
        found = np.array([answer(row, name) for row in rows])
        f_a, f_b, mixed = found[:n], found[n : 2 * n], found[2 * n :].reshape(count, n)
        winter = next((i for i, one in enumerate(self.unknowns) if one.key == of.WINTER), None)
        shares = indices(f_a, f_b, mixed, winter, SEED)
        if shares is None:
            return None
        x_a, x_b = self.values[:n].T, self.values[n : 2 * n].T
        moves = [effect(x_a[i], x_b[i], f_a, mixed[i]) for i in range(count)]
        return Ranking(shares, np.array(moves))


def _with_moisture(scenario: Scenario, values: Mapping[str, float]) -> Scenario:
    if of.MOISTURE not in values:
        return scenario
    fuel = scenario.fuel.model_copy(update={"moisture": values[of.MOISTURE]})
    return scenario.model_copy(update={"fuel": fuel})


class _Pairs:
    """The winters, each prepared when it is first drawn."""

    def __init__(self, scenario: Scenario, winters: Sequence[Weather]) -> None:
        self.scenario, self.winters = scenario, winters
        self.ready: dict[int, Pair] = {}

    def of(self, house: Mapping[str, float]) -> Pair:
        """The winter of a draw."""
        number = int(house.get(of.WINTER, 0.0))
        if number not in self.ready:
            planting = of.PLANTED in house
            self.ready[number] = sun_by_planting(self.scenario, self.winters[number], planting)
        return self.ready[number]


def _table(found: Sequence[Unknown], draws: int, ranked: bool) -> Array:
    """A and B, then for each unknown A with its column from B: shape (draws·(2 + …), unknowns)."""
    import warnings

    from scipy.stats import qmc

    count = len(found)
    with warnings.catch_warnings():
        warnings.simplefilter("ignore", UserWarning)
        even = qmc.Sobol(2 * count, scramble=True, seed=SEED).random(draws)
    a, b = even[:, :count], even[:, count:]
    tables = [a, b]
    for i in range(count if ranked else 0):
        mixed = a.copy()
        mixed[:, i] = b[:, i]
        tables.append(mixed)
    whole = np.concatenate(tables)
    return np.column_stack([one.drawn(whole[:, i]) for i, one in enumerate(found)])


def _by_house(plans: Sequence[_Plan]) -> dict[tuple[tuple[str, float], ...], list]:
    """Every different house, and the draws of every heater that stand in it."""
    found: dict[tuple[tuple[str, float], ...], list] = {}
    for plan in plans:
        for number in range(len(plan.values)):
            found.setdefault(plan.house(number), []).append((plan, number))
    return found


def _chunks(whole: Sequence, size: int) -> Iterator[Sequence]:
    for first in range(0, len(whole), size):
        yield whole[first : first + size]
