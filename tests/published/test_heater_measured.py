"""Heaters of the catalogue against certification tests, design standards and measured systems.

A miss is written down as it is, with its cause. Where a number of the table has the same source,
the docstring says so: such a test shows that the whole loop gives back what one row was given.
"""

from __future__ import annotations

import functools
from typing import NamedTuple

import numpy as np
import pytest

from greenhouse_sim.heater import rules
from greenhouse_sim.heater.catalogue import heater_table
from greenhouse_sim.heater.fuel import fuel_for
from greenhouse_sim.heater.heater import heater_numbers
from greenhouse_sim.heater.numbers import Heater
from greenhouse_sim.heater.store import Store, store_release, store_step
from greenhouse_sim.season.run import Season, read_winters, run_seasons, task
from greenhouse_sim.substep import STEP_S
from winters_at_hand import demo

OAK = fuel_for("red oak", 0.20)
LB_FT3 = 0.45359237 / 0.3048**3
SIZES = ("small", "medium", "large")
COLD = ("tamarack_flats_mild.csv", "tamarack_flats_severe.csv")
COAST = ("selkie_sound_mild.csv", "selkie_sound_severe.csv")


def heater(kind: str) -> Heater:
    return heater_numbers(kind, 1, {}, OAK)


# -- stoves: the certification test's load and burn rates


@pytest.mark.parametrize("size", SIZES)
def test_a_full_load_is_the_cordwood_test_load_not_the_crib(size: str) -> None:
    """EPA Method 28: crib of 7 lb for each ft³ of firebox; ASTM E3053, cordwood: 12 lb at low and
    medium fire, 10 at high (from memory), each within 10 %.

    A grower's full load is the cordwood one: 12.3 lb/ft³ of red oak at 20 %, 1.75 cribs.
    """
    stove, table = heater(f"wood stove, {size}"), heater_table(f"wood stove, {size}")
    usable = table["firebox_volume"].number * table["usable_share"].number
    assert stove.charge_kg / usable / LB_FT3 == pytest.approx(12.0, rel=0.1)
    assert stove.charge_kg / rules.method28_load_kg(usable) == pytest.approx(12.0 / 7.0, rel=0.1)


def dry_kg_h(stove: Heater, fuel_w: float) -> float:
    return fuel_w / stove.heat_j_kg * (1.0 - 0.20) * 3600.0


@pytest.mark.parametrize(
    ("size", "least", "most"),
    [("small", 0.92, 1.84), ("medium", 1.37, 2.90), ("large", 1.99, 4.21)],
)
def test_burn_rates_beside_the_categories_of_the_certification(
    size: str, least: float, most: float
) -> None:
    """EPA Method 28, dry kg an hour: category 1 under 0.80 (1.0 with the air wholly shut), category
    4 over 1.9. Every certified stove has burnt at both.

    The small stove shut (0.92) is category 1 so; the medium (1.37) and the large (1.99) are not: a
    miss. All three have the turn-down of one small stove's own cordwood runs, 1.81 to 0.95 kg/h,
    and a bigger firebox its share of it. Their loads at the lowest fire last three quarters and
    half as long as the certification would let them: absences are told too short, not too long.
    The small stove open (1.84) lies 3 % under category 4; that maker's own runs had 1.74 and 1.81.
    """
    stove = heater(f"wood stove, {size}")
    assert dry_kg_h(stove, stove.burn_min_w) == pytest.approx(least, abs=0.01)
    assert dry_kg_h(stove, stove.burn_max_w) == pytest.approx(most, abs=0.01)
    assert (least < 1.0) == (size == "small")
    assert most > 0.96 * 1.9


def test_the_crib_of_a_small_stove_lasts_as_in_the_test() -> None:
    """Method 28 crib (7 lb/ft³, 22 % dry basis) of the small firebox at category 1: its dry mass
    over 0.8 to 1.0 kg/h, 3.1 to 3.9 h; ours shut 3.4 h."""
    stove, table = heater("wood stove, small"), heater_table("wood stove, small")
    crib = rules.method28_load_kg(table["firebox_volume"].number * table["usable_share"].number)
    longest, shortest = (rules.burn_time_h(crib, 0.22, rate) for rate in (0.8, 1.0))
    ours = rules.burn_time_h(crib, 0.22, dry_kg_h(stove, stove.burn_min_w))
    assert shortest < ours < longest


