"""The days before tonight and the forecast, laid into a winter that is prepared already.

Tonight is wanted within a second, and the sun's libraries alone take one to load. So the sun is
not placed anew: what the greenhouse absorbs for each W/m² on the horizontal at an hour of the day
is taken from two weeks of the prepared winter around the date. Temperature, wind, sky and
moisture are the forecast's own and go through the same functions as a winter's. Sun on the outside
of opaque walls, and snow on the roof, are left out.

What a forecast lacks is taken from the same two weeks: their mean wind, their mean distance of the
dew point from the air, their mean cloud, and their mean sun at the hour (with cloud, their clearest
sun at the hour less what the cloud keeps, Kasten and Czeplak 1980).
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace
from datetime import datetime, timedelta
from typing import TYPE_CHECKING, Any, NamedTuple

import numpy as np

from greenhouse_sim.drive.clock import curtain_closed, hour_of_day
from greenhouse_sim.drive.clouds import sky_infrared
from greenhouse_sim.drive.envelope import Outside, envelope_loss
from greenhouse_sim.drive.need import running_sum_j, steady_need
from greenhouse_sim.drive.sun import Light, Sun
from greenhouse_sim.drive.vapour import outdoor_vapour
from greenhouse_sim.errors import ScenarioError
from greenhouse_sim.greenhouse.enclosure import is_closed
from greenhouse_sim.greenhouse.ground import site_ground
from greenhouse_sim.greenhouse.leak import leak_wind
from greenhouse_sim.greenhouse.numbers import Drive
from greenhouse_sim.greenhouse.shape import shell
from greenhouse_sim.greenhouse.skin import skins
from greenhouse_sim.greenhouse.undisturbed import day_of_year
from greenhouse_sim.greenhouse.vapour_numbers import Moisture
from greenhouse_sim.greenhouse.warm_up import warmed
from greenhouse_sim.greenhouse.wind import wind_factor
from greenhouse_sim.plans.forecast import place_in
from greenhouse_sim.plans.tonight_error import number
from greenhouse_sim.plans.tonight_forecast import Forecast
from greenhouse_sim.routine.calendar import calendar
from greenhouse_sim.season.modes import walk_of
from greenhouse_sim.season.run import Winter
from greenhouse_sim.weather.complete import dew_point
from greenhouse_sim.weather.limits import number as weather_number

if TYPE_CHECKING:
    from greenhouse_sim.scenario import Scenario
    from greenhouse_sim.weather import Weather

Array = np.ndarray
DAY_H = 24
AHEAD_D = 3
"""Days from tonight's midnight that are laid out: the grower looks a day beyond the night."""
SUNS = ("sun_air_w", "sun_floor_w", "sun_mass_w", "sun_latent_w")
JOINT_H = 6
"""Hours over which the forecast is held against the winter's own weather (judgement)."""
HALF_CLOUDED = 0.5
"""Cloud where neither forecast nor winter knows it (as `drive.clouds` has it)."""
NAMES = {"wind_m_s": "wind", "cloud": "cloud", "ghi_W": "sun", "t_dew_C": "humidity or dew point"}


class Laid(NamedTuple):
    """A few days of a winter with the forecast in them."""

    winter: Winter
    now: int
    """Hour of the present."""
    dawn: int
    """Midnight before it: the hour at which the day begins."""
    notes: tuple[str, ...]
    """What was taken from the winter, in words."""
    tie_K: Array
    """What the air was probably off from the winter's own before the first hour that is given:
    the difference there, fading with the time between; 0 from there on. Shape (hours,)."""
    doubt_K: Array
    """How far each hour's air may be off after that (RMS), shape (hours,)."""


