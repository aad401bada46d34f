"""Is this log what it says: its heat, length, units and clock."""

from __future__ import annotations

from datetime import datetime, timedelta
from typing import TYPE_CHECKING

import numpy as np

from greenhouse_sim.errors import ScenarioError, WeatherError
from greenhouse_sim.heater.heater import heater_numbers
from greenhouse_sim.heater.numbers import FULL_BURN, SET_AND_LEAVE
from greenhouse_sim.plans.fit_model import Model, build
from greenhouse_sim.plans.fit_solve import counted, guesses_hours, solve
from greenhouse_sim.plans.logger import Log, fit_number
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

    The day's rhythm of the measured air is laid over that of the simulated, hour by hour; the
    best places are fitted, and a clock is only moved where the residual falls clearly. Beside a
    fire whose hours are not known the sun cannot be told from it: then 0.
    """
    if guesses_hours(model):
        return 0
    likeness = {k: _likeness(model, before_C, k) for k in range(-MOST_SHIFT_H, MOST_SHIFT_H + 1)}
    best = max(likeness, key=lambda k: likeness[k])
    tried = [
        k
        for k in range(best - 1, best + 2)
        if k and likeness.get(k, -1.0) > likeness[best] - CLOSE_CORRELATION
    ]
    if not tried:
        return 0
    sigma = {0: solve(model, rounds=1).sigma_K}
    for k in tried:
        log = model.log._replace(start=moved(model.log, k))
        sigma[k] = solve(build(scenario, record, log, engine), rounds=1).sigma_K
    found = min(sigma, key=lambda k: sigma[k])
    return found if sigma[found] < (1.0 - fit_number("clock_gain")) * sigma[0] else 0


def moved(log: Log, hours: int) -> datetime:
    """The log's beginning with its clock set back."""
    return log.start - timedelta(hours=hours)


def _likeness(model: Model, before_C: Array, ahead: int) -> float:
    """Correlation of the days' rhythms if the logger's clock is so many hours ahead."""
    read = _rhythm(np.where(counted(model), model.log.indoor_C, np.nan))
    made = np.roll(_rhythm(before_C), ahead)
    both = ~np.isnan(read) & ~np.isnan(made)
    if both.sum() < DAY_H:
        return -1.0
    return float(np.corrcoef(read[both], made[both])[0, 1])


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
