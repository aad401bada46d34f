"""Least squares of a log's air on the simulation, with what is believed beforehand as prior.

Parameters x are logarithms of factors (and two nuisances in kelvin: the logger's constant error
and the soil's temperature at first). What is minimised, with residuals r of the hours' air,

    Σ w·r²/(σ²·τ) + Σ (x/spread)²

by ``scipy.optimize.least_squares``. Weights w are Tukey's biweight of r, so that hours in which
a door stood open do not count; σ is the residual's own robust spread; τ, the hours over which the
residual remembers itself (its integrated autocorrelation), since a hundred hours of one and the
same mistake are not a hundred witnesses. The covariance is (JᵀwJ/(σ²τ) + 1/spread²)⁻¹.

Sources: iterated reweighting, Huber and Ronchetti, *Robust Statistics*, chapter 7 (from memory);
integrated autocorrelation with its initial positive sequence, Geyer 1992, *Statistical Science*
7(4):473 (from memory).
"""

from __future__ import annotations

import functools
from collections.abc import Callable
from typing import NamedTuple

import numpy as np

from greenhouse_sim.greenhouse.warm_up import has_soil
from greenhouse_sim.heater.numbers import SET_AND_LEAVE
from greenhouse_sim.plans import fit_run
from greenhouse_sim.plans.fit_model import Model
from greenhouse_sim.plans.fit_run import AIR, VENT
from greenhouse_sim.plans.logger import fit_number

Array = np.ndarray
FACTORS = ("loss", "leak", "capacity", "soil", "sun", "efficiency")
NUISANCES = ("sensor", "soil_start")
NO_FACTORS = dict.fromkeys(FACTORS, 1.0)
STEP = 0.01
"""Step of the differences, in ln(factor) and K."""
BIWEIGHT = 4.685
"""Tukey's constant: 95 % of the efficiency of plain least squares (from memory)."""
MAD = 1.4826
"""Standard deviation of a normal distribution over its median absolute deviation."""
ROUNDS = 3
FIRST_SIGMA_K = 1.0
MOST_RUNS = 12
DAY_H = 24
WHOLE_DAY_H = 18
"""Hours of a day that must count for its mean to (judgement)."""


class Solved(NamedTuple):
    """Where the least squares ended."""

    names: tuple[str, ...]
    x: Array
    covariance: Array
    simulated_C: Array
    """Shape (hours,), with the logger's error added."""
    weight: Array
    """Shape (hours,): 0 where an hour did not count."""
    sigma_K: float
    remembers_h: float
    """τ."""

    @property
    def factors(self) -> dict[str, float]:
        """Factors by name, 1 for those that were not fitted."""
        return factors_of(self.names, self.x)


def factors_of(names: tuple[str, ...], x: Array) -> dict[str, float]:
    """Factors of a vector."""
    found = {
        name: float(np.exp(value)) for name, value in zip(names, x, strict=True) if name in FACTORS
    }
    return NO_FACTORS | found


def names_of(model: Model) -> tuple[str, ...]:
    """What can be fitted: the efficiency only with loads, the soil only where there is some."""
    missing = set() if model.log.loads else {"efficiency"}
    if not has_soil(model.house):
        missing |= {"soil", "soil_start"}
    return tuple(name for name in (*FACTORS, *NUISANCES) if name not in missing)


def value_of(names: tuple[str, ...], x: Array, name: str) -> float:
    """A nuisance of a vector, K; 0 where it was not fitted."""
    return float(x[names.index(name)]) if name in names else 0.0


class Runs:
    """Simulated air of a vector, with its derivatives by forward differences."""

    def __init__(self, model: Model, names: tuple[str, ...], vent_W: Array) -> None:
        self.model, self.names, self.vent_W = model, names, vent_W

    def trace(self, x: Array) -> Array:
        """The whole trace."""
        soil_start = value_of(self.names, x, "soil_start")
        return fit_run.run(self.model, factors_of(self.names, x), soil_start, self.vent_W)

    def air(self, x: Array) -> Array:
        """What the logger would read."""
        return np.asarray(self.trace(x)[:, AIR] + value_of(self.names, x, "sensor"))

    def slopes(self, x: Array) -> Array:
        """Derivatives of `air`, shape (hours, parameters)."""
        base = self.air(x)
        found = np.zeros((len(base), len(x)))
        for k in range(len(x)):
            stepped = x.copy()
            stepped[k] += STEP
            found[:, k] = (self.air(stepped) - base) / STEP
        return found


def counted(model: Model) -> Array:
    """Hours that can count: read, and not near the vent temperature."""
    air = model.log.indoor_C
    limit = model.house.vent_at - fit_number("near_vent")
    hot = np.nan_to_num(air, nan=-999.0) > limit
    after = np.roll(hot, 1)
    after[0] = False
    return ~np.isnan(air) & ~hot & ~after


