"""Learn a greenhouse from a thermometer log: factors with their uncertainty, and what to doubt."""

from __future__ import annotations

from collections.abc import Sequence
from datetime import timedelta
from typing import TYPE_CHECKING, NamedTuple

import numpy as np

from greenhouse_sim.journal.entry import LOAD, Entry
from greenhouse_sim.plans.fit_checks import (
    check_heat,
    check_length,
    check_units,
    clock,
    clock_note,
    heat_notes,
    moved,
    readings_note,
)
from greenhouse_sim.plans.fit_model import Model, build
from greenhouse_sim.plans.fit_run import AIR
from greenhouse_sim.plans.fit_solve import (
    FACTORS,
    Solved,
    by_tables,
    counted,
    guesses_hours,
    held,
    solve,
)
from greenhouse_sim.plans.logger import Load, Log, fit_number
from greenhouse_sim.weather import Weather

if TYPE_CHECKING:
    from greenhouse_sim.scenario import Scenario

Array = np.ndarray
NORMAL_95 = 1.96
"""Standard deviations of a normal distribution on each side of 95 % (definition)."""
TIED = 0.8
"""Correlation from which two estimates are told as not told apart (judgement)."""
LITTLE_LEARNED = 0.8
"""Spread left of the prior's from which the log has said little (judgement)."""
DAY_H = 24


class Estimate(NamedTuple):
    """A factor with its 95 % interval, beside what was believed before."""

    name: str
    value: float
    low: float
    high: float
    prior_low: float
    prior_high: float
    left: float
    """Spread of its logarithm over the prior's: near 1 the log said little."""


class Tie(NamedTuple):
    """Two estimates that the log could not tell apart."""

    first: str
    second: str
    correlation: float


class Fit(NamedTuple):
    """The whole answer."""

    model: Model
    solved: Solved
    estimates: tuple[Estimate, ...]
    ties: tuple[Tie, ...]
    before_C: Array
    """Simulated air of the tables' values, shape (hours,)."""
    after_C: Array
    """Simulated air of the fit by the heat noted, with the logger's constant error."""
    counted: Array
    """Hours that could count."""
    clock_h: int
    """Hours that the logger's clock was ahead of local standard time, and was set back by."""
    notes: tuple[str, ...]

    @property
    def rms_K(self) -> tuple[float, float]:
        """Root mean square of what the simulation misses, before and after, over `counted`."""
        return self._rms(self.before_C), self._rms(self.after_C)

    @property
    def doubted_h(self) -> int:
        """Hours that did not count for being too far off."""
        return int(np.sum(self.counted & (self.solved.weight <= 0.0)))

    @property
    def held_h(self) -> int:
        """Hours for which a thermostat held the air, by the heat noted."""
        return 0 if self.model.hold is None else int(self.model.hold.inside.sum())

    @property
    def loss_W_K(self) -> tuple[float, float]:
        """Mean loss coefficient of shell and leaks, before and after, W/K."""
        factors = self.solved.factors
        drive, house = self.model.drive, self.model.house
        gap = np.abs(self.after_C - drive.t_out)
        leak = house.leak_w_k * float(np.mean(np.sqrt(drive.leak_wind + house.leak_stack * gap)))
        shell = float(np.mean(drive.loss_w_k))
        return shell + leak, shell * factors["loss"] + leak * factors["leak"]

    def by_hour(self, simulated_C: Array) -> Array:
        """Mean of measured less simulated air by hour of the day, K; nan where no hour counted."""
        hour = (self.model.weather.start.hour + np.arange(len(simulated_C))) % DAY_H
        found = np.full(DAY_H, np.nan)
        for h in range(DAY_H):
            own = self.counted & (hour == h)
            if own.any():
                found[h] = float(np.mean((self.model.log.indoor_C - simulated_C)[own]))
        return found

    def _rms(self, simulated_C: Array) -> float:
        off = (self.model.log.indoor_C - simulated_C)[self.counted]
        return float(np.sqrt(np.mean(off * off)))


