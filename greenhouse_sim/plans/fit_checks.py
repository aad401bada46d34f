"""Is this log what it says: its heat, length, units, clock and readings."""

from __future__ import annotations

from datetime import datetime, timedelta
from typing import TYPE_CHECKING

import numpy as np

from greenhouse_sim.errors import ScenarioError, WeatherError
from greenhouse_sim.heater.heater import heater_numbers
from greenhouse_sim.heater.numbers import FULL_BURN, SET_AND_LEAVE
from greenhouse_sim.plans.fit_model import Model, build
from greenhouse_sim.plans.fit_run import AIR, HEAT
from greenhouse_sim.plans.fit_solve import (
    FACTORS,
    Solved,
    at_levels,
    by_tables,
    counted,
    guesses_hours,
    heat_noted,
    read_of,
    solve,
    told,
)
from greenhouse_sim.plans.logger import Log, fit_number
from greenhouse_sim.plans.logger_hours import MEANS, MEANS_AFTER
from greenhouse_sim.weather import Weather

if TYPE_CHECKING:
    from greenhouse_sim.scenario import Scenario

Array = np.ndarray
DAY_H = 24
OTHER_UNIT_K = 5.0
"""A log is only suspected of another unit if it lies this far from the model, K (judgement)."""
MOST_SHIFT_H = 14
CLOSE_CORRELATION = 0.03
"""Hours beside the best whose correlation is within this are tried as well (judgement)."""
BELIEVED = 4.0
"""Spreads of what is believed beforehand beyond which an estimate is no estimate (judgement)."""
MEANS_FROM = 0.12
"""Of `means_share`: twenty made-up logs of means gave 0.21 to 0.33 and twenty of moments −0.04 to
0.02 (judgement between them)."""


def check_heat(log: Log, unheated: bool, scenario: Scenario) -> None:
    """Refuse a log that does not say what heat there was, hour by hour."""
    if unheated and (log.loads or log.heat_W is not None):
        raise ScenarioError(f"{log.name}: tells of heat; leave --unheated out")
    if not unheated and not log.loads and log.heat_W is None:
        raise ScenarioError(
            f"{log.name}: does not tell what heat there was; add a column heat [W] or loaded [lb], "
            f"note the loads of {scenario.heater.kind} in the journal, or write --unheated if no "
            "heater ran"
        )
    if log.loads:
        _check_loads(log, scenario)


def _check_loads(log: Log, scenario: Scenario) -> None:
    """Refuse the loads of a heater whose heat a thermostat gives: its hours are not theirs."""
    heater = heater_numbers(scenario.heater.kind, 1, scenario.heater.overrides)
    by_itself = heater.law in (SET_AND_LEAVE, FULL_BURN) and heater.coil_w_k <= 0.0
    if not by_itself:
        raise ScenarioError(
            f"{log.name}: the loads of {scenario.heater.kind} do not tell when it gave its heat, "
            "since a thermostat asks for it; add a column heat [W], or log some weeks without heat "
            "and write --unheated"
        )


def check_length(model: Model) -> None:
    """Refuse a log with too few hours that can count."""
    least, have = fit_number("least_days"), float(np.sum(counted(model))) / DAY_H
    if have < least:
        raise WeatherError(
            f"{model.log.name}: has {have:.0f} days of hours that can be used (known, with "
            f"weather, not near the vent temperature); name a log of at least {least:.0f}"
        )


def check_units(model: Model, before_C: Array) -> None:
    """Refuse degrees Fahrenheit that were taken for Celsius, and the other way round."""
    use = counted(model) | ~np.isnan(model.log.indoor_C)
    pairs = [("indoor", model.log.indoor_C, before_C)]
    if model.log.outdoor_C is not None:
        # first: the simulated air goes by it
        pairs.insert(0, ("outdoor", model.log.outdoor_C, model.weather.t_out_C))
    for name, read, expected in pairs:
        as_f, as_c = (read - 32.0) / 1.8, read * 1.8 + 32.0
        off, off_f, off_c = (
            float(np.sqrt(np.nanmean((values - expected)[use] ** 2)))
            for values in (read, as_f, as_c)
        )
        if off < OTHER_UNIT_K or min(off_f, off_c) > 0.5 * off:
            continue
        wrong, right = ("degC", "degF") if off_f < off_c else ("degF", "degC")
        raise WeatherError(
            f"{model.log.name}: its column {name} is headed as [{wrong}], but its values fit the "
            f"weather far better as [{right}] ({min(off_f, off_c):.0f} K off and not {off:.0f} K); "
            f"write {name} [{right}] in its header row"
        )


def clock(scenario: Scenario, record: Weather, model: Model, before_C: Array, engine: str) -> int:
    """Hours by which the logger's clock is ahead of local standard time, told by the sun.

    The day's rhythm of the measured air is laid over that of the simulated, hour by hour, or that
    of the heat where the air is held; the best places are fitted, and a clock is only moved where
    the residual falls clearly. A place is left aside where the fit follows the log by factors that
    nobody would believe: air that a thermostat holds is followed best by a house that never
    changes. Beside a fire whose hours are not known the sun cannot be told from it: then 0.
    """
    if guesses_hours(model):
        return 0
    own = at_levels(model)
    read, made_K = model.log.indoor_C, before_C
    if own.hold is not None:
        trace = by_tables(own)
        read, made_K = read_of(own), told(own, trace[:, AIR], trace[:, HEAT])
    read = np.where(counted(own), read, np.nan)
    likeness = {k: _likeness(read, made_K, k) for k in range(-MOST_SHIFT_H, MOST_SHIFT_H + 1)}
    best = max(likeness, key=lambda k: likeness[k])
    tried = [
        k
        for k in range(best - 1, best + 2)
        if k and likeness.get(k, -1.0) > likeness[best] - CLOSE_CORRELATION
    ]
    if not tried:
        return 0
    as_it_is = solve(model, rounds=1)
    no_house = own.hold is not None and bool(unbelievable(as_it_is))
    sigma = {0: np.inf if no_house else as_it_is.sigma_K}
    for k in tried:
        log = model.log._replace(start=moved(model.log, k))
        solved = solve(build(scenario, record, log, engine), rounds=1)
        if not unbelievable(solved):
            sigma[k] = solved.sigma_K
    found = min(sigma, key=lambda k: sigma[k])
    return found if sigma[found] < (1.0 - fit_number("clock_gain")) * sigma[0] else 0