# -- masonry


class Cooling(NamedTuple):
    """What a bench does after a fire, into air that stays at 15 °C."""

    peak_h: float
    """From lighting to the hottest surface."""
    half_h: float
    """From there to half of that excess over the air (EN 15250's storage capacity)."""
    quarter_h: float
    hottest_C: float


@functools.cache
def cooling(size: str, fire_h: float) -> Cooling:
    bench, air = heater(f"rocket mass heater, {size}"), 15.0
    store, excess = Store(air, air, 0.0), []
    charge = bench.burn_max_w * bench.efficiency_max * (1.0 - bench.direct_share)
    for step in range(round(96.0 * 3600.0 / STEP_S)):
        now = charge if step * STEP_S < fire_h * 3600.0 else 0.0
        release = store_release(bench, store, now, air, 0.0)
        store = store_step(bench, store, release, now, air, 0.0, 0.0, 0.0).store
        excess.append(store.skin - air)
    curve = np.array(excess)
    top = int(np.argmax(curve))
    half, quarter = (
        int(np.argmax(curve[top:] < share * curve[top])) * STEP_S / 3600.0 for share in (0.5, 0.25)
    )
    return Cooling(top * STEP_S / 3600.0, half, quarter, float(curve[top]))


@pytest.mark.parametrize("size", SIZES)
@pytest.mark.parametrize("fire_h", [1.5, 3.0, 5.0])
def test_the_surface_cools_as_slow_heat_release_appliances_do(size: str, fire_h: float) -> None:
    """EN 15250: the time from the largest difference of the surface to the room to half of it.
    EN 15544: heaters are built for 8 to 24 h between two fires. Builders report 20 to 25 h of heat
    from 3 to 5 h of fire.

    Ours: 17.5 to 22 h to one half, whatever the load, 33 to 41 h to a quarter. Rocket mass heaters
    have no standard test of their own: a design range, not their measured curve.
    """
    found = cooling(size, fire_h)
    assert 8.0 <= found.half_h <= 24.0
    assert 20.0 <= found.peak_h + found.half_h <= 32.0
    # an exponential, as the standard's one number supposes, takes twice as long to a quarter
    assert found.quarter_h == pytest.approx(2.0 * found.half_h, rel=0.10)


def test_a_larger_fire_is_a_hotter_bench_not_a_longer_one() -> None:
    """EN 15250's storage capacity is a property of the heater: the store is all but linear."""
    less, more = cooling("medium", 1.5), cooling("medium", 5.0)
    assert more.hottest_C > 3.0 * less.hottest_C
    assert more.half_h == pytest.approx(less.half_h, rel=0.05)


def test_a_kilogram_of_wood_gives_a_bench_what_the_design_standard_reckons() -> None:
    """EN 15544 (from memory; a tile-stove trade text agrees): 3.25 kWh of useful heat from a kg.

    Ours gives 3.02 kWh, of red oak at 20 %: 68 % of gross, where the standard's 78 % of net is 70.
    """
    bench = heater("rocket mass heater, medium")
    ours = bench.heat_j_kg * bench.efficiency_max / 3.6e6
    assert ours == pytest.approx(rules.masonry_power_kW(1.0, 1.0), rel=0.10)


# -- boilers and compost: whole winters


@functools.cache
def seasons(kind: str, files: tuple[str, ...]) -> list[Season]:
    farm = demo(heater={"kind": kind, "count": 1})
    return run_seasons(farm, [kind], read_winters(farm, files), traced=True, engine="compiled")


def season_efficiency(season: Season) -> float:
    """Heat into the house over gross fuel heat."""
    return float(season.ledger["heat_delivered_kWh"] / season.ledger["fuel_energy_kWh"])


def test_an_outdoor_boiler_through_cold_winters() -> None:
    """New York Attorney General (2005), makers' tests of conventional boilers: 28 to 55 %, mean
    43 %. Ours, whole winters of the loop with idling, jacket and pipe: 44 to 47 %.

    Not independent: the efficiency of its steady burn is an estimate made to come near this mean.
    """
    for season in seasons("outdoor boiler", COLD):
        assert 0.28 <= season_efficiency(season) <= 0.55
        assert season_efficiency(season) == pytest.approx(0.43, abs=0.05)


