"""Least squares of a log's air on the simulation, with what is believed beforehand as prior.

Parameters x are logarithms of factors (and nuisances: the logger's constant error and the soil's
temperature at first in kelvin, and what more of the heat noted falls on the floor than the tables
say, as a share of it). What is minimised, with residuals r of the hours' air, or of their heat
where a thermostat held the air (`fit_thermostat`), as kelvin of difference to outdoors,

    Σ w·r²/(σ²·τ) + Σ (x/spread)²

by ``scipy.optimize.least_squares``. Weights w are Tukey's biweight of r, so that hours in which
a door stood open do not count; σ is the residual's own robust spread, one for air and one for
heat; τ, the hours over which r/σ remembers itself (its integrated autocorrelation), since a
hundred hours of one and the same mistake are not a hundred witnesses. The covariance is
(JᵀwJ/(σ²τ) + 1/spread²)⁻¹. Loads of a fire that is set and left are compared by the day with what
the house asks for, and r is weighed by errors on both sides (`fit_loads`).

Sources: iterated reweighting, Huber and Ronchetti, *Robust Statistics*, chapter 7 (from memory);
integrated autocorrelation with its initial positive sequence, Geyer 1992, *Statistical Science*
7(4):473 (from memory).
"""

from __future__ import annotations

import functools
from collections.abc import Callable
from typing import NamedTuple

import numpy as np

from greenhouse_sim.greenhouse.numbers import House
from greenhouse_sim.greenhouse.warm_up import has_soil
from greenhouse_sim.plans import fit_run
from greenhouse_sim.plans.fit_loads import (
    DAY_H,
    Errors,
    asking,
    by_day,
    first_errors,
    guesses_hours,
    size_spread,
)
from greenhouse_sim.plans.fit_model import Model
from greenhouse_sim.plans.fit_run import AIR, HEAT, VENT
from greenhouse_sim.plans.fit_thermostat import MAD, hold_of
from greenhouse_sim.plans.logger import fit_number

Array = np.ndarray
FACTORS = ("loss", "leak", "capacity", "soil", "sun", "efficiency")
NUISANCES = ("sensor", "soil_start", "floor_heat")
NO_FACTORS = dict.fromkeys(FACTORS, 1.0)
STEP = 0.01
"""Step of the differences, in ln(factor) and K."""
BIWEIGHT = 4.685
"""Tukey's constant: 95 % of the efficiency of plain least squares (from memory)."""
SIZE_STEP = 0.1
"""Step of the differences, in ln of the size of the weather's errors."""
ROUNDS = 3
FIRST_SIGMA_K = 1.0
MOST_RUNS = 12
FOLLOWS = 0.8
"""Correlation of ranks from which heat follows a thermostat: made-up logs gave 0.97 to 0.99, a
measured glasshouse with its lamps among its heat 0.55 (judgement between them)."""


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
    if not (model.log.loads or heat_noted(model)) or not np.any(model.house.node_heat > 0.0):
        missing.add("floor_heat")
    return tuple(name for name in (*FACTORS, *NUISANCES) if name not in missing)


def heat_noted(model: Model) -> bool:
    """Whether a column of heat says that there was some."""
    heat = model.log.heat_W
    return heat is not None and bool(np.nanmax(heat) > 0.0)


def value_of(names: tuple[str, ...], x: Array, name: str) -> float:
    """A nuisance of a vector; 0 where it was not fitted."""
    return float(x[names.index(name)]) if name in names else 0.0


