"""Tonight on the real simulation: from the present state, hour by hour, with what somebody does.

A way to spend the night is what is done at which hour (`Act`); between acts the fire burns and
the greenhouse cools as in any season. The loop's state is taken from the days run before, and
what the grower sees now is put in its place. Hours count from tonight's midnight before.
"""

from __future__ import annotations

import itertools
from typing import NamedTuple

import numpy as np

from greenhouse_sim.heater.numbers import ROOM_THERMOSTAT
from greenhouse_sim.plans.departures import nobody
from greenhouse_sim.plans.tonight_error import Member
from greenhouse_sim.plans.tonight_weather import Laid
from greenhouse_sim.routine.calendar import NEVER_C
from greenhouse_sim.routine.chances import BY_CLOCK
from greenhouse_sim.routine.numbers import Calendar
from greenhouse_sim.season import numbers as places
from greenhouse_sim.season import tally as at
from greenhouse_sim.season.hour import season
from greenhouse_sim.season.many import Task
from greenhouse_sim.season.modes import HOUR_S, Walk, close_books, hours_of
from greenhouse_sim.season.numbers import Hours

Array = np.ndarray
CROP, AIR, FUEL, LOADED, VISIT, WOKEN, BACKUP, FUEL_KG = (
    at.TRACE.index(name)
    for name in (
        "crop_C", "air_C", "fuel_left_kg", "loaded_kg", "visit", "woken", "backup_W", "fuel_kg",
    )
)  # fmt: skip
DAY_H = 24


class Act(NamedTuple):
    """What is done at the stroke of an hour."""

    hour: int
    level_kg: float
    """Fuel in the box afterwards, kg; what is there already stays."""
    setting_w: float
    """Fuel power that the air is set to, W."""
    put_kg: float | None = None
    """Where given, just this is put in, whatever is there already."""


class Here(NamedTuple):
    """Where the loop stands."""

    hour: int
    state: Array
    table: Array


class Night(NamedTuple):
    """The hours that matter, counted from midnight before the present."""

    task: Task
    """The heater, with the day's hours as walk and calendar."""
    now: int
    bed: int
    """The last look-in: the hour of the last load."""
    asleep: int
    """First hour of sleep."""
    morning: int
    """First look-in after it."""
    hold: float
    """Lowest setpoint of the night, °C."""
    lead_h: Array
    """Hours since the forecast was issued, at each hour."""
    laid: Laid


class Ran(NamedTuple):
    """The night as it went: the trace from now to morning, and where it ended."""

    trace: Array
    end: Here
    total: Array


