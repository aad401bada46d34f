"""KERNEL: how an hour begins in every lane: its weather, and what the air loses through it."""

from __future__ import annotations

import math

import numpy as np

from greenhouse_sim.routine.decide import until
from greenhouse_sim.season.balance import pace
from greenhouse_sim.season.beside import lanes as row
from greenhouse_sim.season.beside.lanes import BY_HOUR, INTO, LANES, NO_STORE, Winter, put_pace
from greenhouse_sim.season.numbers import Array

DAY_H = 24


def within_month(month: Array, first: int, last: int) -> int:
    """The end of the hours from ``first`` that are of one month, at most ``last``."""
    while month[last - 1] != month[first]:
        last -= 1
    return last


def take_day(day: Array, modes: int, lane: int, winter: Winter, first: int, last: int) -> None:
    """Lay the hours of a day into a lane.

    A whole day at a time: what was just laid number by number cannot be read four at once.
    """
    hours, days = winter.hours, winter.calendar
    for h in range(first, last):
        # an index that cannot be negative is not asked whether it counts from the end
        now = np.uint64(h)
        into = day[np.uint64(h % DAY_H)]
        into[row.T_OUT - row.T_OUT + lane] = hours.t_out[now]
        into[row.T_GROUND - row.T_OUT + lane] = hours.t_ground[now]
        into[row.PULL_H - row.T_OUT + lane] = hours.pull_w_k[now]
        into[row.VAPOUR_H - row.T_OUT + lane] = hours.vapour_w_k[now]
        into[row.PUSH_H - row.T_OUT + lane] = hours.push_w[now]
        into[row.LEAK_WIND - row.T_OUT + lane] = hours.leak_wind[now]
        into[row.HOLD - row.T_OUT + lane] = hours.setpoint[now]
        into[row.CHANCE - row.T_OUT + lane] = days.chance[now]
        into[row.ASLEEP - row.T_OUT + lane] = days.asleep[now]
        into[row.GAP - row.T_OUT + lane] = days.gap_h[now]
        into[row.NIGHT - row.T_OUT + lane] = days.night[now]
        into[row.POWER - row.T_OUT + lane] = days.power[now]
        into[row.AWAY - row.T_OUT + lane] = days.away[now]
        into[row.NEED - row.T_OUT + lane] = until(hours.need_sum_j, h, days.gap_h[now])
        for i in range(modes):
            into[(BY_HOUR + i) * LANES + lane] = hours.into_modes[now, np.uint64(i)]


def take_hour(work: Array, tab: Array, day: Array, n: int, hour: int) -> None:
    """Take an hour of the day, each lane its own."""
    of = day[np.uint64(hour)]
    for k in range(BY_HOUR):
        for lane in range(n):
            work[row.T_OUT + k * LANES + lane] = of[k * LANES + lane]
    for i in range(tab.shape[0]):
        for lane in range(n):
            tab[i, INTO + lane] = of[(BY_HOUR + i) * LANES + lane]


def share_hour(work: Array, tab: Array, winter: Winter, n: int, h: int) -> None:
    """Take an hour of the winter that all lanes share."""
    hours, days, now = winter.hours, winter.calendar, np.uint64(h)
    gap_h = days.gap_h[now]
    fill(work, row.T_OUT, n, hours.t_out[now])
    fill(work, row.T_GROUND, n, hours.t_ground[now])
    fill(work, row.PULL_H, n, hours.pull_w_k[now])
    fill(work, row.VAPOUR_H, n, hours.vapour_w_k[now])
    fill(work, row.PUSH_H, n, hours.push_w[now])
    fill(work, row.LEAK_WIND, n, hours.leak_wind[now])
    fill(work, row.HOLD, n, hours.setpoint[now])
    fill(work, row.CHANCE, n, days.chance[now])
    fill(work, row.ASLEEP, n, days.asleep[now])
    fill(work, row.GAP, n, gap_h)
    fill(work, row.NIGHT, n, days.night[now])
    fill(work, row.POWER, n, days.power[now])
    fill(work, row.AWAY, n, days.away[now])
    fill(work, row.NEED, n, until(hours.need_sum_j, h, gap_h))
    for i in range(tab.shape[0]):
        here = hours.into_modes[now, np.uint64(i)]
        for lane in range(n):
            tab[i, INTO + lane] = here


def fill(work: Array, place: int, n: int, value: float) -> None:
    """Give all lanes a number."""
    for lane in range(n):
        work[place + lane] = value


def open_hour(work: Array, n: int, store: int, new_day: bool) -> None:
    """What the air loses in this hour, and sums that begin at nothing."""
    for lane in range(n):
        work[row.SINCE_WOKEN + lane] += 1.0
        watched = 0.0 if new_day else work[row.WATCHED + lane]
        work[row.WATCHED + lane] = watched
        power = work[row.POWER + lane] > 0.5
        patient = work[row.WATCH_SHARE + lane] <= 0.0 or watched < work[row.STAYS_BY_H + lane]
        burns = work[row.NEEDS_POWER + lane] < 0.5 or power
        tends = work[row.HAND_FED + lane] > 0.5 and patient and burns
        work[row.TENDS + lane] = 1.0 if tends else 0.0
        helped = power or work[row.BACKUP_NEEDS + lane] < 0.5
        work[row.BACKUP_MOST + lane] = work[row.BACKUP_MAX + lane] if helped else 0.0
    for lane in range(n):
        t_out = work[row.T_OUT + lane]
        leak_w_k = work[row.LEAK_REF + lane] * math.sqrt(
            work[row.LEAK_WIND + lane]
            + work[row.LEAK_STACK + lane] * abs(work[row.AIR + lane] - t_out)
        )
        open_w_k = work[row.PULL_H + lane] + leak_w_k
        work[row.LEAK + lane] = leak_w_k
        work[row.OPEN + lane] = open_w_k
        work[row.FIXED + lane] = work[row.PUSH_H + lane] + leak_w_k * t_out
        if store == NO_STORE:
            now = pace(open_w_k, work[row.STEPS_PER_C + lane], work[row.C_PER_STEP + lane])
            put_pace(work, lane, now)
    for place in range(row.AIR_SUM, row.VISIT_SUM + LANES, LANES):
        for lane in range(n):
            work[place + lane] = 0.0
