"""The shell in a winter: what goes out through it, and the sun that it lets in.

It hangs on the weather, on the parts and on the few fields of a greenhouse that `Clad` holds, and
on nothing else: greenhouses that differ by their soil, mass, leaks or setpoint share it.
"""

from __future__ import annotations

from typing import Any, NamedTuple

import numpy as np

from greenhouse_sim.drive.clock import curtain_closed
from greenhouse_sim.drive.enclosure import outside_heat
from greenhouse_sim.drive.envelope import Outside, envelope_loss
from greenhouse_sim.drive.inside import Caught, Landing, caught, landing, let_in
from greenhouse_sim.drive.outdoors import Outdoors
from greenhouse_sim.drive.snow import bright_ground, on_roof, under_snow
from greenhouse_sim.drive.sun import Light
from greenhouse_sim.greenhouse.cover import curtain
from greenhouse_sim.greenhouse.enclosure import is_closed
from greenhouse_sim.greenhouse.fitted import fitted
from greenhouse_sim.greenhouse.part import Shell
from greenhouse_sim.greenhouse.skin import Skin
from greenhouse_sim.greenhouse.wind import wind_factor

Array = np.ndarray


class Clad(NamedTuple):
    """What of a greenhouse is looked at here: another field cannot be read by mistake."""

    shape: str
    planted_share: float
    structure_share: float
    night_curtain: Any
    fitted: Any
    floor_u_value: float | None
    floor_area: float | None
    surface: Any
    terrain: str
    """Of the site."""
    reflectance: float
    """Of the ground around, without snow."""


class Passed(NamedTuple):
    """What passes the shell hour by hour, arrays of shape (hours,)."""

    loss_w_k: Array
    sky_w: Array
    outside_w: Array
    """Heat of sun and sky behind each kind of face, shape (hours, kinds)."""
    sun_w: Array
    """Sun that gets in."""
    caught: Caught | None
    """Where it lands; None in a test box."""


def clad(scenario: Any) -> Clad:
    """The fields of a scenario that its shell hangs on."""
    green, site = scenario.greenhouse, scenario.site
    box = green.shape == "surfaces"
    return Clad(
        green.shape, green.planted_share, green.structure_share, green.night_curtain,
        getattr(green, "fitted", None), green.floor_u_value if box else None,
        green.floor_area if box else None, green.surface if box else (), site.terrain,
        site.ground_reflectance,
    )  # fmt: skip


def passed(green: Clad, walls: Shell, parts: tuple[Skin, ...], seen: Outdoors) -> Passed:
    """What passes this shell, worked out once for all greenhouses that have it."""
    name = (repr(green), parts, walls.floor_m2, walls.wind_height_m)
    return seen.once(name, lambda: _passed(green, walls, parts, seen))


def _passed(green: Clad, walls: Shell, parts: tuple[Skin, ...], seen: Outdoors) -> Passed:
    weather = seen.weather
    closed = curtain_closed(green.night_curtain, seen.hour, seen.sun.up)
    wind = weather.wind_m_s * wind_factor(green.terrain, walls.wind_height_m)
    outside = Outside(weather.t_out_C, wind, seen.infrared_W, closed)
    lit = _lit(green, walls, parts, seen)
    loss_w_k, sky_w = envelope_loss(green, parts, lit.on_walls, outside, lit.snow_m)
    outside_w = np.zeros((len(seen.hour), 0))
    if is_closed(green):
        outside_w = outside_heat(parts, lit.on_walls, outside)
        loss_w_k, sky_w = envelope_loss(green, (), lit.on_walls, outside)
    open_light = _open_light(green, closed[seen.daylight.hours])
    beam, diffuse = lit.beam * open_light, lit.diffuse * open_light
    held = None
    if lit.landing is not None:
        held = Caught(*(seen.all_hours(one) for one in caught(lit.landing, beam, diffuse)))
    return Passed(loss_w_k, sky_w, outside_w, seen.all_hours(beam + diffuse), held)


class Lit(NamedTuple):
    """What the light does at a shell, whatever curtain hangs in it; in the hours with light."""

    snow_m: Array | None
    """On every part in all hours, as `on_roof` has it."""
    on_walls: Light
    """On the opaque parts in all hours; that on the others warms no outside, and is 0."""
    beam: Array
    diffuse: Array
    """Let in by the parts, W."""
    landing: Landing | None
    """Where it lands; None in a test box."""


def _lit(green: Clad, walls: Shell, parts: tuple[Skin, ...], seen: Outdoors) -> Lit:
    """The light at these parts, worked out once for all curtains."""
    box = green.shape == "surfaces"
    name = ("lit", box, green.reflectance, parts, walls.floor_m2)
    return seen.once(name, lambda: _lighted(box, green.reflectance, walls.floor_m2, parts, seen))


def _lighted(
    box: bool, reflectance: float, floor_m2: float, parts: tuple[Skin, ...], seen: Outdoors
) -> Lit:
    day = seen.daylight
    snow = _snow(box, seen.weather)
    tilt = np.array([skin.part.tilt_deg for skin in parts])
    azimuth = np.array([skin.part.azimuth_deg for skin in parts])
    light = seen.light(tilt, azimuth, bright_ground(reflectance, snow[day.hours]))
    lying = on_roof(parts, snow)
    under = light if lying is None else under_snow(light, lying[:, day.hours])
    to = None if box else landing(parts, light, day.sun, seen.even_W, floor_m2)
    return Lit(lying, _on_walls(parts, under, seen), *let_in(parts, under), to)


def _on_walls(parts: tuple[Skin, ...], lit: Light, seen: Outdoors) -> Light:
    """The light of all hours on the opaque parts (see `Lit`)."""
    opaque = [k for k, skin in enumerate(parts) if skin.opaque]

    def whole(values: Array) -> Array:
        found = np.zeros((len(parts), len(seen.hour)))
        found[opaque] = seen.all_hours(values[opaque])
        return found

    return Light(*(whole(one) for one in lit))


def _snow(box: bool, weather: Any) -> Array:
    """Snow depth, m, nan where unknown; none around a test box, which states what it stands on."""
    depth = np.asarray(weather.snow_m, dtype=float)
    return np.full_like(depth, np.nan) if box else depth


def _open_light(green: Clad, closed: Array) -> Array:
    """Share of the light left by structure, dirt and curtain.

    A test box states the transmittance of its whole openings, so structure takes nothing there.
    """
    box = green.shape == "surfaces"
    let_in = fitted(green, "sun") * (1.0 if box else 1.0 - green.structure_share)
    open_light = np.full_like(closed, let_in)
    if green.night_curtain is None:
        return open_light
    drape = curtain(green.night_curtain.cover)
    shade = green.night_curtain.share * (1.0 - drape.solar_direct)
    return np.asarray(open_light * (1.0 - shade * closed))
