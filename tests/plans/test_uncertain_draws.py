"""Unknowns drawn: scaled winters are the winters they stand for, and seeds hold on any cores."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any

import numpy as np
import pytest

import greenhouse_sim as gs
from greenhouse_sim.drive.clock import curtain_closed, hour_of_day
from greenhouse_sim.drive.clouds import sky_infrared
from greenhouse_sim.drive.envelope import Outside, envelope_loss
from greenhouse_sim.drive.sun import on_surfaces, sun_position
from greenhouse_sim.errors import GreenhouseError
from greenhouse_sim.greenhouse.shape import shell
from greenhouse_sim.greenhouse.skin import skins
from greenhouse_sim.plans import unknowns as of
from greenhouse_sim.plans.changed_winter import changed_winter, sun_by_planting
from greenhouse_sim.plans.ledgers import calendars, held, ledger_of, tasks_of, tended
from greenhouse_sim.plans.uncertain import draws_of, uncertain
from greenhouse_sim.plans.unknowns import Unknown, unknowns
from greenhouse_sim.season.many import run_many
from greenhouse_sim.season.run import read_winters, run_seasons
from greenhouse_sim.weather import Weather

STOVE = "wood stove, large"


@pytest.fixture(scope="module")
def farm() -> gs.Scenario:
    """The demo farm with two stoves and a short season."""
    demo = gs.read_scenario(gs.demo_path())
    season = {"start": "12-01", "end": "01-31"}
    return demo.with_(heater={"kind": STOVE, "count": 2}, **{"site.season": season})


@pytest.fixture(scope="module")
def winters(farm: gs.Scenario) -> list[Weather]:
    return read_winters(farm)


def scaled(farm: gs.Scenario, weather: Weather, values: Mapping[str, float]) -> dict[str, Any]:
    """The ledger of a season in a winter that was changed by factors."""
    pair = sun_by_planting(farm, weather, of.PLANTED in values)
    found = held(farm, [changed_winter(pair, values)], "compiled")
    tended_winters = tended(farm, found, calendars(farm, found))
    ran = run_many(tasks_of(farm, STOVE, tended_winters), "compiled")
    return ledger_of(farm, STOVE, tended_winters[0], ran[0], found[0].need_kWh)


EXACT = {
    "leak": ({of.FIXED_LEAK: 1.5}, {"greenhouse.air_changes": "0.9 /hour"}),
    "light": ({of.LIGHT: 0.25}, {"greenhouse.structure_share": 0.25}),
    "planted": ({of.PLANTED: 0.4}, {"greenhouse.planted_share": 0.4}),
    "soil": ({of.SOIL: 0.5}, {"greenhouse.floor.conductivity": "0.6 W/m/K"}),
    "all": (
        {of.FIXED_LEAK: 0.5, of.LIGHT: 0.05, of.PLANTED: 0.9, of.SOIL: 1.5},
        {
            "greenhouse.air_changes": "0.3 /hour",
            "greenhouse.structure_share": 0.05,
            "greenhouse.planted_share": 0.9,
            "greenhouse.floor.conductivity": "1.8 W/m/K",
        },
    ),
}


@pytest.mark.parametrize("name", EXACT)
def test_scaled_is_prepared_anew(farm: gs.Scenario, winters: list[Weather], name: str) -> None:
    """Fuel, cold hours and every loss, against a scenario that says so."""
    values, changes = EXACT[name]
    base = farm.with_(**{"greenhouse.air_changes": "0.6 /hour"})
    ours = scaled(base, winters[1], values)
    theirs = run_seasons(base.with_(**changes), [STOVE], [winters[1]], engine="compiled")[0].ledger
    for key in ("fuel_kg", "hours_below_setpoint", "lowest_air_C", "heat_need_kWh", "solar_kWh",
                "infiltration_loss_kWh", "ground_loss_kWh", "envelope_loss_kWh"):  # fmt: skip
        assert ours[key] == pytest.approx(theirs[key], rel=1e-6, abs=1e-6), key


def test_edge_is_the_perimeter_factor(farm: gs.Scenario, winters: list[Weather]) -> None:
    """R-10 to 2 ft: 0.9346 in place of 1.2634 W/mK (the perimeter table)."""
    ours = scaled(farm, winters[1], {of.EDGE: 0.9346 / 1.2634})
    other = farm.with_(**{"greenhouse.perimeter_insulation": "R10 2 ft"})
    theirs = run_seasons(other, [STOVE], [winters[1]], engine="compiled")[0].ledger
    assert ours["fuel_kg"] == pytest.approx(theirs["fuel_kg"], rel=1e-6)
    assert ours["ground_loss_kWh"] == pytest.approx(theirs["ground_loss_kWh"], rel=1e-6)


def test_cover_factor_against_another_u_value(farm: gs.Scenario, winters: list[Weather]) -> None:
    """An eighth more U in the hour's wind: what the shell loses at 10 °C differs by under 2 %."""
    weather = winters[1]
    sun = sun_position(weather)
    parts = skins(farm, shell(farm, weather.latitude))
    worse = tuple(one._replace(u_value=one.u_value * 1.125) for one in parts)
    hour = hour_of_day(weather)
    closed = curtain_closed(farm.greenhouse.night_curtain, hour, sun.up)
    outside = Outside(weather.t_out_C, weather.wind_m_s, sky_infrared(weather, sun), closed)
    tilt = np.array([one.part.tilt_deg for one in parts])
    azimuth = np.array([one.part.azimuth_deg for one in parts])
    light = on_surfaces(tilt, azimuth, sun, weather, np.full_like(hour, 0.2))

    def lost_J(skin: Any, factor: float) -> float:
        loss_w_k, sky_w = envelope_loss(farm.greenhouse, skin, light, outside)
        return factor * float(np.sum(loss_w_k * (10.0 - weather.t_out_C) + sky_w))

    assert lost_J(parts, 1.125) == pytest.approx(lost_J(worse, 1.0), rel=0.02)
    assert lost_J(parts, 1.0) < 0.95 * lost_J(worse, 1.0)


