"""Every row of the heater and fuel tables: unit, range, source; every heater whole."""

from __future__ import annotations

import math

import pytest

from greenhouse_sim.heater.catalogue import NOTHING, heater_names, heater_table
from greenhouse_sim.heater.fuel import constants
from greenhouse_sim.heater.numbers import LAWS
from greenhouse_sim.tables.read import Row, read_rows, table_names
from greenhouse_sim.units import registry

COMMON = {
    "name", "law", "fuel", "rated_output", "load_time", "light_time", "night_time", "watch_share",
    "ash_time", "particulates", "needs_power", "floor_share",
    "efficiency_max", "efficiency_min", "efficiency_basis",
}  # fmt: skip
FIRE = {"output_max", "output_min", "test_moisture"}
BATCH = {"coal_share", "direct_share", "store_mass", "store_specific_heat", "store_limit"}
FIREBOX = {"firebox_volume", "usable_share", "loading_density"}
HYDRONIC = {"coil_w_k", "coil_above", "out_w_k", "pipe_w_k", "store_start", "pump_electric"}
NEEDED = {
    "set and leave": FIRE | BATCH | FIREBOX | {"skin_w_k", "skin_slope"},
    "thermostat on room air": FIRE,
    "thermostat on store": FIRE | BATCH | FIREBOX | HYDRONIC
    | {"idle_power", "fire_below", "fire_above", "store_water"},
    "full burn": FIRE | BATCH | FIREBOX | {"store_start"},
    "decay": HYDRONIC
    | {"pile_volume", "wet_density", "dry_share", "degradable_share", "decay_rate", "decay_heat",
       "air_limit", "store_specific_heat"},
    "ideal": set(),
}  # fmt: skip

ASKED_FOR = {
    "wood stove, small", "wood stove, medium", "wood stove, large", "barrel stove, single",
    "barrel stove, double", "pellet stove", "outdoor boiler", "gasification boiler",
    "rocket mass heater, small", "rocket mass heater, medium", "rocket mass heater, large",
    "compost pile, small", "compost pile, medium", "compost pile, large", "propane heater",
    "electric heater", "ideal",
}  # fmt: skip


def rows() -> list[tuple[str, Row]]:
    found = [(name, row) for name in heater_names() for row in heater_table(name).values()]
    return found + [("fuel constants", row) for row in constants().values()]


def test_catalogue_is_complete() -> None:
    assert set(heater_names()) >= ASKED_FOR
    assert len(heater_names()) == len(table_names("heaters"))


@pytest.mark.parametrize(("table", "row"), rows(), ids=lambda part: getattr(part, "key", part))
def test_every_row(table: str, row: Row) -> None:
    assert row.source.strip(), f"{table}: {row.key} has no source"
    if row.unit == "text":
        assert row.value
        return
    registry().parse_units(row.unit)
    low, value, high = float(row.low), row.number, float(row.high)
    assert all(math.isfinite(number) for number in (low, value, high))
    assert low <= value <= high


@pytest.mark.parametrize("name", heater_names())
def test_every_heater_has_its_keys(name: str) -> None:
    table = heater_table(name)
    law = table["law"].value
    assert law in LAWS
    missing = (COMMON | NEEDED[law]) - set(table)
    assert not missing
    if table["fuel"].value == "pellets":
        assert "hopper_mass" in table
    assert not set(NOTHING) - {"store_start", "store_limit"}


@pytest.mark.parametrize("name", heater_names())
def test_file_is_named_after_the_heater(name: str) -> None:
    assert f"heaters/{name.replace(', ', '_').replace(' ', '_')}" in table_names("heaters")


def test_a_room_thermostat_has_no_store() -> None:
    """The hour gives a modulating burner's heat to the air at once."""
    for name in heater_names():
        if heater_table(name)["law"].value == "thermostat on room air":
            assert "store_mass" not in heater_table(name)


@pytest.mark.parametrize("row", read_rows("woods"), ids=lambda row: row["name"])
def test_woods(row: dict[str, str]) -> None:
    assert row["kind"] in ("hardwood", "softwood")
    assert float(row["low"]) <= float(row["specific_gravity"]) <= float(row["high"])
    assert 0.25 < float(row["specific_gravity"]) < 0.9
    assert float(row["gross_low"]) <= float(row["gross_MJ_kg"]) <= float(row["gross_high"])
    assert row["latin"].count(" ") == 1
    assert row["source"]


def test_at_least_28_woods_each_once() -> None:
    names = [row["name"] for row in read_rows("woods")]
    assert len(names) == len(set(names)) >= 28


@pytest.mark.parametrize("row", read_rows("fuels"), ids=lambda row: row["name"])
def test_fuels(row: dict[str, str]) -> None:
    assert float(row["low"]) <= float(row["gross_MJ_kg"]) <= float(row["high"])
    assert 0.0 <= float(row["moisture"]) < 0.6
    assert row["counted_in"] in ("kg", "kWh")
