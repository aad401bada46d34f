"""Turn a scenario and a weather record into the arrays that the hourly kernel walks through."""

from __future__ import annotations

from typing import Any

import numpy as np

from greenhouse_sim.drive.absorbed import Absorbed, in_box, in_greenhouse
from greenhouse_sim.drive.clad import Passed, clad, passed
from greenhouse_sim.drive.clock import setpoints
from greenhouse_sim.drive.enclosure import on_faces
from greenhouse_sim.drive.need import running_sum_j, steady_need
from greenhouse_sim.drive.outdoors import Outdoors
from greenhouse_sim.drive.rest import rested
from greenhouse_sim.greenhouse.enclosure import is_closed
from greenhouse_sim.greenhouse.ground import Ground, site_ground
from greenhouse_sim.greenhouse.house import build_house
from greenhouse_sim.greenhouse.leak import leak_wind
from greenhouse_sim.greenhouse.numbers import Drive, House
from greenhouse_sim.greenhouse.part import Shell
from greenhouse_sim.greenhouse.skin import Skin, skins
from greenhouse_sim.greenhouse.warm_up import warmed

Array = np.ndarray


def make_house(scenario: Any, weather: Any, outdoors: Outdoors | None = None) -> House:
    """The greenhouse of a scenario standing in this weather: its elevation, its soil warmed up."""
    seen = outdoors or Outdoors(weather)
    ground = site_ground(scenario, weather, seen.year)
    place = {"elevation_m": weather.elevation_m, "latitude": weather.latitude}
    house = build_house(scenario, ground.under.mean_C, **place)
    return house._replace(node_start=_start(house, ground, _mean_setpoint(scenario.crop), seen))


def _start(house: House, ground: Ground, setpoint_C: float, seen: Outdoors) -> Array:
    """Temperatures at first, worked out once for all that stand on the same soil, °C."""
    nodes = (house.node_c, house.node_g, house.end_g, house.end_out, house.chain_start)
    held = tuple(one.tobytes() for one in (*nodes, house.node_start))
    first_day = float(seen.day[0])
    return seen.once(
        ("start", ground, setpoint_C, held),
        lambda: warmed(house, ground, first_day, setpoint_C).node_start,
    )


def _below(ground: Ground, seen: Outdoors) -> Array:
    """Temperature under the soil, worked out once for all that stand on such ground, °C."""
    return seen.once(("below", ground), lambda: ground.below_C(seen.day))


def _mean_setpoint(crop: Any) -> float:
    """Mean setpoint of a day with twelve hours of light, °C."""
    hour = np.arange(24) + 0.5
    return float(setpoints(crop, hour, (hour > 6.0) & (hour < 18.0)).mean())


def make_drive(
    scenario: Any, weather: Any, house: House | None = None, outdoors: Outdoors | None = None
) -> Drive:
    """What this weather does to the greenhouse of this scenario, hour by hour.

    Parameters
    ----------
    scenario
        The scenario, SI.
    weather
        The hours to walk through: a season, or a whole year.
    house
        The greenhouse if it is built already (`make_house`).
    outdoors
        The weather's, where other greenhouses were or will be tried in it.
    """
    seen = outdoors or Outdoors(weather)
    built = make_house(scenario, weather, seen) if house is None else house
    green, site = scenario.greenhouse, scenario.site
    walls = seen.shell(scenario)
    parts = skins(scenario, walls)
    through = passed(clad(scenario), walls, parts, seen)
    absorbed = _absorbed(green, walls, parts, through)
    fields = {
        "t_out": weather.t_out_C,
        "t_ground": _below(site_ground(scenario, weather, seen.year), seen),
        "loss_w_k": through.loss_w_k,
        "sky_w": through.sky_w,
        "leak_wind": leak_wind(green, site.terrain, weather.wind_m_s),
        "sun_air_w": absorbed.air,
        "sun_floor_w": absorbed.floor,
        "sun_mass_w": absorbed.mass,
        "sun_latent_w": absorbed.latent,
        "gain_w": np.full_like(seen.hour, float(green.internal_gain or 0.0)),
        "setpoint": wanted(scenario.crop, seen),
        "outside_w": through.outside_w,
    }
    need = steady_need(built, fields)
    fields |= {"need_w": need, "need_sum_j": running_sum_j(need)}
    # copies: a weather record's arrays are read-only, another type to the compiled loop
    return Drive(**{key: np.array(value, dtype=float) for key, value in fields.items()})


def wanted(crop: Any, seen: Outdoors) -> Array:
    """The setpoints, with the crop's rest in them, worked out once for all that hold them, °C."""
    rest = (getattr(crop, "rest", None), getattr(crop, "rest_setpoint", None))
    name = repr((crop.schedule, crop.setpoint_day, crop.setpoint_night, crop.rise, rest))
    return seen.once(
        name, lambda: rested(crop, seen.weather, setpoints(crop, seen.hour, seen.sun.up))
    )


def _absorbed(house: Any, walls: Shell, parts: tuple[Skin, ...], through: Passed) -> Absorbed:
    """Sun inside by the place where it ends."""
    if is_closed(house):
        return on_faces(through.sun_w)
    if through.caught is None:
        return in_box(house, parts, through.sun_w)
    return in_greenhouse(house, parts, through.caught, walls.floor_m2)