def test_nothing_changed_is_the_farm_as_written(farm: gs.Scenario, winters: list[Weather]) -> None:
    ours = scaled(farm, winters[0], {})
    theirs = run_seasons(farm, [STOVE], [winters[0]], engine="compiled")[0].ledger
    assert ours == dict(theirs)


@pytest.fixture(scope="module")
def drawn(farm: gs.Scenario, winters: list[Weather]) -> Any:
    return uncertain(farm, winters, [STOVE], draws=16, engine="compiled", workers=2)[0]


def test_same_answer_on_any_number_of_cores(
    farm: gs.Scenario, winters: list[Weather], drawn: Any
) -> None:
    alone = uncertain(farm, winters, [STOVE], draws=16, engine="compiled", workers=1)[0]
    assert np.array_equal(alone.values, drawn.values)
    assert [dict(row) for row in alone.rows] == [dict(row) for row in drawn.rows]
    for name in alone.ranking:
        one, two = alone.ranking[name], drawn.ranking[name]
        assert np.array_equal(one.indices.total.low, two.indices.total.low)


def test_all_rows_and_ranges(drawn: Any) -> None:
    assert len(drawn.rows) == 32 == len(drawn.values)
    for i, one in enumerate(drawn.unknowns):
        assert one.low <= drawn.values[:, i].min() <= drawn.values[:, i].max() <= one.high
    keys = [one.key for one in drawn.unknowns]
    assert set(keys) == {
        of.LEAK, of.COVER, of.EDGE, of.SOIL, of.PLANTED, of.LIGHT, of.MOISTURE, of.CORD,
        of.EFFICIENCY, of.MARGIN, of.WINTER,
    }  # fmt: skip
    assert sorted(set(drawn.values[:, keys.index(of.WINTER)])) == [0.0, 1.0, 2.0]


def test_what_moves_which_way(drawn: Any) -> None:
    """Leaks and poorer covers burn more, better stoves leave fewer cold hours, stacking no hour."""
    keys = [one.key for one in drawn.unknowns]
    fuel, cold = drawn.ranking["fuel"], drawn.ranking["hours_below_setpoint"]
    assert fuel.effect[keys.index(of.COVER)] > 0.0
    assert cold.effect[keys.index(of.COVER)] > 0.0
    assert cold.effect[keys.index(of.LEAK)] > 0.0
    assert cold.effect[keys.index(of.EFFICIENCY)] < 0.0
    assert fuel.effect[keys.index(of.CORD)] < 0.0
    assert cold.indices.total.value[keys.index(of.CORD)] == 0.0
    assert cold.indices.within.value[keys.index(of.WINTER)] == 0.0


def test_triangle_by_its_moments() -> None:
    """Mean (a + b + c)/3 and variance (a² + b² + c² − ab − ac − bc)/18, by definition."""
    one = Unknown("k", "n", 1.0, 1.5, 4.0, True, "s")
    values = one.drawn((np.arange(200_000) + 0.5) / 200_000)
    assert values.mean() == pytest.approx((1.0 + 1.5 + 4.0) / 3.0, rel=1e-6)
    squares = 1.0 + 1.5**2 + 16.0 - 1.5 - 4.0 - 6.0
    assert values.var() == pytest.approx(squares / 18.0, rel=1e-5)
    edge = Unknown("k", "n", 1.0, 1.0, 2.0, True, "s")
    assert edge.drawn(np.array([0.0, 1.0])).tolist() == [1.0, 2.0]


@pytest.mark.parametrize(
    ("heater", "without"),
    [
        ("pellet stove", {of.MOISTURE, of.CORD}),
        ("propane heater", {of.MOISTURE, of.CORD, of.MARGIN}),
        ("compost pile, large", {of.MOISTURE, of.CORD, of.MARGIN}),
    ],
)
def test_only_what_matters_is_drawn(farm: gs.Scenario, heater: str, without: set[str]) -> None:
    keys = {one.key for one in unknowns(farm, heater, 1)}
    assert not keys & (without | {of.WINTER})


def test_an_empty_house_is_not_planted(farm: gs.Scenario) -> None:
    bare = farm.with_(**{"greenhouse.planted_share": 0.0})
    assert of.PLANTED not in {one.key for one in unknowns(bare, STOVE, 2)}


def test_draws_are_a_power_of_two() -> None:
    assert [draws_of(n) for n in (16, 17, 64, 100)] == [16, 32, 64, 128]
    for bad in (0, -3, 15, 10**6):
        with pytest.raises(GreenhouseError, match="write a number of draws from 16 to 8192"):
            draws_of(bad)
