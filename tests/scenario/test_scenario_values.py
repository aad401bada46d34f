"""The example farm, key by key, in SI; hand sums beside each."""

from __future__ import annotations

import copy
import datetime as dt
import pickle

import pytest

from greenhouse_sim.scenario import Scenario, scenario_from_dict
from greenhouse_sim.scenario.read import scenario_from_text


@pytest.fixture
def farm(example_text: str) -> Scenario:
    return scenario_from_text(example_text, "farm.toml")


BOX = {
    "site": {"weather": "box.epw", "season": {"start": "01-01", "end": "12-31"}},
    "greenhouse": {
        "shape": "surfaces",
        "floor_area": "48 m^2",
        "volume": "129.6 m^3",
        "air_changes": "0.5 /hour",
        "internal_gain": "200 W",
        "floor_u_value": "0.039 W/m^2/K",
        "heat_capacity": "2 MJ/K",
        "ideal_cooling_above": "27 degC",
        "surface": [
            {"name": "window", "area": "12 m^2", "tilt": 90, "azimuth": "south",
             "u_value": "3 W/m^2/K", "solar_transmittance": 0.747},
            {"area": "48 m^2", "tilt": 0, "azimuth": 0, "u_value": "0.318 W/m^2/K",
             "opaque": True, "absorptance": 0.6},
        ],
    },
    "crop": {"setpoint": [{"from": "07:00", "to": "23:00", "at": "20 degC"}, {"at": "10 degC"}]},
    "heater": {"kind": "ideal"},
}  # fmt: skip


def test_site(farm: Scenario) -> None:
    site = farm.site
    assert (site.name, site.weather) == ("Tamarack Flats", ("weather/typical.epw",))
    assert (site.season_start, site.season_end) == ((10, 1), (4, 30))
    assert (site.latitude, site.longitude, site.elevation) == (46.9, -96.8, 270.0)
    assert (site.utc_offset, site.deep_ground, site.power_cuts) == (None, None, ())
    assert (site.terrain, site.ground_reflectance) == ("open", 0.2)


def test_greenhouse(farm: Scenario) -> None:
    house = farm.greenhouse
    assert house.shape == "hoop"
    assert house.width == pytest.approx(9.144)  # 30 × 0.3048
    assert house.length == pytest.approx(21.9456)
    assert house.sidewall == pytest.approx(1.524)
    assert house.ridge == pytest.approx(3.9624)
    assert house.ridge_runs == 90.0
    assert house.cover.roof == house.cover.sides == house.cover.ends == "double poly inflated"
    assert house.cover.north is None
    assert house.north_wall is not None
    assert house.north_wall.r_value == pytest.approx(20 * 0.1761102, rel=1e-6)
    assert house.north_wall.absorptance == 0.6
    assert house.night_curtain is not None
    assert house.night_curtain.cover == "thermal curtain"
    assert (house.night_curtain.share, house.night_curtain.closed) == (0.9, "dark")
    assert (house.tightness, house.air_changes) == ("good", None)
    assert house.perimeter_insulation == "R10 2 ft"
    assert house.vent_air_changes == pytest.approx(40 / 3600)
    assert (house.floor.conductivity, house.floor.heat_capacity) == (1.2, pytest.approx(2.2e6))
    assert house.mass[0].what == "water barrels"
    assert house.mass[0].count == 12
    assert house.mass[0].volume == pytest.approx(55 * 3.785412e-3, rel=1e-6)
    assert house.wall_behind is None


def test_crop_heat_and_fuel(farm: Scenario) -> None:
    assert farm.crop.setpoint_day == pytest.approx(10.0)
    assert farm.crop.setpoint_night == pytest.approx((42 - 32) / 1.8)
    assert farm.crop.schedule == ()
    assert farm.crop.vent_at == pytest.approx(48 / 1.8)
    assert farm.crop.damage_below == pytest.approx(-6 / 1.8)
    assert (farm.heater.kind, farm.heater.count, farm.heater.overrides) == (
        "wood stove, large",
        1,
        {},
    )
    assert farm.backup is not None
    assert farm.backup.kind == "propane heater"
    assert farm.backup.starts_below == pytest.approx(6 / 1.8)
    assert (farm.fuel.species, farm.fuel.moisture, farm.fuel.source) == ("red oak", 0.2, "cut")
    assert farm.fuel.price == (pytest.approx(250 / 3.624556, rel=1e-6), "1/m^3")
    assert farm.fuel.pile is None


