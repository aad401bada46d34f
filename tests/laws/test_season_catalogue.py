"""Every heater of the catalogue through two real typical years: books balance, keys are whole.

Weather: the TMY3 files that ship inside pvlib's wheel (National Solar Radiation Data Base,
typical meteorological years of Greensboro NC, 723170, and Sand Point AK, 703165).
"""

from __future__ import annotations

import json
import math
from datetime import datetime
from pathlib import Path
from typing import Any

import numpy as np
import pytest

import greenhouse_sim as gs
from greenhouse_sim.heater.catalogue import burns, heater_names
from greenhouse_sim.heater.fuel import fuel_for
from greenhouse_sim.heater.heater import heater_numbers

FILES = ("723170TYA.CSV", "703165TY.csv")
OAK = fuel_for("red oak", 0.20)
COUNTS = ("loads", "fires_lit", "night_wakeups", "nights_with_wakeup")
REALS = (
    "hours_below_setpoint", "degree_hours_below_setpoint", "hours_below_damage", "lowest_air_C",
    "heat_need_kWh", "heat_delivered_kWh", "backup_kWh", "electricity_kWh", "solar_kWh",
    "envelope_loss_kWh", "infiltration_loss_kWh", "ground_loss_kWh", "vent_loss_kWh",
    "latent_loss_kWh", "storage_change_kWh", "balance_error", "labour_hours", "fuel_kg",
    "fuel_energy_kWh",
)  # fmt: skip
CAUSES = ("fire out", "full output", "asleep", "away", "no power", "no fuel")


@pytest.fixture(scope="module")
def compared() -> dict[str, gs.Comparison]:
    import pvlib

    folder = Path(pvlib.__file__).parent / "data"
    demo = gs.read_scenario(gs.demo_path()).with_(heater="wood stove, large")
    done: dict[str, gs.Comparison] = {}
    for file in FILES:
        winter = gs.winters(gs.read_weather(folder / file))
        done[file] = gs.compare(demo, weather=winter, traced=True, engine="compiled")
    return done


@pytest.fixture(scope="module", params=[f"{f}-{h}" for f in FILES for h in heater_names()])
def season(request: pytest.FixtureRequest, compared: dict[str, gs.Comparison]) -> gs.Season:
    file, heater = request.param.split("-", 1)
    return compared[file].of(heater)[0]


def test_all_heaters_ran(compared: dict[str, gs.Comparison]) -> None:
    for table in compared.values():
        assert sorted(table.heaters) == list(heater_names())
        assert len(table.winters) == 1


def test_contract_keys(season: gs.Season) -> None:
    row = season.ledger
    for key in ("heater", "winter", "site", "lowest_air_at"):
        assert isinstance(row[key], str)
        assert row[key]
    assert type(row["hours"]) is int
    assert row["hours"] == 5088
    for key in COUNTS:
        assert type(row[key]) is int
        assert row[key] >= 0
    for key in REALS:
        assert isinstance(row[key], float), key
        assert math.isfinite(row[key]), key
    assert (row["cords"] is None) == (burns(season.heater) != "wood")
    if row["cords"] is not None:
        assert isinstance(row["cords"], float)
    assert tuple(row["cold_hours_by_cause"]) == CAUSES
    at = datetime.fromisoformat(row["lowest_air_at"])
    assert season.weather.start <= at < datetime(season.weather.start.year + 1, 5, 1)
    assert json.loads(json.dumps(dict(row), allow_nan=False)) == dict(row)


def test_books_balance(season: gs.Season) -> None:
    """Sun + heat = losses by path + storage, from the ledger's own figures."""
    row = season.ledger
    gains = sum(row[f"{key}_kWh"] for key in ("solar", "internal_gain", "heat_delivered", "backup"))
    paths = ("envelope_loss", "infiltration_loss", "ground_loss", "vent_loss", "latent_loss")
    losses = sum(row[f"{key}_kWh"] for key in paths) + row["storage_change_kWh"]
    assert abs(gains - losses) < 1e-6 * gains
    assert 0.0 <= row["balance_error"] < 1e-6


def test_heater_books_balance(season: gs.Season) -> None:
    """Fuel = flue + greenhouse + outdoors + dumped + what the store holds more than at first."""
    row = season.ledger
    spent = sum(
        row[f"{key}_kWh"]
        for key in ("heat_delivered", "flue_loss", "heater_outdoor_loss", "heater_dumped")
    )
    numbers = heater_numbers(season.heater, 1, {}, OAK)
    left_kWh = row["fuel_energy_kWh"] - spent
    end = float(season.trace.store_C.iloc[-1])
    if numbers.skin_c <= 0.0:
        kept = numbers.store_c * (end - numbers.store_start) / 3.6e6
        assert left_kWh == pytest.approx(kept, rel=1e-6, abs=1e-6 * max(spent, 1.0))
    else:
        whole = numbers.store_c + numbers.skin_c
        assert abs(left_kWh) * 3.6e6 <= whole * 100.0
    assert row["flue_loss_kWh"] >= -1e-9
    assert row["heater_dumped_kWh"] >= 0.0


