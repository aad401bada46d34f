"""Season dates as a lever."""

from __future__ import annotations

from datetime import datetime

import numpy as np
import pytest

import greenhouse_sim as gs
from greenhouse_sim.drive.rest import NO_HEAT_C
from greenhouse_sim.plans.dates import (
    NO_BURN,
    PLAIN,
    REST,
    START,
    STOP,
    Choice,
    Dated,
    choices,
    dates,
    off_hours,
    steps,
)
from greenhouse_sim.plans.foreseen import Work
from greenhouse_sim.routine.no_burn import no_burn_hours
from greenhouse_sim.season.run import read_winters, run_seasons
from greenhouse_sim.weather.month_day import month_day, within
from winters_at_hand import demo

FILES = ["tamarack_flats_mild.csv", "tamarack_flats_severe.csv"]
TRIED = (
    Choice(PLAIN), Choice(START, first=(12, 10)), Choice(START, first=(1, 5)),
    Choice(STOP, last=(1, 31)), Choice(REST, (12, 10), (1, 10), None),
    Choice(REST, (12, 10), (1, 10), -1.0), Choice(NO_BURN, days=10),
)  # fmt: skip


@pytest.fixture(scope="module")
def farm() -> gs.Scenario:
    """The demo farm with a stove and a short season."""
    return demo(heater="barrel stove, double", site__season={"start": "11-20", "end": "02-15"})


@pytest.fixture(scope="module")
def found(farm: gs.Scenario) -> tuple[Dated, ...]:
    """Its dates."""
    done: list[int] = []
    answer = dates(farm, read_winters(farm, FILES), TRIED, Work("compiled", None, done.append))
    assert sum(done) == steps(2, TRIED)
    return answer


def test_as_it_is_is_as_it_is(farm: gs.Scenario, found: tuple[Dated, ...]) -> None:
    seasons = run_seasons(farm, [farm.heater.kind], read_winters(farm, FILES), engine="compiled")
    for number, season in enumerate(seasons):
        assert found[0].fuel_kg[number] == pytest.approx(season.ledger["fuel_kg"])
        assert found[0].cold_h[number] == season.ledger["hours_below_setpoint"]
        assert found[0].damage_h[number] == season.ledger["hours_below_damage"]
        assert found[0].wakeups[number] == season.ledger["night_wakeups"]
    assert np.isnan(found[0].lowest_off_C).all()


def test_less_heating_takes_less(found: tuple[Dated, ...]) -> None:
    plain, early, late, stop, rest, held, _ = found
    assert np.all(early.fuel_kg < plain.fuel_kg)
    assert np.all(late.fuel_kg < early.fuel_kg)
    assert np.all(stop.fuel_kg < plain.fuel_kg)
    assert np.all(rest.fuel_kg < held.fuel_kg)
    assert np.all(held.fuel_kg < plain.fuel_kg)
    assert np.all(rest.lowest_off_C < held.lowest_off_C)


def test_a_rest_in_the_file_is_the_rest_of_the_lever(
    farm: gs.Scenario, found: tuple[Dated, ...]
) -> None:
    """The scenario's own key, all the way through the ordinary run: the same wood, to a per mille.

    (The soil's warm-up before the season knows nothing of either.)
    """
    resting = farm.with_(**{"crop.rest": ["12-10", "01-10"]})
    seasons = run_seasons(resting, [farm.heater.kind], read_winters(farm, FILES), engine="compiled")
    for number, season in enumerate(seasons):
        assert season.drive.setpoint.min() == NO_HEAT_C
        assert float(season.ledger["fuel_kg"]) == pytest.approx(found[4].fuel_kg[number], rel=1e-3)


def test_days_without_fire_in_the_file_are_those_of_the_lever(
    farm: gs.Scenario, found: tuple[Dated, ...]
) -> None:
    banned = farm.with_(**{"routine.no_burn": 10})
    seasons = run_seasons(banned, [farm.heater.kind], read_winters(farm, FILES), traced=True,
                          engine="compiled")  # fmt: skip
    for number, season in enumerate(seasons):
        assert float(season.ledger["fuel_kg"]) == pytest.approx(found[6].fuel_kg[number])
        hours = no_burn_hours(10, season.weather.start, season.weather.hours)
        assert hours.sum() == 240
        assert season.trace["loaded_kg"].to_numpy()[hours].sum() == 0.0
        assert season.trace["loaded_kg"].to_numpy().sum() > 0.0


