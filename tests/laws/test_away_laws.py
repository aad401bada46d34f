"""What holds for any absence: cold never helps, help never harms, hours come in their order."""

from __future__ import annotations

import functools
import itertools
from dataclasses import replace

import numpy as np
import pytest

import greenhouse_sim as gs
from greenhouse_sim.plans.absence import FULL_H, Absence, absence
from greenhouse_sim.plans.absence_sums import chances, longest_days, safe_hours, weeks
from greenhouse_sim.plans.absence_terms import tank_j, terms
from greenhouse_sim.plans.foreseen import foreseen, prepared, tasks_of
from greenhouse_sim.season import compiled
from greenhouse_sim.season.run import read_winters
from winters_at_hand import demo

pytestmark = pytest.mark.skipif(not compiled.available(), reason="numba is not installed")

STOVES = ("wood stove, large", "barrel stove, double")
HEATERS = (*STOVES, "pellet furnace", "outdoor boiler", "rocket mass heater, medium")


@functools.cache
def left(heater: str, colder_k: float = 0.0, tank: str | None = None) -> Absence:
    """Five weeks of a small house, left every evening, in two winters."""
    scenario = farm(heater)
    records = read_winters(scenario, ["tamarack_flats_mild.csv", "tamarack_flats_severe.csv"])
    cold = [
        replace(one, t_out_C=one.t_out_C - colder_k, t_dew_C=one.t_dew_C - colder_k)
        for one in records
    ]
    winters = foreseen(scenario, prepared(scenario, cold))
    how = terms(scenario)
    if tank is not None:
        how = how._replace(tank_j=tank_j(scenario, tank))
    tasks = tasks_of(scenario, winters, heater)
    return absence(scenario, winters, tasks, how, engine="compiled")


def farm(heater: str) -> gs.Scenario:
    """A small house with a season about Christmas."""
    return demo(
        heater=heater,
        site__season={"start": "12-10", "end": "01-15"},
        greenhouse__width="20 ft",
        greenhouse__length="30 ft",
        greenhouse__ridge="11 ft",
    )


@pytest.mark.parametrize("heater", STOVES)
def test_a_colder_winter_is_never_safe_for_longer(heater: str) -> None:
    """Evening by evening: a stove is filled at departure, so the state that is left is alike."""
    mild, cold = left(heater).alone, left(heater, 4.0).alone
    assert (safe_hours(cold) <= safe_hours(mild)).all()
    assert safe_hours(cold).sum() < safe_hours(mild).sum()


@pytest.mark.parametrize("heater", HEATERS)
def test_a_colder_winter_is_safe_for_less_on_the_whole(heater: str) -> None:
    """A store may be fuller after a colder day, so here the mean over evenings is held to it."""
    mild, cold = left(heater).alone, left(heater, 4.0).alone
    assert safe_hours(cold).mean() < safe_hours(mild).mean()
    assert (longest_days(cold, 0.5) <= longest_days(mild, 0.5)).mean() > 0.9


@pytest.mark.parametrize("heater", HEATERS)
def test_help_never_harms(heater: str) -> None:
    found = left(heater)
    for helped in (found.backed, found.helped):
        assert safe_hours(helped).mean() >= safe_hours(found.alone).mean()
    assert (safe_hours(found.backed) >= safe_hours(found.alone)).all()


@pytest.mark.parametrize("heater", HEATERS)
def test_hours_come_in_their_order(heater: str) -> None:
    """A warmer alarm rings no later; below setpoint (less its band) comes no later than harm."""
    own = left(heater).alone
    warm, cold = own.alarm_h[..., :-1], own.alarm_h[..., 1:]
    assert (warm <= cold).all()
    hurt = np.isfinite(own.hurt_h)
    assert (own.below_h[hurt] <= own.hurt_h[hurt]).all()
    assert (own.run_h <= FULL_H).all()
    assert (own.lowest_crop[hurt] < left(heater).winters[0].house.damage_below).all()


def test_a_longer_absence_is_never_safer() -> None:
    shares = chances(left("wood stove, large").alone)
    for shorter, longer in itertools.pairwise(shares):
        both = ~np.isnan(shorter) & ~np.isnan(longer)
        assert (longer[both] <= shorter[both]).all()
    for week in weeks(left("wood stove, large")):
        assert week.safe_h[0] >= week.safe_h[1] >= week.safe_h[2]


def test_a_bigger_tank_lasts_no_less() -> None:
    hours = [
        safe_hours(left("wood stove, large", 0.0, tank).backed).sum()
        for tank in ("0 gal", "5 gal", "50 gal", "5000 gal")
    ]
    assert hours == sorted(hours)
    assert hours[0] == safe_hours(left("wood stove, large").alone).sum()
    assert hours[-1] == safe_hours(left("wood stove, large").backed).sum()


def test_piped_gas_never_dies() -> None:
    found = left("propane heater")
    assert np.isinf(found.alone.fire_out_h).all()
    assert np.isinf(found.alone.hurt_h).all()
    assert (chances(found.alone)[0][:-1] == 1.0).all()


def test_what_the_backup_takes_does_not_hang_on_its_tank() -> None:
    """Fuel grows from day to day, and a small tank does not hide what is needed."""
    free, small = left("wood stove, large"), left("wood stove, large", 0.0, "5 gal")
    assert free.fuel_j.tobytes() == small.fuel_j.tobytes()
    day = free.fuel_j[..., :7]
    known = ~np.isnan(day).any(axis=-1)
    assert known.any()
    assert (np.diff(day[known], axis=-1) >= 0.0).all()
    assert np.nanmax(small.backed.backup_j) < np.nanmax(small.fuel_j)
