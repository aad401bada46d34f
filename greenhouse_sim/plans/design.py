"""The heat loss of a design night, part by part.

Built from the functions that prepare a season, one part at a time, for a single dark hour at the
design temperature: steady, no sun, no snow, no gains, vents shut, the curtain as it hangs at that
hour. What a clear sky takes beyond the published U-values is told apart.
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from typing import TYPE_CHECKING, Any, NamedTuple

import numpy as np

from greenhouse_sim.drive.clock import curtain_closed, setpoints
from greenhouse_sim.drive.envelope import Outside, envelope_loss
from greenhouse_sim.drive.sun import Light
from greenhouse_sim.errors import ScenarioError
from greenhouse_sim.greenhouse.chain import steady_conductance
from greenhouse_sim.greenhouse.house import build_house
from greenhouse_sim.greenhouse.leak import leak_wind
from greenhouse_sim.greenhouse.loss import wall_halves
from greenhouse_sim.greenhouse.numbers import House
from greenhouse_sim.greenhouse.shape import shell
from greenhouse_sim.greenhouse.skin import Skin, skins
from greenhouse_sim.greenhouse.sky import berdahl_martin, reference_radiation, sky_radiation
from greenhouse_sim.greenhouse.wind import wind_factor
from greenhouse_sim.units import fahrenheit
from greenhouse_sim.weather import Weather

if TYPE_CHECKING:
    from greenhouse_sim.scenario import Scenario

Array = np.ndarray

COLDER_PERCENT = 1.0
"""Share of hours that are colder than the design temperature (definition of the 99 % value)."""
NEAR_K = 2.0
"""Hours within this of the design temperature give its wind, dew point and pressure (judgement)."""
DESIGN_HOUR = 4.5
"""Clock and solar hour of the design night: dark, before a curtain opens (judgement)."""
YEAR_H = 8760


class Part(NamedTuple):
    """One way out for the heat on the design night."""

    name: str
    area_m2: float | None
    u_value: float | None
    """W/m²K in the design wind, behind the curtain where one hangs; None without an area."""
    loss_W: float
    clear_sky_W: float
    """What a clear sky takes beyond ``loss_W``, W."""


class Night(NamedTuple):
    """Outdoors and indoors on the design night."""

    temperature_C: float
    basis: str
    """Where the temperature comes from."""
    inside_C: float
    wind_m_s: float
    """At the weather station, 10 m up."""
    wind_basis: str
    """Which hours' mean wind it is."""
    dew_C: float
    pressure_Pa: float
    ground_C: float
    """Deep ground."""


class Design(NamedTuple):
    """The design night's heat loss."""

    night: Night
    floor_m2: float
    parts: tuple[Part, ...]

    @property
    def loss_W(self) -> float:
        """All parts, under the sky that published U-values hold."""
        return sum(part.loss_W for part in self.parts)

    @property
    def clear_sky_W(self) -> float:
        """What a clear sky adds."""
        return sum(part.clear_sky_W for part in self.parts)

    def share(self, part: Part) -> float | None:
        """A part's share of `loss_W`; None where nothing is lost."""
        return part.loss_W / self.loss_W if self.loss_W > 0.0 else None


def design_night(
    scenario: Scenario,
    records: Sequence[Weather],
    ground_C: float,
    given_C: float | None = None,
) -> Night:
    """Temperature, wind, sky and ground of the design night.

    The temperature is the one that 99 % of the records' hours exceed, or ``given_C``; wind,
    dew-point depression and pressure are means of the hours within 2 K of it. ``ground_C`` is the
    deep ground's (`heat` takes it from the coldest hour of each winter).
    """
    t_out = np.concatenate([record.t_out_C for record in records])
    rare = float(np.percentile(t_out, COLDER_PERCENT))
    cold_C = rare if given_C is None else given_C
    inside_C = float(setpoints(scenario.crop, np.array([DESIGN_HOUR]), np.array([False]))[0])
    if given_C is not None and given_C >= inside_C:
        raise ScenarioError(
            f"design temperature: {_both(given_C)} is not below the night setpoint, "
            f"{_both(inside_C)}; write a colder one"
        )
    near = np.abs(t_out - cold_C) <= NEAR_K
    hours = "the hours within 2 K of the design temperature"
    if not near.any():
        near, hours = t_out <= rare, "the coldest 1 % of the hours (none come within 2 K)"

    def mean(values: Array) -> float:
        return float(np.mean(values[near]))

    depression = t_out - np.concatenate([record.t_dew_C for record in records])
    return Night(
        cold_C,
        _basis(records) if given_C is None else "as given",
        inside_C,
        mean(np.concatenate([record.wind_m_s for record in records])),
        f"mean wind of {hours}",
        cold_C - mean(depression),
        mean(np.concatenate([record.pressure_Pa for record in records])),
        ground_C,
    )


