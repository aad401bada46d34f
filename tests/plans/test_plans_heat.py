"""Where the heat goes: the design loss against the engine, a worked example, and laws."""

from __future__ import annotations

from dataclasses import replace
from datetime import datetime
from typing import Any

import numpy as np
import pytest

import greenhouse_sim as gs
from greenhouse_sim.drive.drive import make_drive
from greenhouse_sim.drive.vapour import make_moisture
from greenhouse_sim.greenhouse.house import build_house
from greenhouse_sim.greenhouse.shape import shell
from greenhouse_sim.greenhouse.sky import reference_radiation
from greenhouse_sim.greenhouse.wind import wind_factor
from greenhouse_sim.heater.catalogue import heater_names
from greenhouse_sim.plans.design import Design, Night, design_loss, design_night
from greenhouse_sim.plans.heat import Heat, design_row, heat, sides
from greenhouse_sim.routine.calendar import calendar
from greenhouse_sim.season import tally as at
from greenhouse_sim.season.many import run_many
from greenhouse_sim.season.modes import walk_of
from greenhouse_sim.season.run import Winter, read_records, run_seasons, task
from greenhouse_sim.units import BTU_J

BTU_H_W = BTU_J / 3600.0
HOURS = 24 * 20
MILD = "tamarack_flats_mild.csv"
HOOP = {
    "shape": "hoop", "width": "30 ft", "length": "72 ft", "sidewall": "5 ft", "ridge": "14 ft",
    "cover": "double poly inflated",
}  # fmt: skip
BOX = {
    "shape": "surfaces",
    "floor_area": "2112 ft^2",
    "volume": "19000 ft^3",
    "air_changes": "0 /hour",
    "floor_u_value": "0 W/m^2/K",
    "heat_capacity": "2e6 J/K",
}
LEAN_TO = {
    "shape": "lean-to", "width": "12 ft", "length": "24 ft", "sidewall": "6 ft", "ridge": "10 ft",
    "faces": "south", "wall": {"r_value": "2 m^2*K/W", "other_side": "20 degC"},
    "cover": "single glass",
}  # fmt: skip
NORTH_WALL = {"r_value": "1 m^2*K/W", "absorptance": 0.6, "heat_capacity": "200 kJ/m^2/K"}
CURTAIN = {"cover": "aluminised curtain", "share": 0.9, "closed": ["00:00", "23:59"]}


def farm(greenhouse: dict[str, Any], inside: str = "10 degC", ground: str = "8 degC") -> Any:
    """An ideal heater that holds one temperature."""
    return gs.scenario_from_dict(
        {
            "site": {
                "weather": ["steady.csv"],
                "season": {"start": "12-01", "end": "12-20"},
                "deep_ground": ground,
            },
            "greenhouse": greenhouse,
            "crop": {"setpoint": {"day": inside, "night": inside}},
            "heater": {"kind": "ideal"},
        }
    )


def steady(outside_C: float, wind_m_s: float, clear: bool = False) -> gs.Weather:
    """Twenty dark days of one temperature under the usual sky, or a clear one."""
    flat, dark = np.full(HOURS, outside_C), np.zeros(HOURS)
    unknown = np.full(HOURS, np.nan)
    return gs.Weather(
        name="steady", site="nowhere", start=datetime(2025, 12, 1), utc_offset_h=-6.0,
        latitude=47.0, longitude=-90.0, elevation_m=0.0, t_out_C=flat, t_dew_C=flat - 3.0,
        pressure_Pa=np.full(HOURS, 101325.0), wind_m_s=np.full(HOURS, wind_m_s), ghi_W=dark,
        dni_W=dark, dhi_W=dark, cloud=dark,
        ir_down_W=unknown if clear else reference_radiation(flat), snow_m=unknown, notes=(),
        source="constant, for a check", synthetic=True,
    )  # fmt: skip


