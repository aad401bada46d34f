"""Two heaters in one greenhouse."""

from __future__ import annotations

import numpy as np
import pytest

import greenhouse_sim as gs
from greenhouse_sim.plans.foreseen import Work, done_all, foreseen, prepared, tasks_of
from greenhouse_sim.plans.heat_given import with_heat
from greenhouse_sim.plans.second import Two, lower, two
from greenhouse_sim.season import tally as at
from greenhouse_sim.season.run import Winter, read_winters, run_seasons
from winters_at_hand import demo

FILES = ["tamarack_flats_typical.csv", "tamarack_flats_severe.csv"]
COMPILED = Work("compiled")
SEASON = {"start": "12-20", "end": "01-31"}
HELD_C = 2.0


@pytest.fixture(scope="module")
def farm() -> gs.Scenario:
    """The demo farm with a furnace that feeds itself, six weeks of winter; nobody gets up."""
    return demo(heater="pellet furnace", site__season=SEASON, routine__gets_up_below="never")


@pytest.fixture(scope="module")
def winters(farm: gs.Scenario) -> tuple[Winter, ...]:
    """Two winters as the grower expects them."""
    return foreseen(farm, prepared(farm, read_winters(farm, FILES)), COMPILED)


def test_a_second_heater_is_the_back_up_that_the_loop_knows(farm: gs.Scenario) -> None:
    """An electric heater that holds 2 °C, as the loop's own back-up and as a second heater.

    The loop runs both in the same sub-step; here they take turns and pass on hourly means. Heat of
    each within 3 %, cold hours within 3 %, the coldest hour within half a kelvin.
    """
    found = two(farm, read_winters(farm, FILES), "electric heater", HELD_C, COMPILED)
    backed = farm.with_(backup={"kind": "electric heater", "starts_below": HELD_C})
    seasons = run_seasons(backed, [farm.heater.kind], read_winters(farm, FILES), engine="compiled")
    furnace, electric = found.both.sides
    for number, season in enumerate(seasons):
        ledger = season.ledger
        assert float(ledger["backup_kWh"]) > 100.0
        assert electric.heat_J[number] / 3.6e6 == pytest.approx(ledger["backup_kWh"], rel=0.03)
        assert furnace.fuel_kg[number] == pytest.approx(ledger["fuel_kg"], rel=0.01)
        assert found.both.cold_h[number] == pytest.approx(
            ledger["hours_below_setpoint"], rel=0.03, abs=3
        )
        assert found.both.lowest_C[number] == pytest.approx(ledger["lowest_air_C"], abs=0.5)
    assert np.all(found.apart_K < 0.15)


@pytest.fixture(scope="module")
def stoves() -> Two:
    """A stove for the deep cold over a compost pile."""
    pile = demo(heater="compost pile, large", site__season=SEASON)
    return two(pile, read_winters(pile, FILES), "barrel stove, double", 3.0, COMPILED)


def test_a_stove_over_a_pile(stoves: Two) -> None:
    """Warmer than the pile alone, and less wood than the stove alone."""
    pile, stove = stoves.both.sides
    assert np.all(stoves.both.damage_h < stoves.first.damage_h)
    assert np.all(stoves.both.lowest_C > stoves.first.lowest_C)
    assert np.all(stove.fuel_kg < stoves.second.sides[0].fuel_kg)
    assert np.all(pile.heat_J > 0.9 * stoves.first.sides[0].heat_J)
    assert np.all(stoves.apart_K < 0.6)
    assert np.array_equal(stoves.both.wakeups, pile.wakeups + stove.wakeups)


def test_given_heat_closes_the_books(farm: gs.Scenario, winters: tuple[Winter, ...]) -> None:
    """`done_all` refuses a season whose energy does not close; the gain is what was given."""
    hours = winters[0].weather.hours
    given = 4000.0 + 3000.0 * np.sin(np.arange(hours) / 7.0)
    for share in (0.0, 0.4):
        helped = with_heat(winters[0], given, share)
        (run,) = done_all(tasks_of(farm, [helped], farm.heater.kind), COMPILED)
        assert run.total[at.GAIN_J] == pytest.approx(3600.0 * given.sum())


def test_given_heat_spares_the_ideal_heater_as_much(winters: tuple[Winter, ...]) -> None:
    """In the dark of winter every watt given is one that an ideal heater need not give."""
    ideal = demo(heater="ideal", site__season=SEASON)
    hours = winters[0].weather.hours
    given = np.full(hours, 1500.0)
    plain, helped = done_all(
        tasks_of(ideal, [winters[0], with_heat(winters[0], given, 0.0)], "ideal"), COMPILED
    )
    spared = plain.total[at.HEAT_J] - helped.total[at.HEAT_J]
    vented = helped.total[at.VENT_J] - plain.total[at.VENT_J]
    assert spared + vented == pytest.approx(3600.0 * given.sum(), rel=0.12)
    assert spared <= 3600.0 * given.sum()


def test_the_second_holds_less(winters: tuple[Winter, ...]) -> None:
    low = lower(winters[0], 3.0)
    assert low.drive.setpoint.max() == 3.0
    assert np.array_equal(low.drive.setpoint, low.walk.hours.setpoint)


def test_a_second_that_would_be_the_first_is_refused(farm: gs.Scenario) -> None:
    with pytest.raises(gs.ScenarioError, match="would be the first"):
        two(farm, read_winters(farm, FILES), "electric heater", 15.0, COMPILED)
    with pytest.raises(gs.ScenarioError, match="--heater"):
        two(farm, read_winters(farm, FILES), "no such stove", 2.0, COMPILED)
