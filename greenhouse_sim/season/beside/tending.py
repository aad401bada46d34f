"""KERNEL: the grower in every lane: at the stroke of the hour when about, by an alarm asleep."""

from __future__ import annotations

from greenhouse_sim.routine.decide import MOST_SHORT_K, content, plan
from greenhouse_sim.season import tally as at
from greenhouse_sim.season.beside import lanes as row
from greenhouse_sim.season.beside.lanes import fire_at, habits_at, heater_at, put_fire
from greenhouse_sim.season.hour import BY_ALARM
from greenhouse_sim.season.numbers import Array
from greenhouse_sim.season.visit import visit, wakes


def tend(
    work: Array,
    n: int,
    needs: tuple[Array, ...],
    totals: Array,
    law: float,
    hour: int,
    first_step: bool,
) -> None:
    """Who comes in this sub-step, and what they do."""
    if coming(work, n, law, first_step) == 0:
        return
    for lane in range(n):
        if work[row.COMES + lane] > 0.5:
            tend_one(work, lane, needs[lane], totals[lane], law, hour)


def coming(work: Array, n: int, law: float, first_step: bool) -> int:
    """Into how many lanes somebody comes and may find something to do.

    COMES is 1.0 there, or 2.0 for one who gets up for it. In most sub-steps nobody comes anywhere.
    """
    if may_come(work, n, law, first_step) == 0:
        return 0
    some = 0
    for lane in range(n):
        air_t, hold = work[row.AIR + lane], work[row.HOLD + lane]
        finds_none = content(
            heater_at(work, lane, law),
            habits_at(work, lane),
            work[row.NEED + lane],
            work[row.GAP + lane],
            work[row.QUICK_C + lane] * min(MOST_SHORT_K, max(0.0, hold - air_t)),
            air_t - hold,
            work[row.T_OUT + lane],
            work[row.FUEL + lane],
            work[row.LIT + lane],
            work[row.CORE + lane],
        )
        comes = 0.0 if finds_none else work[row.COMES + lane]
        work[row.COMES + lane] = comes
        if comes > 0.5:
            some += 1
    return some


def may_come(work: Array, n: int, law: float, first_step: bool) -> int:
    """Into how many lanes somebody would come if there were something to do; see `coming`."""
    some = 0
    for lane in range(n):
        tends = work[row.TENDS + lane] > 0.5
        chance = work[row.CHANCE + lane] if first_step else 0.0
        alarm = work[row.ASLEEP + lane] > 0.5 and wakes(
            habits_at(work, lane),
            heater_at(work, lane, law),
            work[row.AIR + lane],
            work[row.SINCE_WOKEN + lane],
            work[row.POWER + lane],
        )
        woken = tends and (alarm or chance > BY_ALARM)
        comes = woken or (tends and chance > 0.5)
        work[row.COMES + lane] = 2.0 if woken else (1.0 if comes else 0.0)
        if comes:
            some += 1
    return some


def tend_one(
    work: Array, lane: int, need_sum_j: Array, total: Array, law: float, hour: int
) -> None:
    """What somebody who comes to the fire of a lane does there."""
    heater, habits = heater_at(work, lane, law), habits_at(work, lane)
    fire, pile_kg = fire_at(work, lane), work[row.PILE + lane]
    todo = plan(
        heater,
        habits,
        need_sum_j,
        hour,
        work[row.GAP + lane],
        work[row.QUICK_C + lane],
        work[row.HOLD + lane],
        work[row.AIR + lane],
        work[row.T_OUT + lane],
        fire.fuel_kg,
        fire.setting_w,
        fire.lit,
        work[row.CORE + lane],
    )
    done = visit(heater, fire, todo, pile_kg, work[row.COMES + lane] > 1.5, total)
    if done.made < 0.5:
        return
    put_fire(work, lane, done.fire)
    work[row.PILE + lane] = pile_kg - done.loaded_kg
    work[row.LOADED_SUM + lane] += done.loaded_kg
    work[row.WOKEN_SUM + lane] += done.woken
    work[row.VISIT_SUM + lane] += done.made
    if done.woken > 0.5:
        work[row.SINCE_WOKEN + lane] = 0.0
        if work[row.NIGHT + lane] != work[row.NIGHT_WOKEN + lane]:
            total[at.NIGHTS_WOKEN] += 1.0
            work[row.NIGHT_WOKEN + lane] = work[row.NIGHT + lane]
