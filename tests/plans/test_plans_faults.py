"""Faults of the season beside the plain one."""

from __future__ import annotations

import math

import numpy as np
import pytest

import greenhouse_sim as gs
from greenhouse_sim.plans import mishaps
from greenhouse_sim.plans.faults import (
    Faults,
    Faulty,
    Found,
    empty_at,
    faults,
    names,
    steps,
    turns_for,
    usual,
)
from greenhouse_sim.plans.foreseen import Work, done_all, foreseen, prepared, tasks_of
from greenhouse_sim.plans.stretches import Turn, run_in_stretches
from greenhouse_sim.season import tally as at
from greenhouse_sim.season.ledger import balance_errors
from greenhouse_sim.season.run import Winter, read_winters, run_seasons
from winters_at_hand import demo

FILES = ["tamarack_flats_typical.csv", "tamarack_flats_severe.csv"]
BAD = Faults(cuts_year=40.0, cut_h=10.0, missed=0.1, wet=0.4, blocked_days=2)


@pytest.fixture(scope="module")
def farm() -> gs.Scenario:
    """The demo farm with its boiler, a back-up, a cut of its own, and six weeks of winter."""
    return demo(
        heater="outdoor boiler", site__season={"start": "12-20", "end": "01-31"},
        site__power_cuts=[["2026-01-10 00:00", "2026-01-11 00:00"]],
        backup={"kind": "propane heater", "starts_below": "33 degF"},
    )  # fmt: skip


@pytest.fixture(scope="module")
def found(farm: gs.Scenario) -> Found:
    """Its faults."""
    done: list[int] = []
    work = Work("compiled", None, done.append)
    answer = faults(farm, read_winters(farm, FILES), BAD, 20.0e9, work)
    assert sum(done) == steps(farm, 2)
    return answer


def one_of(found: Found, name: str) -> Faulty:
    return next(one for one in found.seasons if one.name == name)


def test_plain_and_own_cuts_are_ordinary_seasons(farm: gs.Scenario, found: Found) -> None:
    """The file's own power cuts: as `run` has them; without them: the plain season."""
    for name, scenario in (
        ("plain", farm.with_(**{"site.power_cuts": None})), ("the power cuts of the file", farm),
    ):  # fmt: skip
        seasons = run_seasons(scenario, [farm.heater.kind], read_winters(farm, FILES),
                              engine="compiled")  # fmt: skip
        for number, season in enumerate(seasons):
            assert one_of(found, name).cold_h[number] == season.ledger["hours_below_setpoint"]
            assert one_of(found, name).backup_J[number] / 3.6e6 == pytest.approx(
                season.ledger["backup_fuel_kWh"]
            )


def test_wet_wood_is_the_scenario_with_wet_wood(farm: gs.Scenario, found: Found) -> None:
    wet = farm.with_(**{"site.power_cuts": None, "fuel.moisture": BAD.wet})
    seasons = run_seasons(wet, [farm.heater.kind], read_winters(farm, FILES), engine="compiled")
    for number, season in enumerate(seasons):
        assert one_of(found, "wet wood").cold_h[number] == season.ledger["hours_below_setpoint"]


def test_trouble_costs_on_the_whole(found: Found) -> None:
    """Each fault makes it colder on the whole, and all together more than most of each alone."""
    every = found.more(found.seasons[-1], "cold_h").sum()
    for one in found.seasons[1:-1]:
        more = found.more(one, "cold_h").sum()
        assert more > 0.0, one.name
        assert every > 0.7 * more, one.name


def test_an_empty_tank_gives_no_more(farm: gs.Scenario, found: Found) -> None:
    """With half of what the severe winter takes: that much is burnt, and it is colder after."""
    weather = read_winters(farm, FILES[1:])
    need_J = float(found.seasons[0].backup_J[1])
    half = faults(farm, weather, BAD, 0.5 * need_J, Work("compiled")).seasons[0]
    hour = half.tank_lasts[0]
    assert hour is not None
    # the hour in which it runs empty is run to its end
    assert 0.5 * need_J <= half.backup_J[0] < 0.5 * need_J + 60e3 * 3600.0
    assert half.cold_h[0] >= found.seasons[0].cold_h[1]
    assert half.lowest_C[0] < found.seasons[0].lowest_C[1]


