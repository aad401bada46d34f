"""Turn a scenario and a weather record into the arrays that the hourly kernel walks through."""

from __future__ import annotations

from typing import Any

import numpy as np

from greenhouse_sim.drive.absorbed import Absorbed, in_box, in_greenhouse
from greenhouse_sim.drive.clock import curtain_closed, hour_of_day, setpoints
from greenhouse_sim.drive.clouds import sky_infrared
from greenhouse_sim.drive.enclosure import on_faces, outside_heat
from greenhouse_sim.drive.envelope import Outside, envelope_loss
from greenhouse_sim.drive.inside import caught, entered
from greenhouse_sim.drive.need import running_sum_j, steady_need
from greenhouse_sim.drive.rest import rested
from greenhouse_sim.drive.snow import bright_ground, on_roof, under_snow
from greenhouse_sim.drive.sun import Light, Sun, even_sky, on_surfaces, sun_position
from greenhouse_sim.greenhouse.cover import curtain
from greenhouse_sim.greenhouse.enclosure import is_closed
from greenhouse_sim.greenhouse.fitted import fitted
from greenhouse_sim.greenhouse.ground import site_ground
from greenhouse_sim.greenhouse.house import build_house
from greenhouse_sim.greenhouse.leak import leak_wind
from greenhouse_sim.greenhouse.numbers import Drive, House
from greenhouse_sim.greenhouse.part import Shell
from greenhouse_sim.greenhouse.shape import shell
from greenhouse_sim.greenhouse.skin import Skin, skins
from greenhouse_sim.greenhouse.undisturbed import day_of_year
from greenhouse_sim.greenhouse.warm_up import warmed
from greenhouse_sim.greenhouse.wind import wind_factor

Array = np.ndarray


def make_house(scenario: Any, weather: Any) -> House:
    """The greenhouse of a scenario standing in this weather: its elevation, its soil warmed up."""
    ground = site_ground(scenario, weather)
    house = build_house(scenario, ground.under.mean_C, elevation_m=weather.elevation_m)
    first_day = float(day_of_year(weather)[0])
    return warmed(house, ground, first_day, _mean_setpoint(scenario.crop))


def _mean_setpoint(crop: Any) -> float:
    """Mean setpoint of a day with twelve hours of light, °C."""
    hour = np.arange(24) + 0.5
    return float(setpoints(crop, hour, (hour > 6.0) & (hour < 18.0)).mean())


def make_drive(scenario: Any, weather: Any, house: House | None = None) -> Drive:
    """What this weather does to the greenhouse of this scenario, hour by hour.

    Parameters
    ----------
    scenario
        The scenario, SI.
    weather
        The hours to walk through: a season, or a whole year.
    house
        The greenhouse if it is built already (`make_house`).
    """
    built = make_house(scenario, weather) if house is None else house
    green, site = scenario.greenhouse, scenario.site
    walls = shell(scenario, weather.latitude)
    parts = skins(scenario, walls)
    sun = sun_position(weather)
    hour = hour_of_day(weather)
    closed = curtain_closed(green.night_curtain, hour, sun.up)
    wind = weather.wind_m_s * wind_factor(site.terrain, walls.wind_height_m)
    snow = _snow(green, weather)
    light = _light(parts, sun, weather, bright_ground(site.ground_reflectance, snow))
    lying = on_roof(parts, snow)
    outside = Outside(weather.t_out_C, wind, sky_infrared(weather, sun), closed)
    loss_w_k, sky_w = envelope_loss(green, parts, under_snow(light, lying), outside, lying)
    outside_w = np.zeros((len(hour), 0))
    if is_closed(green):
        outside_w = outside_heat(parts, light, outside)
        loss_w_k, sky_w = envelope_loss(green, (), light, outside)
    absorbed = _absorbed(green, walls, parts, light, sun, weather, closed, lying)
    fields = {
        "t_out": weather.t_out_C,
        "t_ground": site_ground(scenario, weather).below_C(day_of_year(weather)),
        "loss_w_k": loss_w_k,
        "sky_w": sky_w,
        "leak_wind": leak_wind(green, site.terrain, weather.wind_m_s),
        "sun_air_w": absorbed.air,
        "sun_floor_w": absorbed.floor,
        "sun_mass_w": absorbed.mass,
        "sun_latent_w": absorbed.latent,
        "gain_w": np.full_like(hour, float(green.internal_gain or 0.0)),
        "setpoint": rested(scenario.crop, weather, setpoints(scenario.crop, hour, sun.up)),
        "outside_w": outside_w,
    }
    need = steady_need(built, fields)
    fields |= {"need_w": need, "need_sum_j": running_sum_j(need)}
    # copies: a weather record's arrays are read-only, another type to the compiled loop
    return Drive(**{key: np.array(value, dtype=float) for key, value in fields.items()})


def _snow(house: Any, weather: Any) -> Array:
    """Snow depth, m, nan where unknown; none around a test box, which states what it stands on."""
    depth = np.asarray(weather.snow_m, dtype=float)
    return np.full_like(depth, np.nan) if house.shape == "surfaces" else depth


def _light(parts: tuple[Skin, ...], sun: Sun, weather: Any, reflectance: Array) -> Light:
    """Sun on the outside of every part."""
    tilt = np.array([skin.part.tilt_deg for skin in parts])
    azimuth = np.array([skin.part.azimuth_deg for skin in parts])
    return on_surfaces(tilt, azimuth, sun, weather, reflectance)


def _absorbed(
    house: Any, walls: Shell, parts: tuple[Skin, ...], light: Light, sun: Sun, weather: Any,
    closed: Array, lying: Array | None,
) -> Absorbed:  # fmt: skip
    """Sun inside by the place where it ends, ``lying`` being the snow on the parts.

    A test box states the transmittance of its whole openings, so structure takes nothing there.
    """
    box = house.shape == "surfaces"
    let_in = fitted(house, "sun") * (1.0 if box else 1.0 - house.structure_share)
    open_light = np.full_like(closed, let_in)
    if house.night_curtain is not None:
        drape = curtain(house.night_curtain.cover)
        shade = house.night_curtain.share * (1.0 - drape.solar_direct)
        open_light = open_light * (1.0 - shade * closed)
    passed = entered(parts, under_snow(light, lying), open_light)
    if is_closed(house):
        return on_faces(passed[0] + passed[1])
    if box:
        return in_box(house, parts, passed[0] + passed[1])
    even = even_sky(sun, weather)
    held = caught(parts, light, sun, even, passed, walls.floor_m2)
    return in_greenhouse(house, parts, held, walls.floor_m2)