def design_of(scenario: gs.Scenario, weather: gs.Weather, ground_C: float = 8.0) -> Design:
    """The design loss in constant weather."""
    return design_loss(scenario, design_night(scenario, [weather], ground_C), place=weather)


def settled_W(scenario: gs.Scenario, weather: gs.Weather, ground_C: float) -> float:
    """What the loop's ideal heater gives in the last two days, its soil in the steady state."""
    house = build_house(scenario, ground_C, elevation_m=weather.elevation_m)
    days = calendar(scenario.routine, scenario.site.power_cuts, weather.start, weather.hours)
    drive = make_drive(scenario, weather, house)
    moisture = make_moisture(scenario, weather)
    winter = Winter(weather, house, drive, days, walk_of(house, drive), moisture)
    (done,) = run_many([task(scenario, winter, "ideal", True)], "python")
    return float(done.trace[-48:, at.TRACE.index("heater_W")].mean())


@pytest.mark.parametrize("clear", [False, True])
@pytest.mark.parametrize(
    "greenhouse",
    [HOOP, HOOP | {"north_wall": NORTH_WALL}, HOOP | {"night_curtain": CURTAIN}, LEAN_TO],
    ids=["hoop", "heavy north wall", "curtain", "lean-to on a heated room"],
)
def test_parts_add_up_to_what_the_ideal_heater_settles_at(
    greenhouse: dict[str, Any], clear: bool
) -> None:
    scenario, weather = farm(greenhouse), steady(-20.0, 5.0, clear)
    design = design_of(scenario, weather)
    ours = design.loss_W + (design.clear_sky_W if clear else 0.0)
    assert ours == pytest.approx(settled_W(scenario, weather, 8.0), rel=0.01)
    assert sum(part.loss_W for part in design.parts) == pytest.approx(design.loss_W, rel=1e-12)
    assert design.clear_sky_W > 0.0


def box(*surfaces: tuple[str, str, str]) -> dict[str, Any]:
    """A box of clear, upright parts: name, area, U-value."""
    keys = ("name", "area", "u_value")
    rest = {"tilt": 90, "azimuth": 180, "solar_transmittance": 0.6}
    return BOX | {"surface": [dict(zip(keys, one, strict=True)) | rest for one in surfaces]}


def sheet(outside_C: float = -15.0) -> tuple[gs.Scenario, gs.Weather]:
    """A maker's sizing sheet at the wind that its U-values hold, 4 m/s at the eave."""
    scenario = farm(
        box(
            ("roof", "3456 ft^2", "0.70 Btu/hr/ft^2/degF"),
            ("ends", "352 ft^2", "0.53 Btu/hr/ft^2/degF"),
        ),
        "65 degF",
        "65 degF",
    )
    factor = wind_factor(scenario.site.terrain, shell(scenario).wind_height_m)
    return scenario, steady(outside_C, 4.0 / factor)


def test_a_makers_sizing_sheet_part_by_part() -> None:
    """Ends 352 ft² at 0.53 and roof 3,456 ft² at 0.70: 186.56 + 2,419.2 Btu/h·°F.

    Source: a greenhouse maker's how-to sheet; 65 °F inside, 5 °F outside.
    """
    scenario, weather = sheet(-15.0)
    design = design_of(scenario, weather, 65.0)
    lost = {part.name: part.loss_W / BTU_H_W / 60.0 for part in design.parts}
    assert lost == pytest.approx({"ends": 186.56, "roof": 2419.2}, rel=1e-3)
    assert design.loss_W / BTU_H_W == pytest.approx(156_348.0, rel=1e-3)


def test_design_loss_is_ua_times_temperature_difference() -> None:
    scenario, weather = sheet()
    design = design_of(scenario, weather, 65.0)
    ua = sum((part.area_m2 or 0.0) * (part.u_value or 0.0) for part in design.parts)
    dt = design.night.inside_C - design.night.temperature_C
    assert design.loss_W == pytest.approx(ua * dt, rel=1e-9)
    shares = [design.share(part) for part in design.parts]
    assert sum(share or 0.0 for share in shares) == pytest.approx(1.0)