def test_an_outdoor_boiler_with_too_little_to_do_wastes_as_an_owner_measured() -> None:
    """An owner's own measurement: 22 % at best into the house.

    On the mild coast the house needs 0.5 to 1.9 kW in the mean, of a boiler built for 59: 14 to
    28 %. The fire that smoulders between firings eats the rest; tests have more to do.
    """
    efficiencies = [season_efficiency(season) for season in seasons("outdoor boiler", COAST)]
    assert efficiencies == pytest.approx([0.14, 0.28], abs=0.02)
    assert min(efficiencies) < 0.22 < max(efficiencies)


def test_a_gasifier_with_a_tank_through_cold_winters() -> None:
    """Renewable Heat New York lets in boilers over 60 % of a year (partial-storage method, gross);
    an owner measured 60 to 65 % to known loads, 70 to 75 % with what warms the building.

    Ours: 67 %. On the mild coast 46 to 59 %, a miss: the house needs 0.5 to 1.9 kW of 59, and the
    tank and the pipe lose all winter.
    """
    for season in seasons("gasification boiler", COLD):
        assert 0.60 <= season_efficiency(season) <= 0.75
    for season in seasons("gasification boiler", COAST):
        assert 0.45 <= season_efficiency(season) < 0.60


class Compost(NamedTuple):
    """What a pile gave in a winter."""

    kJ_kg: float
    """Recovered, for each kg of dry matter."""
    MJ_h: float
    """In the hours in which anything was drawn."""
    last_day: float
    """From 1 October to the last of it."""


def composted(size: str) -> list[Compost]:
    kind, found = f"compost pile, {size}", []
    for season in seasons(kind, COLD):
        farm = demo(heater={"kind": kind, "count": 1})
        dry_kg = task(farm, season.prepared, kind, False).heater.dry_kg
        given_W = season.column("heater_W")
        drawn = np.flatnonzero(given_W > 50.0)
        found.append(
            Compost(
                float(season.ledger["heat_delivered_kWh"]) * 3600.0 / dry_kg,
                float(given_W[drawn].mean()) * 3600.0 / 1e6,
                float(drawn[-1]) / 24.0,
            )
        )
    return found


def test_compost_gives_between_the_laboratory_and_the_largest() -> None:
    """Smith, Aber and Rynk (2017), means of 45 systems, kJ recovered for each kg of dry matter: in
    the laboratory 1,159, pilot 3,899, commercial 7,084; the larger the more.

    Ours in a house that takes all it can: small 1,320 to 1,480, medium 2,460 to 2,580, large 2,960
    to 3,060, below the pilots: chips decay slowly, and only one winter is counted.
    """
    small, medium, large = (composted(size) for size in SIZES)
    for winter in range(len(COLD)):
        per_kg = [one[winter].kJ_kg for one in (small, medium, large)]
        assert 1159.0 < per_kg[0] < per_kg[1] < per_kg[2] < 7084.0
        assert per_kg[2] == pytest.approx(3899.0, rel=0.30)


def test_compost_gives_heat_at_the_pilots_rate() -> None:
    """The same: 1,895 kJ/h (laboratory), 20,035 (pilot), 189,822 (commercial).

    Ours while anything is drawn: small 2.7 MJ/h, medium 10, large 20. Not independent: how much
    heat a pile's draft can feed (``air_limit``) was taken from the pilots' rate.
    """
    rates = [composted(size)[0].MJ_h for size in SIZES]
    assert 1.895 < rates[0] < rates[1] < rates[2]
    assert rates[2] == pytest.approx(20.0, rel=0.10)


def test_compost_lasts_into_february_but_not_for_years() -> None:
    """Colorado (report FW15-057): a pile held its heat from October to February, the year before
    not. A mound of 1979 was cold after nine weeks. Claims of 18 to 24 months have no measurement.

    Ours, asked for all they have from October: last heat after 129 to 187 days.
    """
    for size in SIZES:
        for one in composted(size):
            assert 120.0 < one.last_day < 212.0
