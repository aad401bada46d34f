"""What a house asked for, day by day, against the loads that were noted.

A fire is tended by need: the grower loads for the cold that comes and opens the air when the house
is cold. The air is then near its setpoint whatever the weather, and tells little; the loads tell
all, but they are noted by the armful. A simulation that is fed with them takes each misjudged
armful for heat, the more so the more it believes in heat, and comes to believe in a house that
answers little to it: efficiency and loss too low, soil too high. So, as under a thermostat
(`fit_thermostat`), heat is compared with heat: the simulated house asks for what keeps the air as
it was measured, R, and the loads gave N by the tables. With a factor e on the efficiency, and over
a day since nobody notes how the air was set between loads,

    R(factors) − e·N = e·(error of what was noted) + U·(error of the weather file's air)

with U what house and leaks lose for each kelvin, l times the tables' U₀. Both sides carry errors,
so neither N on R nor R on N may be regressed: the first makes the efficiency too high where the
fire asks nobody, the second too low where it is tended. What is minimised is the square of the
left side over its variance, e²·a² + l²·b², which changes with the factors as well (a: of heat
noted; b: of the weather; both as kelvin of difference to outdoors). For errors of known ratio
these are total least squares, which are consistent. The ratio: b is believed (row ``site_air`` of
``fit.csv``), a is what is left of the residual's own spread. How far b is off is carried into the
covariance: where f(x, s) is least, dx/ds = −(∂²f/∂x²)⁻¹·∂²f/∂x∂s, with s = ln b.

Losses, sun, soil, capacity and efficiency can all be higher together: only what is believed
beforehand says at what level they lie.

Sources: errors in both variables, Fuller, *Measurement Error Models*, chapter 1 (from memory); heat
that answers the weather, see `fit_thermostat`.
"""

from __future__ import annotations

from collections.abc import Mapping
from typing import NamedTuple

import numpy as np

from greenhouse_sim.heater.heater import heater_numbers
from greenhouse_sim.heater.numbers import SET_AND_LEAVE
from greenhouse_sim.plans import fit_run
from greenhouse_sim.plans.fit_model import Model, bridged
from greenhouse_sim.plans.fit_thermostat import MAD, Hold, median, near, per_kelvin
from greenhouse_sim.plans.logger import fit_number
from greenhouse_sim.tables.read import read_keyed

Array = np.ndarray
DAY_H = 24
WHOLE_DAY_H = 18
"""Hours of a day that must count for its mean to (judgement)."""
AIR_REMEMBERS_H = 12.0
"""Hours over which a weather file's air stays as far off (judgement: a night, a day)."""
LEAST_SHARE = 0.1
"""Of the residual's variance that is the notes' at least (judgement)."""
BESIDE_H = 2
"""Hours on each side over whose median a reading is compared."""
JUMP = 5.0
"""Robust spreads from that median from which a reading is a jump (judgement)."""
LEAST_JUMP_K = 1.5
"""A sunny hour bends the air by less (judgement)."""
UNDER_VENT_K = 0.5
"""Air near the vents does not count; kept so far under them it asks for no endless heat."""
DRAWN_K = 200.0
"""What is drawn from the air all the while, as kelvin of difference to outdoors: more than ever is
to be lost within an hour, so that the house may ask for less than no heat."""


class Errors(NamedTuple):
    """Errors of a day's mean, K of difference to outdoors by the tables."""

    noted_K: float
    """a."""
    weather_K: float
    """b."""
    shell: float
    """Share of the shell in what is lost through shell and leaks by the tables."""

    def weather_now(self, factors: Mapping[str, float]) -> float:
        """l·b/e: the weather's error in what is compared, N − R/e."""
        loses = self.shell * factors["loss"] + (1.0 - self.shell) * factors["leak"]
        return self.weather_K * loses / factors["efficiency"]

    def per(self, factors: Mapping[str, float]) -> float:
        """The spread of N − R/e where all factors are 1, over that with these factors."""
        both = float(np.hypot(self.noted_K, self.weather_K))
        return both / float(np.hypot(self.noted_K, self.weather_now(factors)))

    def after(self, factors: Mapping[str, float], spread_K: float, remembers_h: float) -> Errors:
        """With a by the residual's spread, remembered so long: as days that know nothing of each
        other would have it."""
        variance = (spread_K / self.per(factors)) ** 2 * remembers_h / DAY_H
        left = max(variance - self.weather_now(factors) ** 2, LEAST_SHARE * variance)
        return self._replace(noted_K=float(np.sqrt(left)))

    def sized(self, by: float) -> Errors:
        """The same in sum, with ln b larger by this."""
        weather_K = self.weather_K * float(np.exp(by))
        left = self.noted_K**2 + self.weather_K**2 - weather_K**2
        least = LEAST_SHARE * self.noted_K**2
        return self._replace(weather_K=weather_K, noted_K=float(np.sqrt(max(left, least))))


