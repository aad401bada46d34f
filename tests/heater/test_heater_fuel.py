"""Fuels by name, their moisture, and what is refused."""

from __future__ import annotations

import pytest
from hypothesis import given
from hypothesis import strategies as st

from greenhouse_sim.errors import ScenarioError
from greenhouse_sim.heater.burnt import default_fuel, fuel_note
from greenhouse_sim.heater.cord import cords_of
from greenhouse_sim.heater.fuel import fuel_for, fuel_names, wood_names


@given(species=st.sampled_from(fuel_names()), moisture=st.floats(0.0, 0.59))
def test_net_never_over_gross_and_water_never_adds_heat(species: str, moisture: float) -> None:
    fuel = fuel_for(species, moisture)
    assert 0.0 < fuel.net_J_kg <= fuel.gross_J_kg
    if species in wood_names():
        dry = fuel_for(species, 0.0)
        assert fuel.gross_J_kg <= dry.gross_J_kg
        assert fuel.cord_kg is not None
        assert dry.cord_kg is not None
        assert fuel.cord_kg * fuel.dry_share == pytest.approx(dry.cord_kg, rel=1e-12)


@given(moisture=st.floats(allow_nan=True).filter(lambda m: not 0.0 <= m < 0.6))
def test_impossible_moisture_is_refused(moisture: float) -> None:
    with pytest.raises(ScenarioError, match="wet weight"):
        fuel_for("red oak", moisture)


def test_unknown_wood_names_the_nearest() -> None:
    with pytest.raises(ScenarioError, match='"red oak"'):
        fuel_for("redoak", 0.2)


@given(st.text(max_size=30))
def test_any_text_is_a_fuel_or_one_message(text: str) -> None:
    try:
        fuel_for(text)
    except ScenarioError as problem:
        assert "no fuel is called" in str(problem)


def test_names_are_read_in_any_case() -> None:
    assert fuel_for("Red Oak", 0.2) == fuel_for("red oak", 0.2)
    assert fuel_for("Douglas-fir", 0.2).name == "douglas-fir"


def test_pellets_keep_their_own_moisture() -> None:
    """A scenario's 20 % is meant for cordwood: pellets at 20 % would fall apart."""
    assert fuel_for("pellets", 0.20).moisture == fuel_for("pellets").moisture < 0.10


def test_chips_take_the_scenarios_moisture() -> None:
    assert fuel_for("wood chips", 0.45).gross_J_kg < fuel_for("wood chips", 0.30).gross_J_kg


def test_pellets_are_not_counted_in_cords() -> None:
    with pytest.raises(ValueError, match="not stacked"):
        cords_of(100.0, fuel_for("pellets"))


def test_each_heater_burns_its_own() -> None:
    birch = fuel_for("paper birch", 0.18)
    assert default_fuel("wood stove, large", birch) is birch
    assert default_fuel("pellet stove", birch).name == "pellets"
    assert default_fuel("compost pile, small", birch).name == "compost mix"
    assert default_fuel("propane heater", birch).name == "propane"
    assert default_fuel("electric heater", birch).gross_J_kg == 3.6e6
    assert default_fuel("outdoor boiler", fuel_for("pellets")).name == "red oak"
    assert fuel_note("outdoor boiler", birch) == ""
    assert "not pellets" in fuel_note("outdoor boiler", fuel_for("pellets"))
