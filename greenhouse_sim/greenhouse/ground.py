"""The soil under the floor, down to a depth where the year hardly reaches.

Layers grow threefold from 5 cm: the sun's day lives in the upper 13 cm, the year in the
upper 2.5 m (damping depth √(αP/π)). Between two layers lies half of each.
"""

from __future__ import annotations

from typing import Any

import numpy as np

from greenhouse_sim.greenhouse.chain import Chain
from greenhouse_sim.greenhouse.part import Shell
from greenhouse_sim.greenhouse.table import soil

LAYERS = ("layer_1", "layer_2", "layer_3", "layer_4")
YEAR_DAYS = 365.25


def soil_chain(conductivity: float, heat_capacity: float, shell: Shell) -> Chain:
    """The soil under the floor as a chain from the air to the deep ground.

    Parameters
    ----------
    conductivity, heat_capacity
        Of the soil, W/mK and J/m³K.
    shell
        For floor and perimeter. The strip along the walls stores heat like the rest but
        does not reach the deep ground: its loss is the perimeter factor's (see `edge`).
    """
    floor, depth = shell.floor_m2, [soil(name) for name in LAYERS]
    core = max(floor - soil("edge_band") * shell.perimeter_m, 0.1 * floor)
    half = [0.5 * d / conductivity for d in depth]
    before = [1.0 / soil("surface_film"), *half[:-1]]
    g = tuple(floor / (a + b) for a, b in zip(before, half, strict=True))
    c = tuple(floor * d * heat_capacity for d in depth)
    return Chain(c, g, core / half[-1], 0.0, 1.0, 0.0, 1.0)


def deep_ground_C(weather: Any) -> float:
    """Deep-ground temperature: the yearly mean of the outdoor air, °C.

    A record of 330 days or more is averaged. A winter alone is colder than its year: a mean
    and a yearly cosine, coldest around 20 January (20 July in the south), are fitted to it by
    least squares. Under 90 days the swing cannot be told and a table value stands for it.
    Snow and a heated floor make the real ground 1 or 2 K warmer; that is left out.
    """
    t_out = np.asarray(weather.t_out_C, dtype=float)
    days = len(t_out) / 24.0
    if days >= 330.0:
        return float(t_out.mean())
    season = _season(weather, len(t_out))
    if days < 90.0:
        swing = float(soil("year_swing"))
        return float(np.mean(t_out + swing * season))
    both = np.column_stack([np.ones_like(season), -season])
    return float(np.linalg.lstsq(both, t_out, rcond=None)[0][0])


def _season(weather: Any, hours: int) -> np.ndarray:
    """1 on the coldest day of the year, -1 half a year away."""
    first = weather.start.timetuple()
    day = first.tm_yday + (first.tm_hour + np.arange(hours)) / 24.0
    coldest = float(soil("coldest_day")) + (0.5 * YEAR_DAYS if weather.latitude < 0.0 else 0.0)
    return np.cos(2.0 * np.pi * (day - coldest) / YEAR_DAYS)
