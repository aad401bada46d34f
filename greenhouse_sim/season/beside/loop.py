"""KERNEL: seasons side by side through the winter, hour by hour, a stage after another.

The same hour as `greenhouse_sim.season.hour`, of the same functions, and the same bits (a test
holds the two together); but each stage of it goes through all lanes before the next begins, so
that the processor takes four at a time.
"""

from __future__ import annotations

from greenhouse_sim.heater.numbers import IDEAL
from greenhouse_sim.season.beside.afterwards import afterwards
from greenhouse_sim.season.beside.airing import balance, step_modes
from greenhouse_sim.season.beside.ends import begin, end
from greenhouse_sim.season.beside.firing import burn, jump, release
from greenhouse_sim.season.beside.lanes import LANES, MONTH, MONTH_KG, QUAD, Ends, Kind, Winter
from greenhouse_sim.season.beside.opening import (
    DAY_H,
    open_hour,
    share_hour,
    take_day,
    take_hour,
    within_month,
)
from greenhouse_sim.season.beside.tallying import tally_hour, trace_hour
from greenhouse_sim.season.beside.tending import tend
from greenhouse_sim.season.numbers import Array
from greenhouse_sim.substep import SUB_STEPS


def side_by_side(
    kind: Kind,
    winters: tuple[Winter, ...],
    needs: tuple[Array, ...],
    ends: Ends,
    work: Array,
    tab: Array,
    day: Array,
    quads: int,
) -> None:
    """Run whole seasons of a kind.

    Parameters
    ----------
    kind
        What they have in common.
    winters
        The hours of each, `LANES` of them; of one length.
    needs
        Their need_sum_j, see `Hours`.
    ends
        Where they start, and afterwards where they ended.
    work, tab, day
        Room to work in: float64, shapes (lanes.SIZE,), (modes, lanes.TAB) and
        (24, (lanes.BY_HOUR + modes)·LANES), with the seasons' constants laid out in the first and
        the soil's in the second.
    quads
        How many fours of lanes are in use. So the count of lanes is known to be a multiple of
        four, and no loop over them needs another for the rest.
    """
    law, store = kind.law, kind.store
    covered, alike = kind.covered > 0, kind.alike > 0
    n = QUAD * min(quads, LANES // QUAD)
    # for a loop that must look first whether its two arrays overlap, and would not for a mere few
    unbounded = QUAD * quads
    modes = tab.shape[0]
    traced = ends.traces.shape[1] > 0
    hours = winters[0].hours.t_out.shape[0]
    for lane in range(n):
        begin(work, tab, lane, ends)
    first = 0
    while first < hours:
        last = min(first + DAY_H - first % DAY_H, hours)
        if alike:
            last = within_month(winters[0].calendar.month, first, last)
            for lane in range(n):
                work[MONTH + lane] = winters[0].calendar.month[first]
        else:
            for lane in range(n):
                last = within_month(winters[lane].calendar.month, first, last)
            for lane in range(n):
                winter = winters[lane]
                work[MONTH + lane] = winter.calendar.month[first]
                take_day(day, modes, lane, winter, first, last)
        for lane in range(n):
            work[MONTH_KG + lane] = ends.months_kg[lane, int(work[MONTH + lane])]
        for h in range(first, last):
            if alike:
                share_hour(work, tab, winters[0], n, h)
            else:
                take_hour(work, tab, day, n, h % DAY_H)
            open_hour(work, n, store, h % DAY_H == 0)
            for k in range(SUB_STEPS):
                tend(work, n, needs, ends.totals, law, h, k == 0)
                if law == IDEAL:
                    jump(work, n)
                burn(work, n, law)
                release(work, n, store, law, k == 0)
                balance(work, n, store)
                step_modes(work, tab, unbounded, covered)
                afterwards(work, n, store, law)
            tally_hour(work, n, law, covered, h)
            if traced:
                for lane in range(n):
                    trace_hour(work, tab, lane, ends.traces[lane], h)
        for lane in range(n):
            ends.months_kg[lane, int(work[MONTH + lane])] = work[MONTH_KG + lane]
        first = last
    for lane in range(n):
        end(work, tab, lane, ends, law)
