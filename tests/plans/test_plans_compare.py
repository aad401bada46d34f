"""Heaters side by side: order, shape, counts, and what the public names promise."""

from __future__ import annotations

import dataclasses

import numpy as np
import pandas as pd
import pytest

import greenhouse_sim as gs
from greenhouse_sim.heater.catalogue import burns, heater_names
from greenhouse_sim.season.ledger import numeric_keys
from greenhouse_sim.weather import find_weather

FULL_KEYS = {
    "hours", "cords", "fuel_kg", "fuel_energy_kWh", "loads", "fires_lit", "night_wakeups",
    "nights_with_wakeup", "hours_below_setpoint", "degree_hours_below_setpoint",
    "hours_below_damage", "lowest_air_C", "heat_need_kWh", "heat_delivered_kWh", "backup_kWh",
    "electricity_kWh", "solar_kWh", "envelope_loss_kWh", "infiltration_loss_kWh",
    "ground_loss_kWh", "vent_loss_kWh", "latent_loss_kWh", "storage_change_kWh", "balance_error",
    "labour_hours",
}  # fmt: skip
"""Numeric keys of a season row."""


@pytest.fixture(scope="module")
def demo() -> gs.Scenario:
    return gs.read_scenario(gs.demo_path()).with_(heater="wood stove, large")


@pytest.fixture(scope="module")
def whole(demo: gs.Scenario) -> gs.Comparison:
    return gs.compare(demo, engine="compiled")


def test_all_heaters_over_all_winters(whole: gs.Comparison) -> None:
    assert sorted(whole.heaters) == list(heater_names())
    assert whole.winters == tuple(f"tamarack_flats_{k}" for k in ("mild", "typical", "severe"))
    assert len(whole.seasons) == len(heater_names()) * 3
    assert len({(season.heater, season.winter) for season in whole.seasons}) == len(whole.seasons)
    for heater in whole.heaters:
        assert [season.winter for season in whole.of(heater)] == list(whole.winters)


def test_order_is_wood_first_and_ideal_last(whole: gs.Comparison) -> None:
    fuels = [burns(heater) for heater in whole.heaters]
    kinds = ["wood", "pellets", "compost", "propane", "electricity", "none"]
    assert fuels == sorted(fuels, key=kinds.index)
    assert whole.heaters[-1] == "ideal"


def test_harder_winters_need_more(whole: gs.Comparison) -> None:
    needs = [season.ledger["heat_need_kWh"] for season in whole.of("ideal")]
    assert needs == sorted(needs)


def test_table_has_a_row_a_heater(whole: gs.Comparison) -> None:
    table = whole.table
    assert isinstance(table, pd.DataFrame)
    assert table.index.tolist() == list(whole.heaters)
    assert table.index.name == "heater"
    assert set(table.columns) >= FULL_KEYS
    assert (table["winters"] == 3).all()
    assert table["cords"].isna().tolist() == [burns(heater) != "wood" for heater in whole.heaters]
    medians = [s.ledger["heat_need_kWh"] for s in whole.of("ideal")]
    assert table["heat_need_kWh"].nunique() == 1
    assert table["heat_need_kWh"].iloc[0] == np.median(medians)


def test_season_table_has_a_row_a_season(whole: gs.Comparison) -> None:
    assert len(whole.season_table) == len(whole.seasons)
    assert list(whole.season_table.columns) == list(whole.seasons[0].ledger)


def test_summary_is_percentiles_over_winters(whole: gs.Comparison) -> None:
    for row in whole.summary:
        seasons = whole.of(row["heater"])
        assert row["winters"] == 3
        assert set(row) >= FULL_KEYS | {"heater", "winters"}
        for key in set(numeric_keys(seasons[0].ledger)):
            values = [season.ledger[key] for season in seasons]
            if None in values:
                assert row[key] == {"median": None, "low": None, "high": None}
                continue
            low, middle, high = sorted(values)
            assert row[key]["median"] == middle
            # 10th and 90th percentile of three, linear between them
            assert row[key]["low"] == pytest.approx(
                low + 0.2 * (middle - low), rel=1e-12, abs=1e-12
            )
            assert row[key]["high"] == pytest.approx(
                high - 0.2 * (high - middle), rel=1e-12, abs=1e-12
            )


def test_energy_of_every_season_closes(whole: gs.Comparison) -> None:
    assert max(season.ledger["balance_error"] for season in whole.seasons) < 1e-6