def test_routine(farm: Scenario) -> None:
    routine = farm.routine
    assert (routine.up_weekday, routine.up_weekend) == (6.0, 6.0)
    assert (routine.bed_weekday, routine.bed_weekend) == (22.0, 22.0)
    assert routine.gets_up_below == pytest.approx(4 / 1.8)
    assert routine.away == ((dt.datetime(2026, 1, 10, 17), dt.datetime(2026, 1, 12, 18)),)
    assert routine.work is not None
    assert routine.work.days == (0, 1, 2, 3, 4)
    assert (routine.work.start_h, routine.work.end_h) == (8.0, 17.5)
    assert (routine.chores, routine.looks_ahead) == ((), "forecast")
    assert (routine.load_for, routine.margin) == (4.0, 1.15)


def test_a_test_box() -> None:
    box = scenario_from_dict(BOX)
    house = box.greenhouse
    assert (house.floor_area, house.volume) == (48.0, pytest.approx(129.6))
    assert house.air_changes == pytest.approx(0.5 / 3600)
    assert house.heat_capacity == pytest.approx(2e6)
    assert house.surface[0].solar_transmittance == 0.747
    assert (house.surface[0].absorptance, house.surface[0].azimuth) == (0.0, 180.0)
    assert house.surface[1].opaque
    assert house.surface[1].solar_transmittance is None
    assert box.crop.schedule[0].start_h == 7.0
    assert box.crop.schedule[1].start_h is None
    assert (box.crop.setpoint_day, box.crop.setpoint_night) == (20.0, 10.0)
    assert house.width is None


@pytest.mark.parametrize(
    ("key", "value", "read", "expected"),
    [
        ("routine.up", {"weekday": "06:00", "weekend": "07:30"}, "routine.up_weekend", 7.5),
        ("routine.up", {"weekend": "07:30"}, "routine.up_weekday", 6.0),
        ("routine.bed", "00:30", "routine.bed_weekday", 0.5),
        ("routine.chores", ["16:30", "07:00"], "routine.chores", (7.0, 16.5)),
        ("routine.gets_up_below", "never", "routine.gets_up_below", None),
        ("routine.work", "none", "routine.work", None),
        ("routine.work.days", "fri-mon", "routine.work.days", (0, 4, 5, 6)),
        ("routine.work.days", "mon, wed", "routine.work.days", (0, 2)),
        ("greenhouse.ridge_runs", "north-south", "greenhouse.ridge_runs", 0.0),
        ("greenhouse.ridge_runs", "west-east", "greenhouse.ridge_runs", 90.0),
        ("greenhouse.ridge_runs", 200, "greenhouse.ridge_runs", 20.0),
        ("greenhouse.faces", "southwest", "greenhouse.faces", 225.0),
        ("greenhouse.cover", {"ends": "single glass"}, "greenhouse.cover.ends", "single glass"),
        ("greenhouse.cover", {"ends": "single glass"}, "greenhouse.cover.roof",
         "double poly inflated"),
        ("greenhouse.cover", "Single  Poly", "greenhouse.cover.roof", "single poly"),
        ("greenhouse.night_curtain.closed", ["17:00", "07:00"],
         "greenhouse.night_curtain.closed", (17.0, 7.0)),
        ("greenhouse.planted_share", "70 %", "greenhouse.planted_share", pytest.approx(0.7)),
        ("greenhouse.mass", "none", "greenhouse.mass", ()),
        ("crop.setpoint", "45 degF", "crop.setpoint_day", pytest.approx(13 / 1.8)),
        ("crop.setpoint.night", "40 degF", "crop.setpoint_day", pytest.approx(10.0)),
        ("fuel.price", "$6 /bag", "fuel.price", (pytest.approx(6 / 18.1436948), "1/kg")),
        ("fuel.price", "0.15 dollars /kWh", "fuel.price", (pytest.approx(0.15 / 3.6e6), "1/J")),
        ("fuel.pile", "8 cord", "fuel.pile", pytest.approx(8 * 3.624556, rel=1e-6)),
        ("heater.output_max", "50000 Btu/hr", "heater.overrides",
         {"output_max": pytest.approx(14653.6, rel=1e-4)}),
        ("heater.efficiency_max", 0.6, "heater.overrides", {"efficiency_max": 0.6}),
        ("site.season.end", "05-15", "site.season_end", (5, 15)),
        ("site.utc_offset", -6, "site.utc_offset", -6.0),
        ("site.power_cuts", [["2026-01-02", "2026-01-03 06:00"]], "site.power_cuts",
         ((dt.datetime(2026, 1, 2), dt.datetime(2026, 1, 3, 6)),)),
        ("backup", "none", "backup", None),
    ],
)  # fmt: skip
def test_other_ways_to_write(
    farm: Scenario, key: str, value: object, read: str, expected: object
) -> None:
    here: object = farm.with_(**{key: value})
    for name in read.split("."):
        here = getattr(here, name)
    assert here == expected