def with_loads(log: Log, entries: Sequence[Entry]) -> Log:
    """The log with the journal's loads of its hours, where it has none of its own."""
    if log.loads:
        return log
    loads = []
    for one in entries:
        hour = round((one.at - log.start) / timedelta(hours=1))
        if one.kind == LOAD and one.kg is not None and 0 <= hour < log.hours:
            loads.append(Load(hour, one.kg))
    note = f"{len(loads)} loads taken from the journal"
    return log._replace(loads=tuple(loads), notes=(*log.notes, note)) if loads else log


def fit(
    scenario: Scenario,
    record: Weather,
    log: Log,
    *,
    unheated: bool = False,
    engine: str = "auto",
) -> Fit:
    """Fit a greenhouse to a log.

    Parameters
    ----------
    scenario
        The farm.
    record
        The weather of the log's time.
    log
        The logger's record, see `greenhouse_sim.plans.logger.read_log`.
    unheated
        Whether no heater ran: needed where the log tells neither heat nor loads.
    engine
        As in `greenhouse_sim.season.many.run_many`.

    Raises
    ------
    ScenarioError, WeatherError
        The heat is not known, the log is too short or in another unit, the weather is of another
        time.
    """
    check_heat(log, unheated, scenario)
    model = build(scenario, record, log, engine)
    check_length(model)
    before = _before(model)
    check_units(model, before)
    hours = clock(scenario, record, model, before, engine)
    notes = [*log.notes, *_outdoor_note(model)]
    if guesses_hours(model):
        notes.append(
            "how the air of the fire was set is not noted, so days were compared and not hours, "
            "and the logger's clock was not checked; loads alone cannot say whether heat loss, sun "
            "and efficiency are all higher or all lower together: what was believed beforehand does"
        )
    if hours:
        model = build(scenario, record, log._replace(start=moved(log, hours)), engine)
        before = _before(model)
        notes.append(clock_note(hours))
    model = held(model)
    solved = solve(model)
    notes += [*heat_notes(model, solved), *readings_note(model, solved, hours)]
    return Fit(
        model,
        solved,
        estimates(solved),
        ties(solved),
        before,
        solved.simulated_C,
        counted(model),
        hours,
        tuple(notes),
    )


def _before(model: Model) -> Array:
    return by_tables(model)[:, AIR]


def _outdoor_note(model: Model) -> list[str]:
    outdoor = model.log.outdoor_C
    if outdoor is None:
        return []
    gap = float(np.nanmean(outdoor - model.weather.t_out_C))
    return [
        f"outdoors by the logger, {abs(gap):.1f} K {'warmer' if gap > 0 else 'colder'} in the mean "
        "than the weather file; a sensor in the sun reads too warm"
    ]


def estimates(solved: Solved) -> tuple[Estimate, ...]:
    """Every factor that was fitted."""
    found = []
    for k, name in enumerate(solved.names):
        if name not in FACTORS:
            continue
        spread, prior = float(np.sqrt(solved.covariance[k, k])), fit_number(name)
        x = float(solved.x[k])
        value, low, high = (float(np.exp(x + n * spread)) for n in (0.0, -NORMAL_95, NORMAL_95))
        least, most = (float(np.exp(n * prior)) for n in (-NORMAL_95, NORMAL_95))
        found.append(Estimate(name, value, low, high, least, most, spread / prior))
    return tuple(found)


def ties(solved: Solved) -> tuple[Tie, ...]:
    """Pairs that the log could not tell apart, the closest first."""
    spread = np.sqrt(np.diag(solved.covariance))
    correlation = solved.covariance / np.outer(spread, spread)
    found = [
        Tie(solved.names[i], solved.names[j], float(correlation[i, j]))
        for i in range(len(spread))
        for j in range(i)
        if abs(correlation[i, j]) >= TIED
    ]
    return tuple(sorted(found, key=lambda one: -abs(one.correlation)))