def _both(celsius: float) -> str:
    return f"{fahrenheit(celsius):.0f} degF ({celsius:.1f} degC)"


def _basis(records: Sequence[Weather]) -> str:
    hours = sum(record.hours for record in records)
    if all(record.hours >= YEAR_H for record in records):
        return f"99 % of the {hours:,} hours of the weather's whole years are warmer"
    return (
        f"99 % of the {hours:,} hours in the weather files are warmer (they hold no whole "
        "years; 99 % of a year's hours would be a little milder)"
    )


def design_loss(scenario: Scenario, night: Night, *, place: Weather | None = None) -> Design:
    """The heat loss of the greenhouse on that night, part by part.

    ``place`` gives latitude and elevation where the scenario does not.
    """
    site = scenario.site
    latitude = site.latitude if place is None else place.latitude
    walls = shell(scenario, latitude)
    elevation_m = None if place is None else place.elevation_m
    house = build_house(scenario, night.ground_C, elevation_m=elevation_m, latitude=latitude)
    wind = night.wind_m_s * wind_factor(site.terrain, walls.wind_height_m)
    parts = _shell_parts(scenario, skins(scenario, walls), night, wind)
    dt = night.inside_C - night.temperature_C
    _, to_ground = steady_conductance(house.chain_start, house.node_g, house.end_g, house.end_out)
    others = {
        "air leaks": _leak_W(scenario, house, night),
        "floor's edge": house.edge_w_k * dt,
        "deep ground": to_ground * (night.inside_C - night.ground_C),
    }
    parts += [Part(name, None, None, loss, 0.0) for name, loss in others.items() if loss != 0.0]
    return Design(night, float(walls.floor_m2), tuple(parts))


def _shell_parts(
    scenario: Scenario, found: tuple[Skin, ...], night: Night, wind_m_s: float
) -> list[Part]:
    """Covers and walls; pieces of one kind (a hoop's facets) together."""
    green: Any = scenario.greenhouse
    t_out = np.array([night.temperature_C])
    hour = np.array([DESIGN_HOUR])
    closed = curtain_closed(green.night_curtain, hour, np.array([False]))
    emittance = berdahl_martin(
        np.array([night.dew_C]), np.array([night.pressure_Pa]), hour, np.array([0.0])
    )
    skies = (reference_radiation(t_out), sky_radiation(emittance, t_out))
    dark = Light(*(np.zeros((1, 1)) for _ in Light._fields))
    dt = night.inside_C - night.temperature_C

    def lost(parts: tuple[Skin, ...]) -> tuple[float, float, float]:
        """W/K of the shell, W under the reference sky, W more under a clear one."""
        outside = [Outside(t_out, np.array([wind_m_s]), sky, closed) for sky in skies]
        both = [envelope_loss(green, parts, dark, one) for one in outside]
        w_k = float(both[0][0][0])
        beyond = [float(sky_w[0]) for _, sky_w in both]
        return w_k, w_k * dt + beyond[0], beyond[1] - beyond[0]

    floor_w_k, floor_W, _ = lost(())
    kinds: dict[str, list[tuple[float, float, float, float]]] = {}
    for skin in found:
        w_k, loss_W, clear_W = lost((skin,))
        through = _heavy_w_k(skin)
        row = (
            skin.part.area_m2,
            w_k - floor_w_k + through,
            loss_W - floor_W + through * dt,
            clear_W,
        )
        kinds.setdefault(_kind(skin), []).append(row)
    parts = []
    for name, rows in kinds.items():
        area, w_k, loss_W, clear_W = (sum(column) for column in zip(*rows, strict=True))
        parts.append(Part(name, area, w_k / area, loss_W, clear_W))
    if floor_w_k > 0.0:
        floor_m2 = float(green.floor_area)
        parts.append(Part("floor, as given", floor_m2, floor_w_k / floor_m2, floor_W, 0.0))
    return parts


def _kind(skin: Skin) -> str:
    part = skin.part.part
    if part == "box":
        return skin.part.name
    if part == "north":
        return "north wall" if skin.opaque else "north side"
    return {"sides": "side walls", "ends": "end walls", "wall": "wall behind"}.get(part, part)


def _heavy_w_k(skin: Skin) -> float:
    """A heavy wall in the steady state: both halves around its capacity in series, W/K."""
    if skin.capacity <= 0.0:
        return 0.0
    inside, outside = wall_halves(skin)
    return 1.0 / (1.0 / inside + 1.0 / outside)


def _leak_W(scenario: Scenario, house: House, night: Night) -> float:
    """Loss by infiltration, W: as the loop has it. Below 0 where it is warmer outside."""
    dt = night.inside_C - night.temperature_C
    speed = np.array([night.wind_m_s])
    wind = float(leak_wind(scenario.greenhouse, scenario.site.terrain, speed)[0])
    return house.leak_w_k * math.sqrt(wind + house.leak_stack * abs(dt)) * dt
