"""Winters made ready once serve every heater and plan as winters of its own would."""

from __future__ import annotations

import numpy as np
import pytest

import greenhouse_sim as gs
from greenhouse_sim.plans.foreseen import Work
from greenhouse_sim.plans.nights import nights
from greenhouse_sim.plans.same_winters import SameWinters, same_winters
from greenhouse_sim.season.run import read_records, read_winters, run_seasons
from winters_at_hand import demo

STOVE, BOILER = "wood stove, large", "outdoor boiler"
FILES = ["tamarack_flats_mild.csv", "tamarack_flats_severe.csv"]


@pytest.fixture(scope="module")
def farm() -> gs.Scenario:
    """The demo farm for a month, with a clock set by night."""
    ringing = {"routine__clock_every": "3 h", "routine__looks_ahead": "habit"}
    return demo(heater=STOVE, site__season={"start": "12-20", "end": "01-20"}, **ringing)


@pytest.fixture(scope="module")
def same(farm: gs.Scenario) -> SameWinters:
    """Its winters."""
    return same_winters(farm, read_winters(farm, FILES), 2, Work("compiled"))


def test_heaters_do_as_in_a_run_of_their_own(farm: gs.Scenario, same: SameWinters) -> None:
    """Ledgers and traces are those of `run_seasons`, which prepares for itself."""
    kinds = [STOVE, BOILER]
    alone = run_seasons(farm, kinds, read_winters(farm, FILES), traced=True, engine="compiled")
    assert [one.ledger for one in same.seasons(kinds)] == [one.ledger for one in alone]
    for one, other in zip(same.seasons([STOVE], traced=True), alone, strict=False):
        assert np.array_equal(one.column("air_C"), other.column("air_C"))


def test_steps_are_two_a_winter_and_one_a_season(farm: gs.Scenario) -> None:
    told: list[int] = []
    work = Work("compiled", None, told.append)
    same_winters(farm, read_winters(farm, FILES), 2, work).seasons([STOVE, BOILER])
    assert sum(told) == 2 * (2 + 2)


def test_nights_of_winters_at_hand(farm: gs.Scenario, same: SameWinters) -> None:
    """The clock of the file is left to the rules there too."""
    given = (farm, read_winters(farm, FILES), read_records(farm, FILES), [STOVE], Work("compiled"))
    alone, at_hand = nights(*given), nights(*given, same.winters)
    for one, other in zip(alone.outcomes, at_hand.outcomes, strict=True):
        assert np.array_equal(one.total, other.total)
    assert at_hand.log == alone.log
    assert at_hand.need_W == alone.need_W
