"""From the catalogue to the kernel's numbers."""

from __future__ import annotations

import math

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from greenhouse_sim.errors import ScenarioError
from greenhouse_sim.heater.backup import backup_names, backup_numbers
from greenhouse_sim.heater.catalogue import (
    emission_g_per_kg,
    heater_names,
    heater_table,
    labour,
)
from greenhouse_sim.heater.efficiency import gross_efficiency, wet_factor
from greenhouse_sim.heater.fuel import fuel_for
from greenhouse_sim.heater.heater import efficiency_notes, heater_numbers

OAK = fuel_for("red oak", 0.20)
TIMES_COUNT = (
    "charge_kg", "burn_max_w", "burn_min_w", "idle_w", "coal_kg", "store_c", "skin_c",
    "core_skin_w_k", "skin_w_k", "out_w_k", "pipe_w_k", "coil_w_k", "burn_electric_w",
    "pump_electric_w", "ignition_j", "dry_kg", "air_limit_w", "load_s", "light_s",
)  # fmt: skip


@pytest.mark.parametrize("name", heater_names())
@pytest.mark.parametrize("moisture", [0.0, 0.15, 0.30, 0.55])
def test_numbers_are_floats_and_possible(name: str, moisture: float) -> None:
    numbers = heater_numbers(name, 1, {}, fuel_for("red oak", moisture))
    assert all(type(value) is float and math.isfinite(value) for value in numbers)
    assert 0.0 < numbers.efficiency_min <= 1.0
    assert 0.0 < numbers.efficiency_max <= 1.0
    assert 0.0 <= numbers.burn_min_w <= numbers.burn_max_w
    assert numbers.idle_w < numbers.burn_max_w
    assert 0.0 <= numbers.coal_kg <= 0.5 * numbers.charge_kg
    shares = (numbers.direct_share, numbers.floor_share, numbers.watch_share, numbers.decay_share)
    assert all(0.0 <= share <= 1.0 for share in shares)
    assert numbers.heat_j_kg > 0.0


@pytest.mark.parametrize("name", heater_names())
def test_three_heaters_are_three_times_one(name: str) -> None:
    one, three = heater_numbers(name, 1, {}, OAK), heater_numbers(name, 3, {}, OAK)
    for field in one._fields:
        factor = 3.0 if field in TIMES_COUNT else 1.0
        if field == "efficiency_slope":  # for each watt of all three together
            factor = 1.0 / 3.0
        assert getattr(three, field) == pytest.approx(factor * getattr(one, field), rel=1e-12)


@pytest.mark.parametrize("count", [0, -1, 101])
def test_count_is_checked(count: int) -> None:
    with pytest.raises(ScenarioError, match="count"):
        heater_numbers("ideal", count)


def test_output_at_the_test_moisture_is_the_tables() -> None:
    """Burnt with its test fuel a stove gives what its table says."""
    table = heater_table("wood stove, large")
    numbers = heater_numbers(
        "wood stove, large", 1, {}, fuel_for("red oak", table["test_moisture"].number)
    )
    best = numbers.burn_max_w * numbers.efficiency_max
    assert best == pytest.approx(table["output_max"].number, rel=1e-12)
    least = numbers.burn_min_w * numbers.efficiency_min
    assert least == pytest.approx(table["output_min"].number, rel=1e-12)


def test_wet_wood_gives_less_from_the_same_air() -> None:
    """Gross fuel power is the air's; efficiency falls with the water, faster over 25 %."""
    dry = heater_numbers("wood stove, large", 1, {}, fuel_for("red oak", 0.15))
    damp = heater_numbers("wood stove, large", 1, {}, fuel_for("red oak", 0.25))
    wet = heater_numbers("wood stove, large", 1, {}, fuel_for("red oak", 0.40))
    assert dry.burn_max_w == damp.burn_max_w == wet.burn_max_w
    assert dry.efficiency_max > damp.efficiency_max > wet.efficiency_max
    net_alone = fuel_for("red oak", 0.40).net_per_gross / fuel_for("red oak", 0.25).net_per_gross
    assert wet.efficiency_max / damp.efficiency_max == pytest.approx(net_alone * 0.85, rel=1e-9)
    assert wet_factor(0.10) == wet_factor(0.25) == 1.0


def test_same_wood_same_efficiency_back() -> None:
    """Gross to net to gross at one moisture changes nothing."""
    for basis, expected in (("gross", 0.7), ("net", 0.7 * OAK.net_per_gross)):
        assert gross_efficiency(0.7, basis, OAK, OAK) == pytest.approx(expected, rel=1e-12)


def test_light_wood_fills_a_firebox_with_less() -> None:
    """A firebox holds a volume: pine is lighter than oak by its specific gravity."""
    oak = heater_numbers("wood stove, medium", 1, {}, OAK)
    pine = heater_numbers("wood stove, medium", 1, {}, fuel_for("eastern white pine", 0.20))
    assert pine.charge_kg / oak.charge_kg == pytest.approx(0.35 / 0.63, rel=1e-9)
    assert 0.2 * oak.charge_kg == pytest.approx(oak.coal_kg, rel=1e-12)