def test_no_more_heat_than_fuel(season: gs.Season) -> None:
    """What warms the house was in the fuel, or in the store at the start."""
    row = season.ledger
    numbers = heater_numbers(season.heater, 1, {}, OAK)
    coldest = float(season.drive.t_out.min())
    stored = (numbers.store_c + numbers.skin_c) * (numbers.store_start - coldest) / 3.6e6
    assert row["heat_delivered_kWh"] <= row["fuel_energy_kWh"] + stored + 1e-6
    if burns(season.heater) in ("wood", "pellets", "propane"):
        assert row["delivered_share_of_fuel"] < 0.95
        gross = row["fuel_kg"] * numbers.heat_j_kg / 3.6e6
        assert row["fuel_energy_kWh"] == pytest.approx(gross, rel=1e-9)


def test_fuel_loaded_is_burnt_or_left(season: gs.Season) -> None:
    trace, row = season.trace, season.ledger
    if burns(season.heater) not in ("wood", "pellets"):
        assert row["loads"] == 0
        assert trace.loaded_kg.sum() == 0.0
        return
    left = float(trace.fuel_left_kg.iloc[-1])
    assert trace.loaded_kg.sum() == pytest.approx(row["fuel_kg"] + left, rel=1e-9)
    assert (trace.loaded_kg > 0).sum() == row["loads"] > 0
    numbers = heater_numbers(season.heater, 1, {}, OAK)
    assert trace.fuel_left_kg.max() <= numbers.charge_kg + 1e-9
    assert trace.fuel_left_kg.min() >= 0.0
    assert row["cords"] is None or row["cords"] == pytest.approx(row["fuel_kg"] / OAK.cord_kg)


def test_cold_hours_add_up(season: gs.Season) -> None:
    row, trace = season.ledger, season.trace
    assert sum(row["cold_hours_by_cause"].values()) == row["hours_below_setpoint"]
    cold = trace.air_C < trace.setpoint_C - 0.5
    assert cold.sum() == row["hours_below_setpoint"]
    assert ((trace.cause != "") == cold).all()
    short = (trace.setpoint_C - trace.air_C)[cold].sum()
    assert row["degree_hours_below_setpoint"] == pytest.approx(short)
    assert row["hours_below_damage"] <= row["hours_below_setpoint"]
    assert row["hours_below_damage"] == (trace.air_C < (26.0 - 32.0) / 1.8).sum()
    assert row["nights_with_wakeup"] <= min(row["night_wakeups"], 212)


def test_months_add_up(season: gs.Season) -> None:
    row = season.ledger
    months = row["fuel_by_month"]
    assert sum(months.values()) == pytest.approx(row["fuel_kg"], rel=1e-9, abs=1e-9)
    year = season.weather.start.year
    assert list(months) == [f"{year}-{m}" for m in (10, 11, 12)] + [
        f"{year + 1}-0{m}" for m in (1, 2, 3, 4)
    ]
    if burns(season.heater) in ("wood", "pellets", "propane"):
        by_trace = season.trace.fuel_kg.groupby(season.trace.index.strftime("%Y-%m")).sum()
        assert months == pytest.approx(by_trace.to_dict(), rel=1e-9, abs=1e-9)


def test_labour_adds_up(season: gs.Season) -> None:
    row = season.ledger
    assert sum(row["labour"].values()) == pytest.approx(row["labour_hours"])
    assert min(row["labour"].values()) >= 0.0
    assert row["visits"] >= row["loads"]


def test_trace_is_whole(season: gs.Season) -> None:
    """Columns of the contract, an hour a row, nothing missing; energies are those of the ledger."""
    trace = season.trace
    assert list(trace.columns) == [
        "out_C", "setpoint_C", "air_C", "heater_W", "backup_W", "fuel_kg", "loaded_kg", "woken",
        "store_C", "soil_C", "vent_W", "cause", "visit", "fuel_left_kg", "crop_C",
    ]  # fmt: skip
    assert len(trace) == season.ledger["hours"]
    numbers = trace.drop(columns="cause")
    assert np.isfinite(numbers.to_numpy(dtype=float)).all()
    assert trace.heater_W.sum() / 1000.0 == pytest.approx(season.ledger["heat_delivered_kWh"])
    assert trace.vent_W.sum() / 1000.0 == pytest.approx(season.ledger["vent_loss_kWh"])
    assert trace.air_C.min() >= season.ledger["lowest_air_C"] - 1e-9
    steps = np.diff(trace.index.to_numpy()).astype("timedelta64[s]").astype(int)
    assert (steps == 3600).all()


def test_ideal_is_the_need(compared: dict[str, gs.Comparison]) -> None:
    for table in compared.values():
        ideal = table.of("ideal")[0].ledger
        assert ideal["hours_below_setpoint"] == 0.0
        for row in (season.ledger for season in table.seasons):
            assert row["heat_need_kWh"] == ideal["heat_delivered_kWh"]


def test_summary_is_ordered(compared: dict[str, gs.Comparison]) -> None:
    for table in compared.values():
        assert [row["heater"] for row in table.summary] == list(table.heaters)
        for row in table.summary:
            check_summary(row)


def check_summary(row: dict[str, Any]) -> None:
    for key in (*COUNTS, *REALS):
        spread = row[key]
        assert tuple(spread) == ("median", "low", "high")
        assert spread["low"] <= spread["median"] <= spread["high"]