def lay(
    scenario: Scenario, winter: Winter, parts: Sequence[Forecast], at: datetime, name: str
) -> Laid:
    """The days around tonight: the winter's own weather, and ``parts`` in their places, in order.

    Parameters
    ----------
    scenario, winter
        The farm, and a prepared winter of it.
    parts
        The last days (where they are known) and the forecast, which comes last.
    at
        The present, local standard time.
    name
        Name of the result.

    Raises
    ------
    ScenarioError
        Tonight is not in the season.
    """
    midnight = at.replace(hour=0, minute=0, second=0, microsecond=0)
    place = place_in(winter.weather, midnight)
    hours = winter.weather.hours
    if not 0 <= place < hours - DAY_H:
        first, last = winter.weather.start, winter.weather.start + timedelta(hours=hours - 1)
        raise ScenarioError(
            f"--at: {at:%Y-%m-%d} is not in the season ({first:%d %B} to {last:%d %B}), or on its "
            "last day; widen [site] season"
        )
    begin = max(0, place - DAY_H * int(number("warm_up")))
    cut = slice(begin, min(hours, place + DAY_H * AHEAD_D))
    start = midnight - timedelta(hours=place - begin)
    weather, drive, notes, given = _columns(scenario, winter, parts, cut, start, name)
    setpoint = float(drive.setpoint.mean())
    ground = site_ground(scenario, winter.weather)
    day = float(day_of_year(winter.weather)[begin])
    house = winter.house if begin == 0 else warmed(winter.house, ground, day, setpoint)
    need = steady_need(house, drive._asdict())
    drive = drive._replace(need_w=need, need_sum_j=running_sum_j(need))
    days = calendar(scenario.routine, scenario.site.power_cuts, start, weather.hours)
    moisture = Moisture(winter.moisture.vapour, outdoor_vapour(weather))
    made = Winter(weather, house, drive, days, walk_of(house, drive), moisture)
    dawn = place - begin
    own = winter.weather.t_out_C[cut]
    swing_K = np.nanstd(_Usual(winter, cut).same_hour(winter.weather.t_out_C), axis=1)
    tie_K, doubt_K = _before(weather.t_out_C - own, given, swing_K)
    return Laid(made, dawn + at.hour, dawn, notes, tie_K, doubt_K)


def _before(off_K: Array, given: Array, swing_K: Array) -> tuple[Array, Array]:
    """What the hours before those that are given were off, and how far that may be wrong.

    Weather holds on: its departure from the usual is correlated over a time Δ as ρ = exp(−Δ/τ), so
    that of a departure D known later, ρ·D is expected before, with a spread of s·√(1 − ρ²) where s
    is the usual one.
    """
    near = number("error_0h")
    if not given.any():
        return np.zeros(given.size), np.maximum(swing_K, near)
    first = int(np.argmax(given))
    jump_K = float(off_K[first : first + JOINT_H].mean())
    away_h = np.maximum(first - np.arange(given.size), 0)
    keeps = np.exp(-away_h / number("weather_holds"))
    tie_K = np.where(away_h > 0, jump_K * keeps, 0.0)
    return tie_K, np.maximum(swing_K * np.sqrt(1.0 - keeps * keeps), near)


def _columns(
    scenario: Scenario, winter: Winter, parts: Sequence[Forecast], cut: slice, start: datetime,
    name: str,
) -> tuple[Weather, Drive, tuple[str, ...], Array]:  # fmt: skip
    """Weather and drive of the days, with the parts in them; and the hours that they hold."""
    ours: dict[str, Any] = {
        key: np.array(values[cut]) for key, values in winter.weather.columns().items()
    }
    drive = {key: np.array(values[cut]) for key, values in winter.drive._asdict().items()}
    usual = _Usual(winter, cut)
    laid = np.zeros(len(ours["t_out_C"]), dtype=bool)
    notes: list[str] = []
    for part in parts:
        offset = int((part.start - start) / timedelta(hours=1))
        first, last = max(0, offset), min(len(laid), offset + part.hours)
        if last <= first:
            continue
        own = slice(first - offset, last - offset)
        given = {key: values[own] for key, values in part.columns.items()}
        notes += _fill(given, usual, slice(first, last), part.name)
        for key in ("t_out_C", "wind_m_s", "cloud", "t_dew_C", "ghi_W", "pressure_Pa"):
            if key in given:
                ours[key][first:last] = given[key]
        laid[first:last] = True
    weather = replace(winter.weather, name=name, start=start, gaps=(), **ours)
    if laid.any():
        _drive_in(scenario, winter, weather, drive, laid, usual)
    return weather, Drive(**drive), tuple(dict.fromkeys(notes)), laid


