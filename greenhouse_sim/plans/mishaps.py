"""What goes wrong, drawn or given: power cuts, rounds that fall out, a blocked chimney."""

from __future__ import annotations

import numpy as np

from greenhouse_sim.routine.chances import untended
from greenhouse_sim.routine.numbers import Calendar
from greenhouse_sim.season.many import Task
from greenhouse_sim.season.run import Winter

Array = np.ndarray
YEAR_H = 8766.0
MORNING, NOON = 5, 12
"""Clock hours at which a round begins: from five to noon, and from noon through the night."""


def drawn(winter: Winter, seed: int, turn: int, what: int) -> np.random.Generator:
    """Chance of its own for each winter, turn and kind of fault; the same when asked again."""
    start = winter.weather.start
    return np.random.default_rng([seed, start.year, start.month, turn, what])


def cut_hours(hours: int, rate_year: float, length_h: float, rng: np.random.Generator) -> Array:
    """True in hours without power, shape (hours,).

    Cuts come at random (Poisson) at so many a year, evenly over the season, each of one length.
    """
    dark = np.zeros(hours, dtype=bool)
    for begins in rng.integers(0, hours, size=rng.poisson(rate_year * hours / YEAR_H)):
        dark[begins : begins + max(1, round(length_h))] = True
    return dark


def missed_hours(winter: Winter, chance: float, rng: np.random.Generator) -> Array:
    """True in the hours of rounds that fall out, each with the same chance, shape (hours,).

    A round that falls out from noon takes the night with it: who is ill answers no alarm.
    """
    clock = (winter.weather.start.hour + np.arange(winter.weather.hours)) % 24
    begins = (clock == MORNING) | (clock == NOON)
    number = np.cumsum(begins)
    return np.asarray((rng.random(int(number[-1]) + 1) < chance)[number])


def coldest_days(winter: Winter, days: int) -> Array:
    """True in the so many days in a row, midnight to midnight, that are coldest outside."""
    hours = winter.weather.hours
    first = (24 - winter.weather.start.hour) % 24
    whole = (hours - first) // 24
    found = np.zeros(hours, dtype=bool)
    if whole < days:
        return found
    daily = winter.weather.t_out_C[first : first + 24 * whole].reshape(whole, 24).mean(axis=1)
    runs = np.convolve(daily, np.ones(days), mode="valid")
    begins = first + 24 * int(np.argmin(runs))
    found[begins : begins + 24 * days] = True
    return found


def without_power(task: Task, dark: Array) -> Task:
    """The season with power cuts in these hours, on top of those that it has."""
    power = np.where(dark, 0.0, task.calendar.power)
    return task._replace(calendar=task.calendar._replace(power=power))


def without_rounds(task: Task, missed: Array) -> Task:
    """The season without the rounds of these hours; the grower does not know it before."""
    return task._replace(calendar=untended(task.calendar, missed, known=False))


def blocked(task: Task, days: Array) -> Task:
    """The season with no new fire on these days.

    The fire is put out when they begin (`stretches`); an auger or a boiler's fan is switched off.
    The back-up goes on unless the same power feeds it.
    """
    calendar: Calendar = untended(task.calendar, days, known=False)
    if task.heater.needs_power > 0.5 and task.backup.needs_power < 0.5:
        calendar = calendar._replace(power=np.where(days, 0.0, calendar.power))
    return task._replace(calendar=calendar)
