"""What a difference is due to, shared fairly among causes that act together.

With each cause as it was, one after the other, the plan's season becomes this winter's. What a
cause adds depends on the order: wetter wood costs more in a colder winter. Shapley's value is its
mean over all orders; the values add up to the whole difference, whatever the order (L. S. Shapley,
"A value for n-person games", 1953, from memory). Least and most over the orders tell how much the
order matters.
"""

from __future__ import annotations

import math
from collections.abc import Mapping, Sequence
from itertools import combinations
from typing import NamedTuple

Subset = frozenset[str]


class Cause(NamedTuple):
    """What one cause adds."""

    name: str
    mean: float
    """Over all orders."""
    low: float
    high: float
    """Least and most that it adds in any order."""


class Bridge(NamedTuple):
    """From the plan to the journal, in one quantity."""

    plan: float
    causes: tuple[Cause, ...]
    as_it_was: float
    """The season with every known cause as it was."""
    journal: float

    @property
    def difference(self) -> float:
        """Journal less plan."""
        return self.journal - self.plan

    @property
    def rest(self) -> float:
        """What no known cause explains: journal less the season as it was."""
        return self.journal - self.as_it_was


def subsets(names: Sequence[str]) -> list[Subset]:
    """Every set of the causes, the empty one first."""
    return [frozenset(some) for n in range(len(names) + 1) for some in combinations(names, n)]


def bridge(names: Sequence[str], values: Mapping[Subset, float], journal: float) -> Bridge:
    """The way from plan to journal.

    Parameters
    ----------
    names
        The causes.
    values
        The quantity with each set of causes (`subsets`) as it was and the others as planned.
    journal
        What was noted.
    """
    causes = tuple(_cause(name, names, values) for name in names)
    return Bridge(values[frozenset()], causes, values[frozenset(names)], journal)


def _cause(name: str, names: Sequence[str], values: Mapping[Subset, float]) -> Cause:
    others = [one for one in names if one != name]
    count = len(names)
    mean, added = 0.0, []
    for before in subsets(others):
        adds = values[before | {name}] - values[before]
        share = math.factorial(len(before)) * math.factorial(count - len(before) - 1)
        mean += adds * share / math.factorial(count)
        added.append(adds)
    return Cause(name, mean, min(added), max(added))