def test_a_stated_floor_is_counted_once() -> None:
    bare = box(("a", "100 m^2", "3 W/m^2/K"), ("b", "50 m^2", "1 W/m^2/K"))
    given = farm(bare | {"floor_u_value": "0.5 W/m^2/K"})
    design = design_of(given, steady(-10.0, 4.0))
    (floor,) = (part for part in design.parts if part.name == "floor, as given")
    assert floor.loss_W == pytest.approx(0.5 * design.floor_m2 * 20.0)
    without = design_of(farm(bare), steady(-10.0, 4.0))
    assert design.loss_W - without.loss_W == pytest.approx(floor.loss_W)


def test_laws_of_the_design_loss() -> None:
    """Better covers, a curtain and calm lose less; colder nights more."""
    plain, weather = farm(HOOP), steady(-20.0, 5.0)
    loss = design_of(plain, weather).loss_W
    assert design_of(farm(HOOP | {"cover": "single glass"}), weather).loss_W > loss
    assert design_of(farm(HOOP | {"night_curtain": CURTAIN}), weather).loss_W < loss
    assert design_of(plain, steady(-25.0, 5.0)).loss_W > loss
    assert design_of(plain, steady(-20.0, 2.0)).loss_W < loss
    never = CURTAIN | {"closed": "never"}
    assert design_of(farm(HOOP | {"night_curtain": never}), weather).loss_W == pytest.approx(loss)


def test_a_night_warmer_than_the_setpoint_is_the_same_the_other_way_round() -> None:
    scenario = farm(HOOP)
    night = design_night(scenario, [steady(-5.0, 5.0)], 10.0)
    warm = night._replace(temperature_C=25.0)
    lost, won = (design_loss(scenario, one) for one in (night, warm))
    for out, back in zip(lost.parts, won.parts, strict=True):
        assert out.loss_W == pytest.approx(-back.loss_W)


def test_design_temperature_is_the_99_percent_value() -> None:
    """Of 0 to 50 degrees below, evenly, 1 % lie under -49.5; the wind is that within 2 K."""
    weather = steady(0.0, 3.0)
    cold = -np.linspace(0.0, 50.0, HOURS)
    wind = np.where(np.abs(cold + 49.5) <= 2.0, 7.0, 1.0)
    night = design_night(farm(HOOP), [replace(weather, t_out_C=cold, wind_m_s=wind)], 8.0)
    assert night.temperature_C == pytest.approx(-49.5)
    assert night.wind_m_s == pytest.approx(7.0)
    assert "no whole years" in " ".join(night.basis.split())
    assert night.inside_C == pytest.approx(10.0)


def test_a_whole_year_is_told_as_such() -> None:
    scenario = gs.read_scenario(gs.demo_path())
    (record,) = read_records(scenario, ["tamarack_flats_typical.epw"])
    night = design_night(scenario, [record], 5.0)
    assert "whole years" in night.basis
    assert "8,760 hours" in night.basis
    colder = float(np.mean(record.t_out_C < night.temperature_C))
    assert colder == pytest.approx(0.01, abs=0.001)


def test_a_given_temperature_beyond_the_record_takes_the_coldest_hours() -> None:
    scenario = farm(HOOP)
    night = design_night(scenario, [steady(-20.0, 5.0)], 8.0, -50.0)
    assert (night.temperature_C, night.basis) == (-50.0, "as given")
    assert "coldest 1 %" in night.wind_basis
    assert night.wind_m_s == pytest.approx(5.0)
    assert night.dew_C == pytest.approx(-53.0)


@pytest.mark.parametrize("given_C", [10.0, 30.0])
def test_a_design_temperature_that_is_not_cold_is_refused(given_C: float) -> None:
    with pytest.raises(gs.ScenarioError, match="colder"):
        design_night(farm(HOOP), [steady(-20.0, 5.0)], 8.0, given_C)