def first_errors(model: Model, spread_K: float) -> Errors:
    """Before anything is known of the notes but the residual's first spread.

    A day's mean of an error that is remembered over τ counts, in the mean of many days, as one of
    its own with 2τ/24 h of the variance.
    """
    weather_K = fit_number("site_air") * float(np.sqrt(2.0 * AIR_REMEMBERS_H / DAY_H))
    shell = float(np.mean(model.drive.loss_w_k)) / _mean_per_K(model, bridged(model.log.indoor_C))
    return Errors(spread_K, weather_K, shell)


def size_spread() -> float:
    """Spread of ln b: the row's high end over its value."""
    row = read_keyed("fit")["site_air"]
    return float(np.log(float(row.high) / row.number))


def guesses_hours(model: Model) -> bool:
    """Whether the heat of a day is known by its loads, but not that of its hours."""
    return bool(model.fires) and model.heater.law == SET_AND_LEAVE


def asking(model: Model, no_factors: Mapping[str, float]) -> Model:
    """The model whose house asks for the heat that keeps the air as it was measured.

    What the loads gave by the tables stands in its log as heat noted: a fire that is set and left
    asks nobody, so it is the same for all factors but the efficiency, which multiplies it.
    """
    noted_W = fit_run.run(model, no_factors, 0.0, np.zeros(model.log.hours))[:, fit_run.HEAT]
    air_C = np.where(jumps(model.log.indoor_C), np.nan, model.log.indoor_C)
    setpoint_C = np.minimum(bridged(air_C), model.house.vent_at - UNDER_VENT_K)
    per_K = np.full(model.log.hours, _mean_per_K(model, setpoint_C))
    always = np.ones(model.log.hours, bool)
    hold = Hold(setpoint_C, always, ~always, per_K, DRAWN_K * per_K)
    heater = heater_numbers("ideal")._replace(floor_share=model.heater.floor_share)
    log = model.log._replace(heat_W=noted_W, indoor_C=air_C)
    return model._replace(fires=(), heater=heater, log=log, hold=hold)


def jumps(air_C: Array) -> Array:
    """Readings far off those beside them: a hand on the sensor, an open door."""
    off = np.abs(air_C - median(near(air_C, BESIDE_H)))
    return np.nan_to_num(off) > max(JUMP * MAD * float(np.nanmedian(off)), LEAST_JUMP_K)


def by_day(values: Array, weight: Array) -> Array:
    """Means of columns over the day around each hour; 0 where over a quarter of it is doubted.

    A grower gives more air to the fire when it is cold and less in the sun. Within the day that
    cannot be seen from loads.
    """
    day, counts = np.ones(DAY_H), (weight > 0.0).astype(float)
    count = np.convolve(counts, day, mode="same")
    sums = np.stack([np.convolve(c * counts, day, mode="same") for c in values.T], axis=1)
    known = count >= WHOLE_DAY_H
    return np.where(known[:, np.newaxis], sums / np.maximum(count, 1.0)[:, np.newaxis], 0.0)


def _mean_per_K(model: Model, air_C: Array) -> float:
    """What a kelvin more of difference to outdoors takes by the tables, in the mean, W."""
    gap = np.abs(air_C - model.drive.t_out)
    return float(np.mean(per_kelvin(model.house, model.drive, gap)))
