"""The cheapest package of measures that meets targets, and the whole trade-off.

Two ways, both in runs of the real winters. Asked for the whole, every package of the catalogue is
run, and what is found is exact. Else every package is looked at but for those that a bound rules
out, in a small part of the time.

The bound takes one thing for granted: a measure that lowers yearly running cost, wake-ups and cold
hours when it is alone never raises them in company (a *helper*). Then no package between A and
A + H (H: the helpers still open) runs cheaper, wakes less or is warmer than A + H, and none costs
less for measures than A. Measures that are no helpers, and groups of which only one can be had, are
tried in every combination. Runs that contradict the bound are counted and told.
"""

from __future__ import annotations

import itertools
import math
from collections.abc import Sequence
from typing import NamedTuple

from greenhouse_sim.plans.improve import NOTHING, Improved, front
from greenhouse_sim.plans.outcome import Farm, Outcome, Package

AT_ONCE = 64
"""Packages run at a time where all are."""


class Targets(NamedTuple):
    """What a package must keep to; None for no limit."""

    wakeups: float | None = None
    """A winter, mean."""
    cold_hours: float | None = None
    budget: float | None = None
    """Dollars to buy the measures."""

    @property
    def any(self) -> bool:
        """Whether there is any."""
        return any(limit is not None for limit in self)

    def misses(self, wakeups: float, cold_hours: float, first: float) -> float:
        """By how much they are missed, each in shares of itself; 0 where all are met."""
        missed = 0.0
        for value, limit in zip((wakeups, cold_hours, first), self, strict=True):
            if limit is not None and value > limit + 1e-9:
                missed += (value - limit) / max(limit, 1.0)
        return missed


class Found(NamedTuple):
    """The answer of a search, in the few winters; the winner in all of them too."""

    targets: Targets
    best: Outcome | None
    """Cheapest a year that meets the targets; None where none does."""
    nearest: Outcome
    """Where none does, the one of those run that misses least; else the best."""
    everywhere: Outcome
    """`nearest` in all winters."""
    front: tuple[Outcome, ...]
    run: int
    """Packages run."""
    possible: int
    contradicted: int
    """Pairs of runs that contradict the bound's assumption."""
    by: float
    """Dollars a year, at most, by which one of them does."""
    whole: bool
    """Whether every package was run."""


class _Search:
    def __init__(self, improved: Improved, targets: Targets) -> None:
        self.farm: Farm = improved.farm
        self.places = improved.places
        self.targets = targets
        self.best: Outcome | None = None
        self.seen: dict[Package, Outcome] = {}
        self.helpers = [name for name in improved.farm.fit if self._helps(name)]

    def _helps(self, name: str) -> bool:
        if self.farm.fit[name].group:
            return False
        base, one = self.look(NOTHING), self.look(frozenset({name}))
        assert base is not None and one is not None
        return not _worse(one, base)

    def look(self, package: Package) -> Outcome | None:
        """Run a package, and remember it where it is the best so far."""
        if package not in self.seen:
            found = self.farm.outcome(package, self.places)
            if found is None:
                return None
            self.seen[package] = found
            missed = self.targets.misses(found.wakeups, found.cold_hours, found.first)
            if missed == 0.0 and (self.best is None or found.yearly < self.best.yearly):
                self.best = found
        return self.seen[package]

    def below(self, have: Package, open_: Sequence[str]) -> None:
        """Look at every package from ``have`` to ``have`` with all of ``open_``."""
        own = self.look(have)
        most = self.look(have | set(open_))
        if own is None or most is None or not open_:
            return
        if not self._worth(own, most):
            return
        gains = {name: self._saves(have, name) for name in open_}
        first = max(open_, key=lambda name: gains[name])
        rest = [name for name in open_ if name != first]
        self.below(have | {first}, rest)
        self.below(have, rest)

    def _saves(self, have: Package, name: str) -> float:
        """By its run alone: only which branch comes first hangs on it."""
        alone = self.seen.get(frozenset({name}))
        return 0.0 if alone is None else self.seen[NOTHING].yearly - alone.yearly

    def _worth(self, own: Outcome, most: Outcome) -> bool:
        """Whether anything between the two could be the cheapest."""
        least = most.running + own.measures_yearly
        met = self.targets.misses(most.wakeups, most.cold_hours, own.first) == 0.0
        return met and (self.best is None or least < self.best.yearly - 1e-9)

    def all_of(self, packages: Sequence[Package]) -> None:
        """Run every one of these, those of the same greenhouse one after another."""
        order = sorted(packages, key=self.farm.greenhouse)
        for k in range(0, len(order), AT_ONCE):
            some = order[k : k + AT_ONCE]
            self.farm.run(some, self.places)
            for package in some:
                self.look(package)


def _worse(one: Outcome, base: Outcome) -> bool:
    """Whether anything got worse, beyond rounding."""
    pairs = (
        (one.running, base.running), (one.wakeups, base.wakeups),
        (one.cold_hours, base.cold_hours),
    )  # fmt: skip
    return any(new > old * (1.0 + 1e-9) + 1e-9 for new, old in pairs)


def choices(farm: Farm, helpers: Sequence[str] = ()) -> list[tuple[Package, ...]]:
    """What is tried in every combination: none or one of each group, each measure no helper."""
    groups: dict[str, list[str]] = {}
    for name, measure in farm.fit.items():
        if name not in helpers:
            groups.setdefault(measure.group or name, []).append(name)
    return [(NOTHING, *(frozenset({name}) for name in names)) for names in groups.values()]


def possible(farm: Farm) -> int:
    """How many packages there are, one of a group at a time."""
    groups: dict[str, int] = {}
    for name, measure in farm.fit.items():
        key = measure.group or name
        groups[key] = groups.get(key, 0) + 1
    return math.prod(1 + many for many in groups.values())


def _united(picks: Sequence[tuple[Package, ...]]) -> list[Package]:
    """Every combination of these choices."""
    return [frozenset().union(*pick) for pick in itertools.product(*picks)]


def search(improved: Improved, targets: Targets, whole: bool = False) -> Found:
    """The cheapest package within the targets, and the front of cost and wake-ups.

    Parameters
    ----------
    improved
        The measures, run alone.
    targets
        May be without any limit: then the package of least yearly cost is found.
    whole
        Run every package there is; without it those that a bound does not rule out, and the front
        is that of the packages run.
    """
    work = _Search(improved, targets)
    for known in improved.farm.known(improved.places):
        work.look(frozenset(known.names))
    if whole:
        work.all_of(_united(choices(work.farm)))
    else:
        for top in _united(choices(work.farm, work.helpers)):
            work.below(top, work.helpers)
    seen = list(work.seen.values())
    nearest = work.best or min(
        seen,
        key=lambda one: (targets.misses(one.wakeups, one.cold_hours, one.first), one.yearly),
    )
    everywhere = work.farm.outcome(frozenset(nearest.names), range(len(improved.winters)))
    assert everywhere is not None
    return Found(
        targets, work.best, nearest, everywhere, tuple(front(seen)), len(seen),
        possible(work.farm), *_contradictions(work), whole,
    )  # fmt: skip


def _contradictions(work: _Search) -> tuple[int, float]:
    """Pairs of runs, one with a helper more that made something worse; dollars it cost at most."""
    count, by = 0, 0.0
    for package, out in work.seen.items():
        for name in work.helpers:
            less = work.seen.get(package - {name}) if name in package else None
            if less is not None and _worse(out, less):
                count += 1
                by = max(by, out.running - less.running)
    return count, by
