"""Which seasons of a batch run side by side.

Lanes may differ in every number of house, grower, heater and weather, but not in the burn law or
in how many parts store and greenhouse have. Seasons of one winter go together first: its hours
are then taken once for all of them.
"""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Hashable, Sequence
from typing import TYPE_CHECKING

from greenhouse_sim.season.beside.lanes import LANES, kind_of

if TYPE_CHECKING:
    from greenhouse_sim.season.many import Task

LEAST = 5
"""Fewer seasons end sooner one after another."""


def groups(tasks: Sequence[Task]) -> list[list[int]]:
    """Places of the tasks that run side by side, up to `LANES` each, or of one that runs alone."""
    by_winter: dict[tuple[Hashable, int, int], list[int]] = defaultdict(list)
    for place, one in enumerate(tasks):
        walk = one.walk
        common: Hashable = (
            kind_of(walk.house, one.heater, False),
            walk.slow.modes.table.shape[0],
            walk.hours.t_out.shape[0],
            one.traced,
        )
        by_winter[common, id(walk.hours), id(one.calendar)].append(place)
    found: list[list[int]] = []
    left: dict[Hashable, list[int]] = defaultdict(list)
    for (common, *_), places in by_winter.items():
        for k in range(0, len(places), LANES):
            some = places[k : k + LANES]
            if len(some) >= LEAST:
                found.append(some)
            else:
                left[common] += some
    for places in left.values():
        for k in range(0, len(places), LANES):
            some = places[k : k + LANES]
            found += [some] if len(some) >= LEAST else [[place] for place in some]
    return found