class Runs:
    """What is compared, of a vector, with its derivatives by forward differences."""

    def __init__(
        self,
        model: Model,
        names: tuple[str, ...],
        vent_W: Array,
        read: Array,
        errors: Errors | None = None,
    ) -> None:
        self.model, self.names, self.vent_W = model, names, vent_W
        self.read, self.errors = np.nan_to_num(read), errors
        self._houses: dict[float, House] = {}
        self._last: tuple[bytes, Array] | None = None

    def trace(self, x: Array) -> Array:
        """The whole trace."""
        soil_start, sensor = (value_of(self.names, x, name) for name in ("soil_start", "sensor"))
        factors = factors_of(self.names, x)
        # one of nine runs changes the soil, and to build a house takes a quarter of a run
        soil = factors["soil"]
        if soil not in self._houses:
            self._houses[soil] = fit_run.with_soil(self.model, soil)
        heater = self.model.heater
        laid = heater.floor_share + value_of(self.names, x, "floor_heat")
        heater = heater._replace(floor_share=min(max(laid, 0.0), 1.0))
        model = self.model._replace(house=self._houses[soil], heater=heater)
        return fit_run.run(model, factors | {"soil": 1.0}, soil_start, self.vent_W, sensor)

    def told(self, x: Array) -> Array:
        """`told` of the simulation; the last is kept, since its slopes are asked for next."""
        key = x.tobytes()
        if self._last is None or self._last[0] != key:
            trace = self.trace(x)
            air_C = trace[:, AIR] + value_of(self.names, x, "sensor")
            # a hold beside loads is in what they gave by the tables: the factor is the house's
            per = factors_of(self.names, x)["efficiency"] if self.model.hold is not None else 1.0
            self._last = (key, told(self.model, air_C, trace[:, HEAT] / per))
        return self._last[1]

    def off(self, x: Array) -> Array:
        """What the record is less than it, by the size of the errors in both."""
        off = self.told(x) - self.read
        return off if self.errors is None else off * self.errors.per(factors_of(self.names, x))

    def slopes(self, x: Array) -> Array:
        """Derivatives of `off`, shape (hours, parameters)."""
        base = self.off(x)
        found = np.zeros((len(base), len(x)))
        for k in range(len(x)):
            stepped = x.copy()
            stepped[k] += STEP
            found[:, k] = (self.off(stepped) - base) / STEP
        return found


def told(model: Model, air_C: Array, heat_W: Array) -> Array:
    """What is compared of air and heat: the air, less what a thermostat's heat would warm it by.

    Both fall with a colder wind than the weather file's, the one by day, the other by night. An
    hour of a thermostat that begins or ends counts with what it has of each.
    """
    hold = model.hold
    if hold is None:
        return air_C
    return np.asarray(air_C - np.where(hold.at_work, heat_W, 0.0) / hold.per_K)


def read_of(model: Model) -> Array:
    """`told` of the record; where a thermostat held the air, that is at its level."""
    hold, log = model.hold, model.log
    if hold is None or log.heat_W is None:
        return log.indoor_C
    return told(model, np.where(hold.inside, hold.setpoint_C, log.indoor_C), log.heat_W)


def counted(model: Model) -> Array:
    """Hours that can count: read, and not near the vent temperature."""
    air = model.log.indoor_C
    clear = np.ones(len(air), bool) if model.hold is None else ~model.hold.unclear
    limit = model.house.vent_at - fit_number("near_vent")
    hot = np.nan_to_num(air, nan=-999.0) > limit
    after = np.roll(hot, 1)
    after[0] = False
    return ~np.isnan(air) & ~hot & ~after & clear


def solve(model: Model, rounds: int = ROUNDS) -> Solved:
    """Fit a log; see the module."""
    by_days = guesses_hours(model)
    open_air = model._replace(hold=None)
    model = asking(model, NO_FACTORS) if by_days else held(model)
    names = names_of(model)
    spread = np.array([fit_number(name) for name in names])
    read = read_of(model)
    use = counted(model) & ~np.isnan(read)
    weight = use.astype(float)
    x = np.zeros(len(names))
    scale = np.full(model.log.hours, FIRST_SIGMA_K)
    judge = by_day if by_days else by_hour
    vent_W = np.zeros(model.log.hours)
    errors = first_errors(model, FIRST_SIGMA_K) if by_days else None
    for turn in range(rounds):
        runs = Runs(model, names, vent_W, read, errors)
        judged = functools.partial(_scaled, judge, weight, scale)
        x = _least(runs, x, spread, judged, robust=turn == 0)
        if turn < rounds - 1:
            vent_W = np.ascontiguousarray(runs.trace(x)[:, VENT])
        off = np.where(use, -runs.off(x), 0.0)
        if by_days:
            day = judge(off[:, np.newaxis], use.astype(float))[:, 0]
            bound = BIWEIGHT * spreads(model, day, use & (day != 0.0))
            weight = _biweight(day / bound, use)
        else:
            weight = _biweight(off / (BIWEIGHT * spreads(model, off, use)), use)
        left = judge(off[:, np.newaxis], weight)[:, 0]
        seen = left != 0.0
        own = spreads(model, left, seen)
        tau = remembers(left / own, seen)
        scale = own * np.sqrt(tau)
        if errors is not None:
            errors = errors.after(factors_of(names, x), float(own[seen][0]), tau)
    judged = functools.partial(_scaled, judge, weight, scale)
    slopes = judged(runs.slopes(x))
    covariance = np.linalg.inv(slopes.T @ slopes + np.diag(1.0 / spread**2))
    if runs.errors is not None:
        moves = _moves(runs, x, runs.errors, judged, covariance)
        covariance = covariance + np.outer(moves, moves)
    compared = left[seen] if by_days else off[use]
    sigma = max(MAD * float(np.median(np.abs(compared))), fit_number("least_noise"))
    simulated = Runs(open_air, names, vent_W, read).told(x)
    return Solved(names, x, covariance, simulated, weight, sigma, tau)