def test_named_heaters_keep_their_order(demo: gs.Scenario) -> None:
    table = gs.compare(demo, ["pellet stove", "ideal", "Wood Stove, Small"], engine="compiled")
    assert table.heaters == ("pellet stove", "ideal", "wood stove, small")


def test_unknown_heater_is_refused(demo: gs.Scenario) -> None:
    with pytest.raises(gs.ScenarioError, match="pellet stove"):
        gs.compare(demo, ["pelet stove"])


def test_count_holds_for_all_and_overrides_for_their_own(demo: gs.Scenario) -> None:
    winter = gs.winters(gs.read_weather(find_weather("tamarack_flats_mild.csv", ".")))
    two = demo.with_(heater={"kind": "wood stove, large", "count": 2})
    kinds = ["wood stove, large", "pellet stove"]
    single, double = (gs.compare(s, kinds, winter, engine="compiled") for s in (demo, two))
    for one, other in zip(single.seasons, double.seasons, strict=True):
        assert (one.ledger["count"], other.ledger["count"]) == (1, 2)
        assert other.ledger["heat_delivered_kWh"] > 1.2 * one.ledger["heat_delivered_kWh"]
        assert other.ledger["hours_below_setpoint"] < one.ledger["hours_below_setpoint"]
    poor = demo.with_(**{"heater.efficiency_max": 0.4, "heater.efficiency_min": 0.4})
    changed = gs.compare(poor, kinds, winter, engine="compiled")
    pairs = list(zip(single.seasons, changed.seasons, strict=True))
    assert pairs[0][1].ledger["delivered_share_of_fuel"] < 0.45
    assert dict(pairs[1][0].ledger) == dict(pairs[1][1].ledger)


def test_simulate_is_the_same_season_with_its_trace(
    demo: gs.Scenario, whole: gs.Comparison
) -> None:
    season = gs.simulate(demo, engine="compiled")
    assert dict(season.ledger) == dict(whole.of("wood stove, large")[0].ledger)
    assert season.traced
    assert isinstance(season.trace, pd.DataFrame)
    assert len(season.trace) == season.ledger["hours"]
    untraced = whole.seasons[0]
    assert not untraced.traced
    with pytest.raises(ValueError, match="without its hourly trace"):
        _ = untraced.trace


def test_simulate_cuts_a_record_to_the_season(demo: gs.Scenario) -> None:
    record = gs.read_weather(find_weather("tamarack_flats_typical.epw", "."))
    season = gs.simulate(demo, record, engine="compiled")
    assert record.hours == 8760
    assert season.ledger["hours"] == 5088
    assert season.trace.index[0].strftime("%m-%d %H") == "10-01 00"


def test_with_gives_a_changed_copy(demo: gs.Scenario) -> None:
    other = demo.with_(heater="pellet stove")
    assert other.heater.kind == "pellet stove"
    assert demo.heater.kind == "wood stove, large"
    assert gs.simulate(other, engine="compiled").heater == "pellet stove"
    assert demo.with_(heater="wood stove, large") == demo


def test_objects_are_immutable(demo: gs.Scenario, whole: gs.Comparison) -> None:
    season = whole.seasons[0]
    with pytest.raises(TypeError):
        season.ledger["cords"] = 0.0  # type: ignore[index]
    with pytest.raises(dataclasses.FrozenInstanceError):
        season.ledger = {}  # type: ignore[misc]
    with pytest.raises(dataclasses.FrozenInstanceError):
        whole.seasons = ()  # type: ignore[misc]
    with pytest.raises((TypeError, ValueError, AttributeError)):
        demo.crop.vent_at = 30.0
    with pytest.raises(ValueError, match="read-only"):
        season.weather.t_out_C[0] = 0.0


def test_running_twice_is_running_once(demo: gs.Scenario) -> None:
    once, twice = (gs.simulate(demo, engine="compiled") for _ in range(2))
    assert dict(once.ledger) == dict(twice.ledger)
    assert once.trace.equals(twice.trace)


def test_workers_change_nothing(demo: gs.Scenario) -> None:
    kinds = ["wood stove, large", "compost pile, large", "outdoor boiler"]
    one, two = (gs.compare(demo, kinds, engine="compiled", workers=n) for n in (1, 2))
    assert one.season_table.equals(two.season_table)


def test_progress_is_counted(demo: gs.Scenario) -> None:
    steps: list[int] = []
    gs.compare(demo, ["ideal", "pellet stove"], engine="compiled", advance=steps.append)
    assert sum(steps) == 3 * (2 + 2)
