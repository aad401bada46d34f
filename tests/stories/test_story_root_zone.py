"""A share of the heater's heat laid into the beds: warmer roots, warmer crop under its cover."""

from __future__ import annotations

from pathlib import Path

import pytest

import greenhouse_sim as gs
from greenhouse_sim.errors import ScenarioError
from greenhouse_sim.weather import find_weather

DAYS = 21


@pytest.fixture(scope="module")
def january() -> gs.Weather:
    """A record that the season of `farm` is cut from."""
    return gs.read_weather(find_weather("tamarack_flats_typical.csv", Path.cwd()))


def farm(share: float | None, cover: str = "none") -> gs.Scenario:
    laid = {} if share is None else {"root_zone_share": share}
    return gs.scenario_from_dict(
        {
            "site": {"weather": ["x.csv"], "season": {"start": "01-01", "end": f"01-{DAYS}"}},
            "greenhouse": {
                "width": "30 ft", "length": "72 ft", "sidewall": "5 ft", "ridge": "13 ft",
                "row_cover": cover,
            },
            "crop": {"setpoint": {"day": "45 degF", "night": "45 degF"}},
            "heater": {"kind": "propane heater", **laid},
        }
    )  # fmt: skip


@pytest.fixture(scope="module")
def seasons(january: gs.Weather) -> dict[tuple[float, str], gs.Season]:
    return {
        (share, cover): gs.simulate(farm(share, cover), january, engine="python")
        for share in (0.0, 0.25)
        for cover in ("none", "medium row cover")
    }


def test_quarter_of_the_heat_in_the_beds_warms_the_soil(
    seasons: dict[tuple[float, str], gs.Season],
) -> None:
    for cover in ("none", "medium row cover"):
        laid, blown = (
            seasons[share, cover].trace["soil_C"].iloc[-24:].mean() for share in (0.25, 0.0)
        )
        assert laid > blown + 1.0


def test_crop_under_its_cover_is_warmer_while_the_house_is_not(
    seasons: dict[tuple[float, str], gs.Season],
) -> None:
    """The crop's air lies between house and soil: t_soil up by x, it goes up by x·h/(h + u)."""
    laid, blown = (
        seasons[share, "medium row cover"].trace.iloc[-24 * 7 :] for share in (0.25, 0.0)
    )
    night = laid.index.hour < 6
    warmer = (laid["crop_C"] - blown["crop_C"])[night].mean()
    soil = (laid["soil_C"] - blown["soil_C"])[night].mean()
    house = (laid["air_C"] - blown["air_C"])[night].mean()
    assert warmer > 0.3
    assert house < 0.5 * warmer
    assert warmer - house < soil


def test_heat_under_the_bench_warms_the_plants_not_the_soil(january: gs.Weather) -> None:
    """The same quarter of the heat, given beneath the row cover or into the soil under it."""
    covered = farm(0.0, "medium row cover")
    ways = {
        name: gs.simulate(covered.with_(**change), january, engine="python").trace.iloc[-24 * 7 :]
        for name, change in {
            "house": {"heater.bench_share": 0.0},
            "bench": {"heater.bench_share": 0.25},
            "soil": {"heater.root_zone_share": 0.25},
        }.items()
    }
    crop = {name: trace["crop_C"].mean() for name, trace in ways.items()}
    soil = {name: trace["soil_C"].mean() for name, trace in ways.items()}
    assert crop["bench"] > crop["soil"] > crop["house"]
    assert soil["soil"] > soil["bench"] > soil["house"]


def test_heat_in_the_beds_is_not_cheaper_by_itself(
    seasons: dict[tuple[float, str], gs.Season],
) -> None:
    """At the same air temperature warmer soil keeps more heat, and the house loses as before. What
    growers save with it is from a lower air temperature over warm roots."""
    for cover in ("none", "medium row cover"):
        laid, blown = (seasons[share, cover].ledger for share in (0.25, 0.0))
        assert laid["storage_change_kWh"] > blown["storage_change_kWh"] + 100.0
        assert laid["heat_delivered_kWh"] > blown["heat_delivered_kWh"]


def test_root_zone_share_stands_in_for_the_catalogue() -> None:
    assert farm(0.25).heater.overrides == {"floor_share": 0.25}
    assert farm(None).heater.overrides == {}
    rows = {(row.section, row.key): row for row in gs.scenario.explain(farm(0.25))}
    assert rows["heater", "root_zone_share"].value == "0.25"
    assert ("heater", "floor_share") not in rows
    assert farm(0.25).with_(heater="wood stove, large").heater.root_zone_share is None


def test_root_zone_share_is_refused_where_it_makes_no_sense() -> None:
    with pytest.raises(ScenarioError, match=r"25 percent is written 0\.25"):
        farm(25)
    base = farm(0.25)
    with pytest.raises(ScenarioError, match="more than all of the heat"):
        base.with_(**{"heater.bench_share": 0.8})
    with pytest.raises(ScenarioError, match="says the same as floor_share"):
        base.with_(**{"heater.floor_share": 0.3})
    box = {
        "shape": "surfaces", "floor_area": "48 m^2", "volume": "130 m^3",
        "floor_u_value": "0.04 W/m^2/K",
        "surface": [{"area": "150 m^2", "tilt": 0, "u_value": "3 W/m^2/K", "opaque": True,
                     "absorptance": 0.5}],
    }  # fmt: skip
    with pytest.raises(ScenarioError, match="has no soil to be laid in"):
        gs.scenario_from_dict(
            {
                "site": {"weather": ["x.csv"]},
                "greenhouse": box,
                "heater": {"kind": "propane heater", "root_zone_share": 0.25},
            }
        )