def _moves(
    runs: Runs, x: Array, errors: Errors, judged: Callable[[Array], Array], covariance: Array
) -> Array:
    """How far x goes by a spread of what is believed of the weather's errors (`fit_loads`)."""
    pulls = []
    for by in (-SIZE_STEP, SIZE_STEP):
        other = Runs(runs.model, runs.names, runs.vent_W, runs.read, errors.sized(by))
        off, slopes = judged(other.off(x)[:, np.newaxis])[:, 0], judged(other.slopes(x))
        pulls.append(slopes.T @ off)
    change = (pulls[1] - pulls[0]) / (2.0 * SIZE_STEP)
    return np.asarray(-covariance @ change * size_spread())


def held(model: Model) -> Model:
    """The model with the thermostat that its log tells of.

    A level of air may be held by something else: by vents, by lamps on a clock. A thermostat is
    only believed where the heat noted rises and falls as the tables' house asks its own for it.
    """
    own, heat = at_levels(model), model.log.heat_W
    if own.hold is None or heat is None:
        return own
    asked = by_tables(own)[:, HEAT]
    use = own.hold.inside & counted(own) & ~np.isnan(heat)
    alike = use.sum() >= DAY_H and ranks_alike(asked[use], heat[use]) >= FOLLOWS
    return own if alike else own._replace(hold=None)


def at_levels(model: Model) -> Model:
    """The model with a thermostat wherever heated air stays at a level."""
    heat = model.log.heat_W
    if heat is None or model.fires:
        return model._replace(hold=None)
    return model._replace(hold=hold_of(model.log.indoor_C, heat, model.house, model.drive))


def by_tables(model: Model) -> Array:
    """The trace of the tables' values."""
    return fit_run.run(model, NO_FACTORS, 0.0, np.zeros(model.log.hours))


def ranks_alike(one: Array, other: Array) -> float:
    """Spearman's correlation of ranks: an open door or another scale does not change it."""
    places = [np.argsort(np.argsort(values)).astype(float) for values in (one, other)]
    return float(np.corrcoef(places)[0, 1])


def spreads(model: Model, off: Array, seen: Array) -> Array:
    """Robust spread of a residual for each hour, K: one of air, one of a thermostat's heat."""
    found = np.ones(len(off))
    by_heat = np.zeros(len(off), bool) if model.hold is None else model.hold.inside
    for own in (by_heat, ~by_heat):
        if (own & seen).any():
            spread_K = MAD * float(np.median(np.abs(off[own & seen])))
            found[own] = max(spread_K, fit_number("least_noise"))
    return found


def _scaled(
    judge: Callable[[Array, Array], Array], weight: Array, scale: Array, values: Array
) -> Array:
    return judge(values, weight) / scale[:, np.newaxis]


def _least(
    runs: Runs,
    x: Array,
    spread: Array,
    judged: Callable[[Array], Array],
    *,
    robust: bool,
) -> Array:
    from scipy.optimize import least_squares

    def off(x: Array) -> Array:
        return np.concatenate([judged(runs.off(x)[:, np.newaxis])[:, 0], x / spread])

    def slopes(x: Array) -> Array:
        return np.concatenate([judged(runs.slopes(x)), np.diag(1.0 / spread)])

    found = least_squares(
        off, x, slopes, xtol=1e-4, ftol=1e-6, max_nfev=MOST_RUNS, x_scale=spread,
        loss="soft_l1" if robust else "linear",
    )  # fmt: skip
    return np.asarray(found.x)


def by_hour(values: Array, weight: Array) -> Array:
    """Columns as they are, each hour with the root of its weight."""
    return values * np.sqrt(weight)[:, np.newaxis]


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
