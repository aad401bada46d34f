"""What holds for tonight whatever the weather."""

from __future__ import annotations

import numpy as np
import pytest

from greenhouse_sim.plans.tonight import NOTHING, ROUTINE
from tonight_at_hand import night

COLDER = (8.0, 2.0, -1.0, -3.0, -6.0, -11.0, -16.0, -35.0)


@pytest.mark.parametrize("kind", ["wood stove, large", "outdoor boiler"])
def test_a_colder_forecast_never_asks_for_less_wood(kind: str) -> None:
    """In all that is put in from now to morning."""
    found = [night(c, kind) for c in COLDER[:: 1 if "stove" in kind else 2]]
    loaded = [one.plan.loaded_kg for one in found]
    assert np.all(np.diff(loaded) >= -1e-9), loaded
    assert loaded[-1] > loaded[0]


def test_a_colder_forecast_is_never_warmer_for_a_house_left_alone() -> None:
    found = [night(coldest, "wood stove, large") for coldest in COLDER]
    lows = [one.way(NOTHING).lowest.forecast for one in found]
    assert np.all(np.diff(lows) < 0.0)


def test_ranges_hold_the_forecast() -> None:
    for coldest in COLDER:
        for way in night(coldest, "wood stove, large").ways:
            if way.name == ROUTINE:
                continue  # somebody may get up: then a colder night may end warmer
            assert way.lowest.low - 0.3 <= way.lowest.forecast <= way.lowest.high + 0.3
            assert 0.0 <= way.hurt <= way.under_limit <= 1.0


def test_the_same_question_has_the_same_answer() -> None:
    one = night(COLDER[3], "wood stove, large")
    two = night.__wrapped__(COLDER[3], "wood stove, large")
    assert one.plan.loads == two.plan.loads
    assert np.array_equal(one.plan.band, two.plan.band)