def solve(model: Model, rounds: int = ROUNDS) -> Solved:
    """Fit a log; see the module."""
    names = names_of(model)
    spread = np.array([fit_number(name) for name in names])
    use = counted(model)
    weight = use.astype(float)
    x = np.zeros(len(names))
    scale = FIRST_SIGMA_K
    judge = by_day if guesses_hours(model) else by_hour
    vent_W = np.zeros(model.log.hours)
    for turn in range(rounds):
        runs = Runs(model, names, vent_W)
        judged = functools.partial(_scaled, judge, weight, scale)
        x = _least(runs, x, spread, judged, robust=turn == 0)
        trace = runs.trace(x)
        if turn < rounds - 1:
            vent_W = np.ascontiguousarray(trace[:, VENT])
        simulated = trace[:, AIR] + value_of(names, x, "sensor")
        off = np.where(use, np.nan_to_num(model.log.indoor_C) - simulated, 0.0)
        sigma = max(MAD * float(np.median(np.abs(off[use]))), fit_number("least_noise"))
        weight = _biweight(off / (BIWEIGHT * sigma), use)
        left = judge(off[:, np.newaxis], weight)[:, 0]
        seen = left != 0.0
        spread_K = max(MAD * float(np.median(np.abs(left[seen]))), fit_number("least_noise"))
        tau = remembers(left, seen)
        scale = spread_K * float(np.sqrt(tau))
    slopes = judge(Runs(model, names, vent_W).slopes(x), weight) / scale
    covariance = np.linalg.inv(slopes.T @ slopes + np.diag(1.0 / spread**2))
    return Solved(names, x, covariance, simulated, weight, sigma, tau)


def _scaled(
    judge: Callable[[Array, Array], Array], weight: Array, scale: float, values: Array
) -> Array:
    return judge(values, weight) / scale


def _least(
    runs: Runs, x: Array, spread: Array, judged: Callable[[Array], Array], *, robust: bool
) -> Array:
    from scipy.optimize import least_squares

    read = np.nan_to_num(runs.model.log.indoor_C)

    def off(x: Array) -> Array:
        return np.concatenate([judged((runs.air(x) - read)[:, np.newaxis])[:, 0], x / spread])

    def slopes(x: Array) -> Array:
        return np.concatenate([judged(runs.slopes(x)), np.diag(1.0 / spread)])

    found = least_squares(
        off, x, slopes, xtol=1e-4, ftol=1e-6, max_nfev=MOST_RUNS, x_scale=spread,
        loss="soft_l1" if robust else "linear",
    )  # fmt: skip
    return np.asarray(found.x)


def guesses_hours(model: Model) -> bool:
    """Whether the heat of a day is known by its loads, but not that of its hours."""
    return bool(model.fires) and model.heater.law == SET_AND_LEAVE


def by_hour(values: Array, weight: Array) -> Array:
    """Columns as they are, each hour with the root of its weight."""
    return values * np.sqrt(weight)[:, np.newaxis]


def by_day(values: Array, weight: Array) -> Array:
    """Means of columns over the day around each hour; 0 where over a quarter of it is doubted.

    A grower gives more air to the fire when it is cold and less in the sun. Within the day that
    cannot be seen from loads, and would be mistaken for a house that answers little to both.
    """
    day, counts = np.ones(DAY_H), (weight > 0.0).astype(float)
    count = np.convolve(counts, day, mode="same")
    sums = np.stack([np.convolve(c * counts, day, mode="same") for c in values.T], axis=1)
    known = count >= WHOLE_DAY_H
    return np.where(known[:, np.newaxis], sums / np.maximum(count, 1.0)[:, np.newaxis], 0.0)


def _biweight(u: Array, use: Array) -> Array:
    """Tukey's weights; the hours beside one that does not count are doubted with it."""
    inside = np.clip(1.0 - u * u, 0.0, 1.0)
    w = inside * inside
    beside = np.minimum(np.minimum(w, np.roll(w, 1)), np.roll(w, -1))
    return np.where(use, np.where(beside <= 0.0, 0.0, w), 0.0)


def remembers(off: Array, use: Array) -> float:
    """Hours over which a residual remembers itself, at least 1.

    τ = 1 + 2·Σρ(lag), the sum of pairs of lags as long as a pair is positive.
    """
    values = np.where(use, off - off[use].mean(), 0.0)
    size = 1 << (2 * len(values) - 1).bit_length()
    power = np.abs(np.fft.rfft(values, size)) ** 2
    product = np.fft.irfft(power)[: len(values)]
    if product[0] <= 0.0:
        return 1.0
    rho = product / product[0]
    pairs = rho[: len(rho) // 2 * 2].reshape(-1, 2).sum(axis=1)
    stop = int(np.argmax(pairs <= 0.0)) if (pairs <= 0.0).any() else len(pairs)
    return max(1.0, 2.0 * float(pairs[:stop].sum()) - 1.0)