@pytest.fixture(scope="module")
def demo() -> tuple[gs.Scenario, list[gs.Season], Heat]:
    """The demo farm's mild winter."""
    scenario = gs.read_scenario(gs.demo_path())
    records = read_records(scenario, [MILD])
    winters = gs.winters(records[0])
    seasons = run_seasons(scenario, ["ideal"], winters, traced=True, engine="compiled")
    return scenario, seasons, heat(scenario, seasons, records)


def test_paths_of_a_winter_balance(demo: Any) -> None:
    """Both sides are the ledger's own, and every path of the ledger is among them."""
    (row,) = demo[2].winters
    came, went = sides(row)
    assert sum(came.values()) == pytest.approx(sum(went.values()), rel=1e-6)
    assert min([*came.values(), *went.values()]) > 0.0
    assert came["heater"] == pytest.approx(row["heat_need_kWh"])
    assert row["heat_need_kWh_m2"] * row["floor_m2"] == pytest.approx(row["heat_need_kWh"])


def test_a_loss_below_nothing_came_in() -> None:
    row = {"gains_kWh": {"sun": 5.0, "other": 0.0}, "losses_kWh": {"leaks": 8.0, "ground": -3.0}}
    assert sides(row) == ({"sun": 5.0, "from the ground": 3.0}, {"leaks": 8.0})


def test_the_hardest_hours_are_the_traces(demo: Any) -> None:
    _, (season,), found = demo
    (row,) = found.winters
    need = season.trace["heater_W"]
    hour = row["largest_hour"]
    assert hour["need_W"] == need.max()
    when = need.idxmax()
    assert hour["at"] == when.isoformat(timespec="minutes")
    assert hour["out_C"] == pytest.approx(season.trace.loc[when, "out_C"])
    three = row["largest_three_hours"]
    assert three["need_W"] == pytest.approx(need.rolling(3).mean().max())
    assert three["need_W"] <= hour["need_W"]
    below = (season.trace["setpoint_C"] - season.trace["out_C"]).clip(lower=0.0)
    assert row["degree_hours_Kh"] == pytest.approx(below.sum())


def test_an_output_reaches_the_share_of_hours_that_it_says(demo: Any) -> None:
    _, (season,), found = demo
    need = season.trace["heater_W"].to_numpy()
    for key, share in (("output_99_W", 0.99), ("output_99_9_W", 0.999)):
        output = found.outputs_W[key]
        assert np.mean(need <= output) >= share
        assert np.mean(need < output) < share


def test_heaters_are_those_of_the_catalogue_with_an_output(demo: Any) -> None:
    scenario, seasons, found = demo
    named = {row["heater"] for row in found.heaters}
    compost = {name for name in heater_names() if name.startswith("compost")}
    assert named == set(heater_names()) - compost - {"ideal"}
    for row in found.heaters:
        reaches = row["output_max_W"] >= found.outputs_W["output_99_W"]
        assert row["reaches_output_99"] is reaches
        assert reaches == (row["share_of_hours"] >= 0.99)
    two = heat(scenario.with_(**{"heater.count": 2}), seasons, [seasons[0].weather])
    single = {row["heater"]: row["output_max_W"] for row in found.heaters}
    for row in two.heaters:
        assert row["output_max_W"] == pytest.approx(2.0 * single[row["heater"]])


def test_a_colder_design_needs_more_and_its_row_adds_up(demo: Any) -> None:
    scenario, seasons, found = demo
    records = [seasons[0].weather]
    losses = [heat(scenario, seasons, records, t).design.loss_W for t in (-10.0, -20.0, -30.0)]
    assert losses == sorted(losses)
    row = design_row(found)
    assert sum(part["loss_W"] for part in row["parts"]) == pytest.approx(row["loss_W"])
    assert sum(part["share"] for part in row["parts"]) == pytest.approx(1.0)
    assert row["loss_clear_sky_W"] == pytest.approx(row["loss_W"] + row["clear_sky_W"])
    assert isinstance(found.design.night, Night)
