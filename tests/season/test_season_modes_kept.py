"""Modes are kept from winter to winter: under all that they hang on, and nothing else."""

from __future__ import annotations

from typing import Any

import numpy as np
import pytest

from greenhouse_sim.drive.drive import make_house
from greenhouse_sim.greenhouse.network import JOINED_BY, steady_shares
from greenhouse_sim.greenhouse.numbers import House
from greenhouse_sim.season import numbers as n
from greenhouse_sim.season.modes import slow_parts
from greenhouse_sim.season.run import read_winters
from winters_at_hand import demo


@pytest.fixture(scope="module")
def house() -> House:
    """The demo's, with barrels, so that every kind of node but a bare face is there."""
    scenario = demo(greenhouse__mass=[{"what": "water barrels", "count": 20, "volume": "55 gal"}])
    return make_house(scenario, read_winters(scenario)[0])


class Watched:
    """A house that notes which of its fields are read."""

    def __init__(self, house: House) -> None:
        self._house = house
        self.read: set[str] = set()

    def __getattr__(self, name: str) -> Any:
        self.read.add(name)
        return getattr(self._house, name)


def test_the_name_holds_every_field_that_is_read(house: House) -> None:
    """Else a greenhouse could be given another's modes. The start alone is read anew each time."""
    fresh = house._replace(node_c=house.node_c * 1.0123)  # not kept yet: it is worked out here
    watched: Any = Watched(fresh)
    slow_parts(watched)
    assert watched.read - set(JOINED_BY) == {"node_start"}
    other: Any = Watched(house._replace(node_c=house.node_c * 1.0321))
    steady_shares(other)
    assert other.read <= set(JOINED_BY)


@pytest.mark.parametrize("field", ["node_c", "node_g", "end_g", "node_sun_floor", "node_heat"])
def test_another_greenhouse_has_other_modes(house: House, field: str) -> None:
    """A tenth more of anything shows in the modes or in what joins them."""
    base = slow_parts(house)
    changed = slow_parts(house._replace(**{field: getattr(house, field) * 1.1}))
    assert any(
        not np.array_equal(one, other)
        for one, other in zip(base.links[:9], changed.links[:9], strict=True)
    )


def test_each_winter_begins_at_its_own_temperatures(house: House) -> None:
    """The heat held by the modes is that of the nodes, Σ C·T, whichever house came before."""
    for start in (house.node_start, house.node_start + 3.0, 0.5 * house.node_start):
        slow = slow_parts(house._replace(node_start=start))
        held_j = float(slow.links.stored @ slow.modes.table[:, n.LEVEL])
        assert held_j == pytest.approx(float(house.node_c @ start), rel=1e-12)
    first = slow_parts(house)
    first.modes.table[:, n.LEVEL] = 99.0
    assert not np.array_equal(slow_parts(house).modes.table, first.modes.table)