def test_overrides_are_in_the_unit_of_the_row() -> None:
    plain = heater_numbers("pellet stove", 1, {}, OAK)
    changed = heater_numbers(
        "pellet stove", 1, {"hopper_mass": 90.0, "load_time": 10.0, "output_max": 20000.0}, OAK
    )
    assert changed.charge_kg == 90.0
    assert changed.load_s == 600.0
    assert changed.burn_max_w / plain.burn_max_w == pytest.approx(20000 / 14650, rel=1e-9)


def test_an_efficiency_on_the_net_basis_is_lower_on_gross() -> None:
    gross = heater_numbers("wood stove, large", 1, {}, OAK)
    net = heater_numbers("wood stove, large", 1, {"efficiency_basis": "net"}, OAK)
    assert net.efficiency_max / gross.efficiency_max == pytest.approx(0.91, abs=0.01)


BAD = [
    ({"efficiency_max": 1.21}, "121%"),
    ({"efficiency_max": 0.0}, "above 0"),
    ({"efficiency_basis": "lower"}, '"gross" or "net"'),
    ({"efficiency_basis": 0.7}, "not a text"),
    ({"output_max": "big"}, "not a number"),
    ({"output_max": float("nan")}, "not a number"),
    ({"output_max": -1.0}, "below 0"),
    ({"output_max": 100.0}, "output_min"),
    ({"coal_share": 1.5}, "over 1"),
    ({"firebox": 1.0}, "firebox_volume"),
    ({"law": "decay"}, "no key"),
]


@pytest.mark.parametrize(("overrides", "message"), BAD)
def test_overrides_that_cannot_be(overrides: dict[str, float | str], message: str) -> None:
    with pytest.raises(ScenarioError, match=message):
        heater_numbers("wood stove, large", 1, overrides, OAK)


def test_a_boiler_needs_its_temperatures_in_order() -> None:
    with pytest.raises(ScenarioError, match="fire_above"):
        heater_numbers("outdoor boiler", 1, {"fire_below": 90.0}, OAK)
    with pytest.raises(ScenarioError, match="store_limit"):
        heater_numbers("outdoor boiler", 1, {"store_limit": 60.0}, OAK)


@settings(max_examples=200, deadline=None)
@given(data=st.data(), name=st.sampled_from(heater_names()))
def test_any_override_gives_numbers_or_one_message(data: st.DataObject, name: str) -> None:
    key = data.draw(st.sampled_from([*heater_table(name), "nonsense", ""]))
    value = data.draw(
        st.one_of(st.floats(), st.text(max_size=5), st.floats(0.0, 1.0), st.just("gross"))
    )
    try:
        numbers = heater_numbers(name, 1, {key: value}, OAK)
    except ScenarioError:
        return
    assert numbers.efficiency_max <= 1.0
    assert all(isinstance(number, float) and number == number for number in numbers)


def test_unknown_heater_names_the_nearest() -> None:
    with pytest.raises(ScenarioError, match='"wood stove, large"'):
        heater_numbers("wood stove large")
    assert heater_numbers("Wood Stove,  Large", 1, {}, OAK).charge_kg > 0.0


def test_implausible_efficiency_is_noted_not_refused() -> None:
    assert efficiency_notes("wood stove, large") == ()
    notes = efficiency_notes("wood stove, large", {"efficiency_max": 0.95})
    assert len(notes) == 1
    assert "95% of gross" in notes[0]
    assert efficiency_notes("electric heater") == ()


def test_backups() -> None:
    assert backup_names() == ("electric heater", "propane heater")
    none = backup_numbers()
    assert none.max_w == 0.0
    assert none.efficiency > 0.0
    propane = backup_numbers("propane heater", {"output_max": 30000.0}, 3.0)
    assert (propane.max_w, propane.starts_below, propane.is_electric) == (30000.0, 3.0, 0.0)
    assert propane.efficiency == pytest.approx(0.80, rel=1e-12)
    electric = backup_numbers("electric heater", {}, 3.0)
    assert electric.efficiency == electric.is_electric == 1.0
    assert all(type(value) is float for value in (*none, *propane, *electric))
    with pytest.raises(ScenarioError, match="propane heater"):
        backup_numbers("wood stove, large", {}, 3.0)
    with pytest.raises(ScenarioError, match="more than there is"):
        backup_numbers("propane heater", {"efficiency_max": 1.1}, 3.0)


def test_smoke_and_work() -> None:
    for name in heater_names():
        smoke = emission_g_per_kg(name)
        assert 0.0 <= smoke.low <= smoke.value <= smoke.high
    assert emission_g_per_kg("outdoor boiler").value > emission_g_per_kg("pellet stove").value
    assert labour("rocket mass heater, small").watch_share == 1.0
    assert labour("compost pile, large").build_min > 0.0
    assert labour("wood stove, small").night_min == 17.0
