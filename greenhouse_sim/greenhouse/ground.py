"""The soil under the floor, down to a depth where the year hardly reaches.

Five layers grow 2.7-fold from 5 cm to 4.2 m: the sun's day lives in the upper 13 cm, and of the
year's swing (damping depth 2.3 to 2.5 m, `undisturbed`) a sixth is left at the bottom, where the
ground is taken to be as if no house stood there. Between two layers lies half of each. Against
5 mm layers, what such a floor takes from swinging air differs by 3 % for a day's swing, 4 % for
a week's, 6 % for a month's and 12 % for a year's.
"""

from __future__ import annotations

from typing import Any, NamedTuple

import numpy as np

from greenhouse_sim.greenhouse.chain import Chain
from greenhouse_sim.greenhouse.ground_given import check_given
from greenhouse_sim.greenhouse.part import Shell
from greenhouse_sim.greenhouse.slab import middle_w_k
from greenhouse_sim.greenhouse.table import soil
from greenhouse_sim.greenhouse.undisturbed import (
    DAY_S,
    YEAR_DAYS,
    Array,
    Year,
    damping_depth,
    undisturbed_C,
    yearly_wave,
)

LAYERS = ("layer_1", "layer_2", "layer_3", "layer_4", "layer_5")


class Ground(NamedTuple):
    """The ground around the greenhouse."""

    outdoors: Year
    """The yearly wave of the outdoor air."""
    under: Year
    """The same about the mean of the ground, which a scenario may give."""
    damping_m: float
    """Damping depth of the year in this soil, m."""
    constant: bool
    """Whether the scenario gives the temperature under the layers."""

    def below_C(self, day: Array) -> Array:
        """Temperature under the lowest layer on days of the year, °C."""
        if self.constant:
            return np.full_like(day, self.under.mean_C, dtype=float)
        return undisturbed_C(self.under, bottom_m(), self.damping_m, day)


def site_ground(scenario: Any, weather: Any, known: Year | None = None) -> Ground:
    """The ground of a scenario under this weather; ``site.deep_ground`` holds it constant below.

    ``known`` is the weather's yearly wave where it has been fitted before.
    """
    given, floor = scenario.site.deep_ground, scenario.greenhouse.floor
    year = yearly_wave(weather) if known is None else known
    if given is not None:
        check_given(float(given), year, len(weather.t_out_C), getattr(scenario, "path", None))
    under = year if given is None else year._replace(mean_C=float(given))
    damping = damping_depth(floor.conductivity / floor.heat_capacity, YEAR_DAYS * DAY_S)
    return Ground(year, under, damping, given is not None)


def layers_m() -> Array:
    """Thickness of the layers from the top down, m."""
    return np.array([soil(name) for name in LAYERS])


def middles_m() -> Array:
    """Depth of the middle of each layer, m."""
    thick = layers_m()
    return np.asarray(np.cumsum(thick) - 0.5 * thick)


def bottom_m() -> float:
    """Depth of the lowest layer's lower side, m."""
    return float(layers_m().sum())


def soil_chain(conductivity: float, heat_capacity: float, shell: Shell) -> Chain:
    """The soil under the floor as a chain from the air to the deep ground.

    Parameters
    ----------
    conductivity, heat_capacity
        Of the soil, W/mK and J/m³K.
    shell
        For floor and perimeter. All of the floor stores heat; what passes down to the deep
        ground is the loss of the whole floor less that of its edge (`slab.middle_w_k`), which
        the perimeter factor carries (`edge`), so that no heat is counted twice.
    """
    floor, depth = shell.floor_m2, [soil(name) for name in LAYERS]
    half = [0.5 * d / conductivity for d in depth]
    before = [1.0 / soil("surface_film"), *half[:-1]]
    above = [(a + b) / floor for a, b in zip(before, half, strict=True)]
    straight = 1.0 / (sum(above) + half[-1] / floor)
    down = middle_w_k(floor, shell.perimeter_m, conductivity, straight)
    c = tuple(floor * d * heat_capacity for d in depth)
    end_g = 1.0 / (1.0 / down - sum(above))
    return Chain(c, tuple(1.0 / r for r in above), end_g, 0.0, 1.0, 0.0, 1.0)


def deep_ground_C(weather: Any) -> float:
    """Mean temperature of the undisturbed ground: that of the year's outdoor air, °C."""
    return yearly_wave(weather).mean_C