def test_a_lean_to_has_a_wall_and_a_dome_no_length(farm: Scenario) -> None:
    lean = farm.with_(greenhouse={"shape": "lean-to", "wall": {"other_side": "50 degF"}})
    assert lean.greenhouse.wall_behind is not None
    assert lean.greenhouse.wall_behind.other_side == pytest.approx(10.0)
    assert farm.with_(**{"greenhouse.shape": "lean-to"}).greenhouse.wall_behind is not None
    dome = farm.with_(greenhouse={"shape": "dome", "length": None, "sidewall": None})
    assert dome.greenhouse.length is None


def test_a_changed_copy_leaves_the_first_alone(farm: Scenario) -> None:
    before = farm.key()
    other = farm.with_(
        heater="pellet stove",
        crop={"vent_at": 30.0},
        **{"greenhouse.cover": "single glass", "routine.gets_up_below": "never"},
    )
    assert farm.key() == before
    assert other.heater.kind == "pellet stove"
    assert other.crop.vent_at == 30.0
    assert other.crop.damage_below == farm.crop.damage_below
    assert other.greenhouse.cover.roof == "single glass"
    assert other.routine.gets_up_below is None
    assert other != farm


def test_a_new_kind_drops_the_fields_of_the_old_one(farm: Scenario) -> None:
    own = farm.with_(heater={"count": 2, "efficiency_max": 0.6})
    assert own.heater.count == 2
    assert own.with_(heater="wood stove, large").heater.overrides == {"efficiency_max": 0.6}
    assert own.with_(heater="pellet stove").heater.overrides == {}
    assert own.with_(heater="pellet stove").heater.count == 1
    electric = own.with_(backup="electric heater").backup
    assert electric is not None
    assert electric.starts_below == pytest.approx(6 / 1.8)
    assert own.with_(backup=None).backup is None


def test_equal_hashable_and_to_be_copied(farm: Scenario, example_text: str) -> None:
    twin = scenario_from_text(example_text, "farm.toml")
    assert twin == farm
    assert hash(twin) == hash(farm)
    assert twin.key() == farm.key()
    assert farm.with_(**{"greenhouse.width": "9.144 m"}).key() == farm.key()
    assert len({farm, twin, farm.with_(heater="ideal")}) == 2
    assert copy.deepcopy(farm) == farm
    assert pickle.loads(pickle.dumps(farm)) == farm
    with pytest.raises(Exception, match="frozen"):
        farm.site.name = "elsewhere"  # type: ignore[misc]
