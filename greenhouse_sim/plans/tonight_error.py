"""How far a forecast is off: an ensemble of perturbed forecasts.

The error of an hour's temperature is normal with a spread that grows with lead time (table
``tonight``), and correlated from hour to hour as exp(−Δ/τ). Members come in pairs of opposite
error, and are scaled so that their spread in each hour is the stated one whatever their number.
The wind is off by one factor all night.
"""

from __future__ import annotations

import math
from typing import NamedTuple

import numpy as np

from greenhouse_sim.tables.read import read_keyed

Array = np.ndarray
SEED = 20270110
"""The same members for every forecast, so that two forecasts differ by themselves alone."""
LEADS_H = (0, 24, 48, 72)


class Member(NamedTuple):
    """One way in which the weather may differ from the forecast."""

    shift_K: Array
    """Added to the air temperature, shape (hours,)."""
    wind: float
    """Factor on the wind."""


def number(key: str) -> float:
    """A number of the table of tonight, in its unit."""
    return read_keyed("tonight")[key].number


def spread_K(lead_h: Array) -> Array:
    """Spread (RMS) of the error at lead times, K."""
    known = [number(f"error_{lead}h") for lead in LEADS_H]
    return np.asarray(np.interp(lead_h, LEADS_H, known))


def band_of(values: Array, low: float, high: float) -> Array:
    """Two quantiles along the first axis, linear between order statistics; shape (2, ...).

    As `numpy.quantile` has them to the bit, without its load of masked arrays (a tenth of what
    tonight takes).
    """
    ordered = np.sort(values, axis=0)
    ends = []
    for share in (low, high):
        place = share * (len(ordered) - 1)
        below = min(int(place), len(ordered) - 2) if len(ordered) > 1 else 0
        above = min(below + 1, len(ordered) - 1)
        part, gap = place - below, ordered[above] - ordered[below]
        ends.append(
            ordered[above] - gap * (1.0 - part) if part >= 0.5 else ordered[below] + gap * part
        )
    return np.array(ends)


def as_forecast(hours: int) -> Member:
    """The forecast itself."""
    return Member(np.zeros(hours), 1.0)


def careful(lead_h: Array) -> Member:
    """The cold side that one night in ten passes, in every hour alike."""
    return Member(-number("careful") * spread_K(lead_h), 1.0)


def members(lead_h: Array) -> list[Member]:
    """The perturbed forecasts.

    Parameters
    ----------
    lead_h
        Hours since the forecast was issued, shape (hours,).
    """
    pairs = max(1, round(number("members") / 2.0))
    draw = np.random.default_rng(SEED)
    keep = math.exp(-1.0 / number("error_holds"))
    noise = draw.standard_normal((pairs, len(lead_h)))
    waves = np.empty_like(noise)
    waves[:, 0] = noise[:, 0]
    for h in range(1, len(lead_h)):
        waves[:, h] = keep * waves[:, h - 1] + math.sqrt(1.0 - keep * keep) * noise[:, h]
    waves /= np.sqrt(np.mean(waves * waves, axis=0))
    gusts = draw.standard_normal(pairs)
    gusts *= number("wind_error") / math.sqrt(float(np.mean(gusts * gusts)))
    spread = spread_K(lead_h)
    return [
        Member(sign * spread * wave, math.exp(sign * gust))
        for wave, gust in zip(waves, gusts, strict=True)
        for sign in (1.0, -1.0)
    ]