def test_a_season_in_stretches_is_the_season(winter: Winter, farm: gs.Scenario) -> None:
    """Cut at three hours with nothing changed: the same energies, fuel and cold hours."""
    (task,) = tasks_of(farm, foreseen(farm, [winter], Work("compiled")), farm.heater.kind, True)
    (whole,) = done_all([task], Work("compiled"))
    parts = run_in_stretches(task, [Turn(700), Turn(100), Turn(101)], "compiled")
    assert np.array_equal(parts.trace, whole.trace)
    for place in (at.HEAT_J, at.FUEL_J, at.COLD_H, at.DAMAGE_H, at.WAKEUPS, at.BACKUP_J,
                  at.STORE_CHANGE_J, at.STORAGE_J, at.ENVELOPE_J):  # fmt: skip
        assert parts.total[place] == pytest.approx(whole.total[place], rel=1e-9)


def test_a_fire_put_out_is_out(winter: Winter, farm: gs.Scenario) -> None:
    """No wood burns from then until the grower comes again, and the books still close."""
    (task,) = tasks_of(farm, foreseen(farm, [winter], Work("compiled")), farm.heater.kind, True)
    days = mishaps.coldest_days(winter, 2)
    first = int(np.argmax(days))
    run = run_in_stretches(mishaps.blocked(task, days), [Turn(first, put_out=True)], "compiled")
    assert run.trace[first : first + 48, at.TRACE.index("fuel_kg")].sum() == 0.0
    assert run.trace[:first, at.TRACE.index("fuel_kg")].sum() > 0.0
    assert max(balance_errors(run.total)) < 1e-6


def test_hours_of_a_tank() -> None:
    assert empty_at(np.array([0.0, 5.0, 5.0]), 7.0 * 3600.0) == 2
    assert empty_at(np.array([0.0, 5.0, 5.0]), 10.0 * 3600.0) is None


def test_chance_is_the_same_again(farm: gs.Scenario, found: Found) -> None:
    again = faults(farm, read_winters(farm, FILES), BAD, 20.0e9, Work("compiled"))
    for one, other in zip(found.seasons, again.seasons, strict=True):
        assert np.array_equal(one.cold_h, other.cold_h)
    assert found.turns == 15


@pytest.fixture(scope="module")
def winter(farm: gs.Scenario) -> Winter:
    """The severe winter."""
    return prepared(farm, read_winters(farm, FILES[1:]))[0]


def test_cuts_come_as_often_as_they_should() -> None:
    """20 a year of 3 h, over 2000 years of hours: 60 h a year within five sigma, overlaps aside."""
    rng = np.random.default_rng(3)
    dark = mishaps.cut_hours(8766 * 200, 20.0, 3.0, rng)
    mean = 20.0 * 3.0 / 8766.0
    assert dark.mean() == pytest.approx(1.0 - math.exp(-mean), rel=5.0 / math.sqrt(20.0 * 200.0))
    assert not mishaps.cut_hours(1000, 0.0, 5.0, rng).any()


def test_a_missed_round_is_missed_whole(winter: Winter) -> None:
    missed = mishaps.missed_hours(winter, 0.3, np.random.default_rng(1))
    clock = (winter.weather.start.hour + np.arange(len(missed))) % 24
    changes = np.flatnonzero(np.diff(missed.astype(int))) + 1
    assert set(clock[changes]) <= {5, 12}
    assert 0.1 < missed.mean() < 0.5
    assert not mishaps.missed_hours(winter, 0.0, np.random.default_rng(1)).any()
    assert mishaps.missed_hours(winter, 1.0, np.random.default_rng(1)).all()


def test_the_coldest_days_are_the_coldest(winter: Winter) -> None:
    days = mishaps.coldest_days(winter, 2)
    daily = winter.weather.t_out_C.reshape(-1, 24).mean(axis=1)
    pairs = daily[:-1] + daily[1:]
    first = int(np.argmin(pairs))
    assert days.sum() == 48
    assert days[24 * first : 24 * first + 48].all()


def test_each_heater_knows_its_faults() -> None:
    assert names(demo(heater="wood stove, large")) == (
        "plain", "power cuts", "missed rounds", "wet wood", "blocked chimney", "all together",
    )  # fmt: skip
    assert "wet wood" not in names(demo(heater="pellet stove"))
    assert names(demo(heater="propane heater")) == ("plain", "power cuts", "all together")
    assert turns_for(30) == 1
    assert turns_for(7) == 5


def test_the_usual_faults_are_those_of_the_table() -> None:
    found = usual()
    assert (found.cuts_year, found.cut_h, found.blocked_days) == (1.4, 4.0, 1)