def night_of(laid: Laid, task: Task, lead_h: Array) -> Night:
    """Tonight: from now to the first look-in after the coming (or present) sleep.

    Somebody who asks while the routine has them asleep is up: the last look-in is now. Without
    sleep in the next day (nobody at home) it lasts for twelve hours, or to the next look-in.
    """
    days = cut_days(task.calendar, laid.dawn)
    now = laid.now - laid.dawn
    asleep = np.flatnonzero(days.night[now : now + DAY_H] >= 0.0)
    begins = now + (int(asleep[0]) if asleep.size else DAY_H // 2)
    about = np.flatnonzero((days.chance > 0.5) & (days.chance < BY_CLOCK))
    awake = np.flatnonzero(days.night[begins:] < 0.0)
    up = begins + (int(awake[0]) if awake.size and asleep.size else 0)
    later = about[about >= max(up, now + 1)]
    morning = int(later[0]) if later.size else min(up + DAY_H // 2, days.chance.size)
    before = about[(about >= now) & (about < begins)]
    last = int(before[-1]) if before.size else now
    heater = task.heater
    if heater.watch_share > 0.0:
        burns_h = heater.charge_kg * heater.heat_j_kg / heater.burn_max_w / HOUR_S
        last = max(now, min(last, begins - int(np.ceil(burns_h))))
    hold = float(laid.winter.drive.setpoint[laid.dawn + begins : laid.dawn + morning].min())
    cut = task._replace(calendar=days, pile_kg=np.inf)
    return Night(cut, now, last, begins, morning, hold, lead_h, laid)


def cut_days(days: Calendar, first: int) -> Calendar:
    """A calendar from this hour on."""
    return Calendar(*(np.ascontiguousarray(values[first:]) for values in days))


def walk_for(night: Night, member: Member, first: int = 0, last: int | None = None) -> Walk:
    """The hours ``first`` to ``last`` of the day under a perturbed forecast.

    The grower still expects what the forecast said. Sky, covers and vapour stay as in the forecast:
    the sky is as much colder than the air as it was.
    """
    laid, task = night.laid, night.task
    house, slow = task.walk.house, task.walk.slow
    stop = task.calendar.chance.size if last is None else last
    part = slice(laid.dawn + first, laid.dawn + stop)
    plain = laid.winter.drive._replace(
        **{key: values[part] for key, values in laid.winter.drive._asdict().items()}
    )
    own = slice(first, stop)
    other = plain._replace(
        t_out=plain.t_out + member.shift_K[own],
        leak_wind=plain.leak_wind * (member.wind * member.wind),
    )
    made = {key: values[part] for key, values in task.walk.hours._asdict().items()}
    made["need_sum_j"] = task.walk.hours.need_sum_j[part.start : part.stop + 1]
    (before, known), (after, _) = hours_of(house, slow, plain), hours_of(house, slow, other)
    # what vapour takes is in the winter's own hours, and stays
    latent_w = before.push_w + plain.sun_latent_w - made["push_w"]
    made |= {
        "t_out": after.t_out,
        "push_w": made["push_w"] + after.push_w - before.push_w,
        "leak_wind": after.leak_wind,
        "into_modes": after.into_modes,
    }
    hours = Hours(**{key: np.ascontiguousarray(values) for key, values in made.items()})
    total = known.total.copy()
    total[at.LATENT_J] = HOUR_S * latent_w.sum()
    return Walk(house, slow, hours, known._replace(total=total))


def spend(
    night: Night, walk: Walk, here: Here, acts: tuple[Act, ...], alone_from: int | None
) -> Ran:
    """Run from ``here`` to morning.

    Parameters
    ----------
    acts
        What is done beside the routine, hours rising, none before ``here``.
    alone_from
        From this hour on the routine does nothing; None where it goes on all night.
    """
    task = night.task
    state, table = here.state.copy(), here.table.copy()
    trace = np.zeros((night.morning - here.hour, at.TRACE_SIZE))
    total = at.empty()
    empty = nobody(task.calendar)
    still = alone(task)
    turns = {here.hour, night.morning, *(act.hour for act in acts)}
    if alone_from is not None:
        turns.add(min(max(alone_from, here.hour), night.morning))
    order = sorted(turns)
    for first, last in itertools.pairwise(order):
        loaded = 0.0
        for act in acts:
            if act.hour == first:
                loaded = _done(state, act, task)
        left = alone_from is not None and first >= alone_from
        days = empty if left else task.calendar
        part = trace[first - here.hour : last - here.hour]
        walk_on(still if left else task, walk, days, first, last, state, table, part, total)
        part[0, LOADED] += loaded
        part[0, VISIT] += 1.0 if any(act.hour == first for act in acts) else 0.0
    return Ran(trace, Here(night.morning, state, table), total)


def up_to(night: Night, walk: Walk, here: Here, hour: int) -> tuple[Ran, Here]:
    """The evening by the routine, up to an hour; where it leaves off."""
    ran = spend(night._replace(morning=hour), walk, here, (), None)
    return ran, ran.end


def books(night: Night, here: Here, ran: Ran) -> Array:
    """The tally of a night that was run under the forecast from ``here``, with its books closed:
    the greenhouse's and the heater's energy must balance as a season's does."""
    walk = walk_for(night, Member(np.zeros(night.lead_h.size), 1.0), here.hour, night.morning)
    table = walk.slow.modes.table.copy()
    table[:, places.LEVEL] = here.table[:, places.LEVEL]
    slow = walk.slow._replace(modes=walk.slow.modes._replace(table=table))
    total = ran.total.copy()
    close_books(total, ran.end.table, ran.end.state, here.state, walk._replace(slow=slow))
    return total


def _done(state: Array, act: Act, task: Task) -> float:
    """Carry an act out; returns what was put in, kg."""
    level = act.level_kg if act.put_kg is None else state[places.FUEL] + act.put_kg
    loaded = max(0.0, min(level, task.heater.charge_kg) - state[places.FUEL])
    state[places.FUEL] += loaded
    state[places.SETTING] = act.setting_w
    if loaded > 0.0 and task.heater.law != ROOM_THERMOSTAT:
        state[places.LIT] = 1.0
    return float(loaded)


def no_trace() -> Array:
    """For hours whose trace nobody wants."""
    return np.zeros((0, at.TRACE_SIZE))


def alone(task: Task) -> Task:
    """The task of somebody who does not get up."""
    return task._replace(habits=task.habits._replace(gets_up_below=NEVER_C))


def walk_on(
    task: Task, walk: Walk, days: Calendar, first: int, last: int, state: Array, table: Array,
    trace: Array, total: Array,
) -> None:  # fmt: skip
    """Run the loop over some hours, in place."""
    season(
        walk.house, walk.slow.modes, walk.hours, days, task.habits, task.heater, task.backup,
        first, last, state, table, total, np.zeros(at.MONTHS), trace,
    )  # fmt: skip