class _Usual:
    """What two weeks of the winter around each hour have at that hour of the day."""

    def __init__(self, winter: Winter, cut: slice) -> None:
        self.winter, self.cut = winter, cut
        days = int(number("window"))
        steps = np.arange(-days, days + 1) * DAY_H
        hours = np.arange(cut.start, cut.stop)[:, np.newaxis] + steps
        self.inside = (hours >= 0) & (hours < winter.weather.hours)
        self.hours = np.clip(hours, 0, winter.weather.hours - 1)

    def same_hour(self, values: Array) -> Array:
        """Of each hour: its values in the days around it, NaN outside the winter."""
        return np.where(self.inside, values[self.hours], np.nan)

    def mean(self, values: Array, part: slice) -> float:
        """Mean of all hours around a stretch; NaN where nothing is known."""
        around = self.same_hour(values)[part]
        known = around[~np.isnan(around)]
        return float(known.mean()) if known.size else np.nan


def _fill(given: dict[str, Array], usual: _Usual, part: slice, name: str) -> list[str]:
    """Complete what is given; tells what was taken from the winter."""
    weather = usual.winter.weather
    t_out = given["t_out_C"]
    lacking = []
    if "t_dew_C" not in given:
        if "humidity" in given:
            given["t_dew_C"] = dew_point(t_out, given["humidity"])
        else:
            lacking.append("t_dew_C")
            given["t_dew_C"] = t_out - usual.mean(weather.t_out_C - weather.t_dew_C, part)
    given["t_dew_C"] = np.minimum(given["t_dew_C"], t_out)
    if "wind_m_s" not in given:
        lacking.append("wind_m_s")
        given["wind_m_s"] = np.full(len(t_out), usual.mean(weather.wind_m_s, part))
    around = usual.same_hour(weather.ghi_W)[part]
    if "ghi_W" not in given:
        if "cloud" in given:
            shade = weather_number("cloud_shade") * given["cloud"] ** weather_number("cloud_power")
            given["ghi_W"] = np.nanmax(around, axis=1) * (1.0 - shade)
        else:
            lacking.append("ghi_W")
            given["ghi_W"] = np.nanmean(around, axis=1)
    if "cloud" not in given:
        lacking.append("cloud")
        mean = usual.mean(weather.cloud, part)
        given["cloud"] = np.full(len(t_out), HALF_CLOUDED if np.isnan(mean) else mean)
    if not lacking:
        return []
    words = ", ".join(NAMES[key] for key in lacking)
    return [
        f"{name}: has no {words} (or not for every hour); the usual of {weather.name} at this date "
        "taken"
    ]


def _drive_in(
    scenario: Scenario, winter: Winter, weather: Weather, drive: dict[str, Array], laid: Array,
    usual: _Usual,
) -> None:  # fmt: skip
    """Put what the laid hours do to the greenhouse into the drive."""
    green, site = scenario.greenhouse, scenario.site
    walls = shell(scenario, weather.latitude)
    parts = skins(scenario, walls)
    with np.errstate(invalid="ignore", divide="ignore"):
        horizontal = np.nansum(usual.same_hour(winter.weather.ghi_W), axis=1)
        for key in SUNS:
            absorbed = np.nansum(usual.same_hour(getattr(winter.drive, key)), axis=1)
            share = np.where(horizontal > 0.0, absorbed / horizontal, 0.0)
            drive[key] = np.where(laid, share * weather.ghi_W, drive[key])
    up = np.asarray(winter.weather.ghi_W[usual.cut]) > 0.0
    closed = curtain_closed(green.night_curtain, hour_of_day(weather), up)
    wind = weather.wind_m_s * wind_factor(site.terrain, walls.wind_height_m)
    sky = sky_infrared(_without_infrared(weather), _no_sun(weather.hours))
    outside = Outside(weather.t_out_C, wind, sky, closed)
    dark = np.zeros((len(parts), weather.hours))
    shut = is_closed(green)
    loss, beyond = envelope_loss(green, () if shut else parts, Light(dark, dark, dark), outside)
    changed: dict[str, Any] = {
        "t_out": weather.t_out_C, "loss_w_k": loss, "sky_w": beyond,
        "leak_wind": leak_wind(green, site.terrain, weather.wind_m_s),
    }  # fmt: skip
    for key, values in changed.items():
        drive[key] = np.where(laid, values, drive[key])


def _without_infrared(weather: Weather) -> Weather:
    """The weather with its sky estimated; unknown cloud (hours that are not laid) is of no use."""
    unknown = np.full(weather.hours, np.nan)
    return replace(weather, ir_down_W=unknown, cloud=np.nan_to_num(weather.cloud, nan=HALF_CLOUDED))


def _no_sun(hours: int) -> Sun:
    nothing = np.zeros(hours)
    return Sun(nothing, nothing, nothing, nothing)