def unbelievable(solved: Solved) -> tuple[str, ...]:
    """Factors that lie far outside what was believed beforehand."""
    return tuple(
        name
        for name, x in zip(solved.names, solved.x, strict=True)
        if abs(float(x)) > BELIEVED * fit_number(name)
    )


def moved(log: Log, hours: int) -> datetime:
    """The log's beginning with its clock set back."""
    return log.start - timedelta(hours=hours)


def _likeness(read: Array, made: Array, ahead: int) -> float:
    """Correlation of the days' rhythms if the logger's clock is so many hours ahead."""
    one, other = _rhythm(read), np.roll(_rhythm(made), ahead)
    both = ~np.isnan(one) & ~np.isnan(other)
    if both.sum() < DAY_H:
        return -1.0
    return float(np.corrcoef(one[both], other[both])[0, 1])


def _rhythm(values: Array) -> Array:
    """What a temperature does within the day: less its mean over 24 hours around it."""
    known = ~np.isnan(values)
    window = np.ones(DAY_H)
    total = np.convolve(np.where(known, values, 0.0), window, mode="same")
    count = np.convolve(known.astype(float), window, mode="same")
    return np.where(known & (count >= DAY_H / 2), values - total / np.maximum(count, 1.0), np.nan)


def clock_note(hours: int) -> str:
    """What was done about a clock."""
    count = f"{abs(hours)} hour" + ("s" if abs(hours) > 1 else "")
    way = "ahead of" if hours > 0 else "behind"
    why = " (summer time?)" if hours == 1 else " (another zone?)" if abs(hours) > 1 else ""
    return (
        f"by the sun, the logger's clock runs {count} {way} local standard time{why}; it was set "
        "right for this fit"
    )


def heat_notes(model: Model, solved: Solved) -> list[str]:
    """How noted heat was used, and where no house can be as it was fitted."""
    notes = []
    if heat_noted(model):
        notes.append(
            "the heat noted is taken as right, and its error goes into losses and sun alike; it is "
            f"taken to fall as that of the scenario's heater ({model.scenario.heater.kind}) does, "
            f"about {model.heater.floor_share:.0%} of it on the floor"
        )
        notes.append(_held_note(model))
    wild = [name for name in unbelievable(solved) if name in FACTORS]
    if wild:
        notes.append(
            f"no house has such a {' and '.join(wild)}; the log does not fit this farm, its "
            "weather or its heat: look at their times and units before using any factor"
        )
    return notes


def _held_note(model: Model) -> str:
    if model.hold is not None:
        return (
            f"a thermostat held the air for {model.hold.inside.sum()} h; there its heat was "
            "compared with what the simulated house asks for, and elsewhere the air"
        )
    return (
        "no thermostat was seen to hold the air, so the heat was taken for a cause and the air was "
        "compared; if the heat was given by need all the same, by hand or beside vents and lamps, "
        "the soil may come out too high"
    )


def readings_note(model: Model, solved: Solved, clock_h: int) -> list[str]:
    """What is said where readings an hour apart look like means, though taken as of a moment.

    Means of the hour after their stamp look like a clock an hour behind and means of the hour
    before: what was found of the clock (``clock_h``) decides which of the two is told.
    """
    share = means_share(model, solved)
    if abs(share) < MEANS_FROM:
        return []
    before = clock_h != -1 if share > 0.0 else clock_h == 1
    when, way = ("before", MEANS) if before else ("after", MEANS_AFTER)
    told = (
        f"the readings fit better as the mean of the hour {when} their stamp than as made at that "
        f"moment; if the logger writes means, fit again with --readings {way} (heat capacity, sun "
        "and leaks come out wrong otherwise)"
    )
    if clock_h == (1 if before else -1):
        return [f"{told}, and its clock may be right after all"]
    return [f"{told}; if not, its clock may be off by half an hour"]


def means_share(model: Model, solved: Solved) -> float:
    """How far readings an hour apart follow the hour before them, and not their moment.

    With m the simulated means, a reading of the moment between the hours k − 1 and k is near
    (m(k−1) + m(k))/2, a mean of the hour before m(k−1), of the hour after m(k). What is measured
    beyond the moment's is regressed on (m(k−1) − m(k))/2: 0 for moments, 1 and −1 for means
    without error. Steps from hour to hour are compared, since the residual remembers itself. A fit
    that has made up for the lag with more heat capacity leaves a quarter of it. 0 where it cannot
    be asked: other steps, or a fire whose hours are not known.
    """
    read = model.log.at_hour_C
    if read is None or guesses_hours(model):
        return 0.0
    made = solved.simulated_C
    before = np.concatenate([[np.nan], made[:-1]])
    left = np.where(solved.weight > 0.0, read - 0.5 * (before + made), np.nan)
    lag = np.diff(0.5 * (before - made))
    step = np.diff(left)
    use = ~np.isnan(step) & ~np.isnan(lag)
    return float(np.sum(lag[use] * step[use]) / np.sum(lag[use] ** 2)) if use.any() else 0.0
