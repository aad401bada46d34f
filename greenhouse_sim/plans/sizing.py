"""The smallest size that keeps a promise: so few times up, so few cold hours, in most winters.

Every size is run through every winter. The standard sizes come first: they show whether a larger
one always does better. Between the smallest of them that keeps the promise and the one under it,
which does not, halving finds the smallest size, to a hundredth.
"""

from __future__ import annotations

import math
from collections.abc import Callable, Sequence
from typing import TYPE_CHECKING, NamedTuple

import numpy as np

from greenhouse_sim.plans.foreseen import Work, tasks_of, totals
from greenhouse_sim.plans.parts import COUNT, Part, size_now, standard_sizes, with_size
from greenhouse_sim.season import tally as at
from greenhouse_sim.season.run import Winter

if TYPE_CHECKING:
    from greenhouse_sim.scenario import Scenario

Array = np.ndarray
CLOSE = 1.01
"""Two sizes are the same when they are within this factor."""
SLACK = 1.0
"""A time up, an hour or a winter more that does not yet count as worse."""
MOST_UNITS = 8
"""So many heaters side by side are tried."""


class Target(NamedTuple):
    """What a size must keep in a share of the winters; None where it is not asked for."""

    wakeups: float | None
    cold_h: float | None
    share: float

    def winters(self, of: int) -> int:
        """Winters, of so many, that must keep it."""
        return max(1, math.ceil(self.share * of - 1e-9))


class Tried(NamedTuple):
    """One size run through every winter."""

    size: float
    kept: int
    """Winters that keep the target."""
    enough: bool
    wakeups: float
    """Times up that the share of winters does not exceed."""
    cold_h: float
    """Hours below setpoint that the share of winters does not exceed."""
    damage_h: float
    """Hours under the crop's damage temperature that the share does not exceed."""


class Sized(NamedTuple):
    """The answer for one part."""

    part: Part
    now: Tried
    standard: tuple[Tried, ...]
    """Standard sizes (of `COUNT`: one, two, ...), the smallest first."""
    smallest: Tried | None
    """The smallest size that keeps the target; None where no standard size does."""
    best: Tried
    """The standard size that comes nearest to the target."""
    worse: tuple[Tried, Tried] | None
    """Where a larger standard size did worse in what is asked for: the smaller one, and the larger
    by most; None where it never did."""

    @property
    def failing_above(self) -> Tried | None:
        """A standard size over the smallest that does not keep the target after all."""
        over = [one for one in self.standard if self.smallest and one.size > self.smallest.size]
        return next((one for one in over if not one.enough), None)

    @property
    def next_smaller(self) -> Tried | None:
        """The largest standard size under the smallest that keeps the target."""
        under = [one for one in self.standard if self.smallest and one.size < self.smallest.size]
        return under[-1] if under else None

    @property
    def next_larger(self) -> Tried | None:
        """The smallest standard size from it up."""
        over = [one for one in self.standard if self.smallest and one.size >= self.smallest.size]
        return over[0] if over else None


def sizes(
    scenario: Scenario,
    winters: Sequence[Winter],
    parts: Sequence[Part],
    target: Target,
    work: Work | None = None,
) -> tuple[Sized, ...]:
    """The smallest size of each part, all else as the scenario has it.

    Parameters
    ----------
    scenario
        The scenario.
    winters
        As `greenhouse_sim.plans.foreseen.foreseen` gives them.
    parts
        See `greenhouse_sim.plans.parts.parts_of`.
    target
        What to keep.
    work
        How work is done and told; a step is a season.
    """
    how = (work or Work()).settled(len(winters) * sum(trials(part) for part in parts))
    return tuple(_sized(scenario, winters, part, target, how) for part in parts)


def trials(part: Part) -> int:
    """Sizes that are tried of a part, about."""
    return MOST_UNITS if part.key == COUNT else len(standard_sizes(part)) + 8


def _sized(
    scenario: Scenario, winters: Sequence[Winter], part: Part, target: Target, work: Work
) -> Sized:
    def attempt(size: float) -> Tried:
        changed = with_size(scenario, part, size)
        total = totals(tasks_of(changed, winters, changed.heater.kind), work)
        return _judged(size, total, target)

    now = attempt(size_now(scenario, part))
    if part.key == COUNT:
        standard = _counted(attempt)
    else:
        standard = tuple(attempt(size) for size in standard_sizes(part))
    found = first_kept(standard)
    smallest = found
    if found is not None and part.key != COUNT:
        under = [one for one in standard if one.size < found.size]
        smallest = halved(attempt, under[-1], found) if under else found
    return Sized(
        part, now, standard, smallest, nearest(standard, target), set_back(standard, target)
    )


def _counted(attempt: Callable[[float], Tried]) -> tuple[Tried, ...]:
    """One, two, ... heaters, up to one more than keeps the target."""
    tried: list[Tried] = []
    for number in range(1, MOST_UNITS + 1):
        tried.append(attempt(float(number)))
        if len(tried) > 1 and tried[-2].enough:
            break
    return tuple(tried)


def _judged(size: float, total: Array, target: Target) -> Tried:
    ups, cold, hurt = (total[:, place] for place in (at.WAKEUPS, at.COLD_H, at.DAMAGE_H))
    keeps = np.ones(len(total), dtype=bool)
    if target.wakeups is not None:
        keeps &= ups <= target.wakeups
    if target.cold_h is not None:
        keeps &= cold <= target.cold_h
    needed = target.winters(len(total))
    of_share = [float(np.sort(values)[needed - 1]) for values in (ups, cold, hurt)]
    return Tried(size, int(keeps.sum()), bool(keeps.sum() >= needed), *of_share)


def first_kept(standard: Sequence[Tried]) -> Tried | None:
    """The smallest size that keeps the target; None where none does."""
    return next((one for one in standard if one.enough), None)


def halved(attempt: Callable[[float], Tried], fails: Tried, keeps: Tried) -> Tried:
    """The smallest size that keeps the target, between one that fails and one that keeps it."""
    low, high = fails.size, keeps
    while high.size / low > CLOSE:
        middle = attempt(math.sqrt(low * high.size))
        if middle.enough:
            high = middle
        else:
            low = middle.size
    return high


def nearest(standard: Sequence[Tried], target: Target) -> Tried:
    """The size that most winters keep the target with; of equals the one nearest to it.

    Times up and hours beyond the target count as shares of the most that any size is beyond it.
    """
    beyond = np.zeros(len(standard))
    for limit, key in ((target.wakeups, "wakeups"), (target.cold_h, "cold_h")):
        if limit is not None:
            over = np.array([max(0.0, getattr(one, key) - limit) for one in standard])
            beyond += over / max(float(over.max()), 1.0)
    order = [(-one.kept, float(far), one.size) for one, far in zip(standard, beyond, strict=True)]
    return standard[order.index(min(order))]


def set_back(standard: Sequence[Tried], target: Target) -> tuple[Tried, Tried] | None:
    """The two sizes between which a larger one did worse by most, by what is asked for.

    One time up or one hour more is no matter.
    """
    found, most = None, SLACK
    for n, less in enumerate(standard):
        for more in standard[n + 1 :]:
            steps = [float(less.kept - more.kept)]
            if target.wakeups is not None:
                steps.append(more.wakeups - less.wakeups)
            if target.cold_h is not None:
                steps.append(more.cold_h - less.cold_h)
            if max(steps) > most:
                found, most = (less, more), max(steps)
    return found