def test_hours_that_are_not_heated() -> None:
    start, hours = datetime(2027, 11, 20), 24 * 88
    assert off_hours(TRIED[1], start, hours).sum() == 20 * 24
    assert off_hours(TRIED[3], start, hours).sum() == (88 - 73) * 24
    assert off_hours(TRIED[4], start, hours).sum() == 32 * 24
    assert off_hours(TRIED[0], start, hours).sum() == 0


def test_days_of_no_year() -> None:
    days = month_day(datetime(2027, 12, 31, 22), 4)
    assert list(days) == [1231, 1231, 101, 101]
    assert within((11, 15), (2, 15), datetime(2028, 2, 15, 23), 2).tolist() == [True, False]
    assert within((1, 5), (1, 6), datetime(2028, 1, 4, 23), 2).tolist() == [False, True]
    leap = within((2, 28), (3, 1), datetime(2028, 2, 28), 72)
    assert leap.all()


def test_drawn_days_are_the_same_again_and_other_in_another_winter() -> None:
    one = no_burn_hours(8, datetime(2026, 10, 1), 24 * 200)
    assert np.array_equal(one, no_burn_hours(8, datetime(2026, 10, 1), 24 * 200))
    assert not np.array_equal(one, no_burn_hours(8, datetime(2027, 10, 1), 24 * 200))
    assert not np.array_equal(one, no_burn_hours(8, datetime(2026, 10, 1), 24 * 200, seed=8))
    assert one.sum() == 8 * 24
    assert no_burn_hours(((1, 12),), datetime(2026, 10, 1), 24 * 200).sum() == 24


def test_what_is_tried_fits_the_season() -> None:
    tried = choices(demo())
    assert tried[0] == Choice(PLAIN)
    groups = [choice.group for choice in tried]
    assert [groups.count(group) for group in (START, STOP, REST, NO_BURN)] == [5, 5, 2, 2]
    assert tried[1].first == (10, 15)
    assert tried[6].last == (4, 16)
    short = choices(demo(site__season={"start": "12-20", "end": "01-20"}))
    assert {choice.group for choice in short} == {PLAIN, NO_BURN}
    pellets = choices(demo(heater="pellet stove"))
    assert not [choice for choice in pellets if choice.group == NO_BURN]


@pytest.mark.parametrize(
    ("key", "value", "told"),
    [
        ("crop.rest", ["11-15"], "first and a last day"),
        ("crop.rest", ["11-15", "02-31"], "not a day of every year"),
        ("crop.rest", ["11-15", "11-15"], "one day"),
        ("crop.rest_setpoint", "34 ft", "rest_setpoint"),
        ("routine.no_burn", 400, "out of range"),
        ("routine.no_burn", "often", "neither"),
        ("routine.no_burn", ["2027-01-12"], "not a day of every year"),
        ("routine.clock_every", "90 min", "whole number"),
        ("routine.clock_every", "20 h", "out of range"),
    ],
)
def test_bad_keys_are_refused(key: str, value: object, told: str) -> None:
    with pytest.raises(gs.ScenarioError, match=told):
        demo().with_(**{key: value})


def test_keys_are_read() -> None:
    farm = demo().with_(
        **{"crop.rest": ["11-15", "02-15"], "crop.rest_setpoint": "34 degF",
           "routine.no_burn": ["01-13", "01-12"], "routine.clock_every": "3 h"}
    )  # fmt: skip
    assert farm.crop.rest == ((11, 15), (2, 15))
    assert farm.crop.rest_setpoint == pytest.approx(2 / 1.8)
    assert farm.routine.no_burn == ((1, 12), (1, 13))
    assert farm.routine.clock_every == 3.0
    again = farm.with_(**{"crop.rest": None, "routine.no_burn": 5})
    assert again.crop.rest is None
    assert again.routine.no_burn == 5
