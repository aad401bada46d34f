"""How the heat gain of a window of building glass falls as the sun comes from aslant.

Window glass absorbs a tenth of the sun in each pane (clear glass of 3 mm: 0.09), so that more is
lost aslant than by reflection alone, which is what the sheets of a greenhouse follow
(`greenhouse_sim.drive.glazing`). Part of what the panes take up comes in as heat: the table is of
the whole gain, as a window's solar heat gain coefficient (g) is.

Light that comes evenly from all of a hemisphere meets the share

    2·∫ g(θ)·cos θ·sin θ dθ,  θ from 0 to 90 degrees.
"""

from __future__ import annotations

import functools

import numpy as np

from greenhouse_sim.greenhouse.numbers import Array
from greenhouse_sim.tables.read import read_rows

STEPS = 1800


def by_angle(cosine: Array, panes: int) -> Array:
    """Heat gain at an angle of incidence as a share of that at normal incidence.

    Parameters
    ----------
    cosine
        Cosine of the angle of incidence, any shape; 0 or less gives 0.
    panes
        Panes in a row; more than two count as two.
    """
    angle = np.degrees(np.arccos(np.clip(cosine, 0.0, 1.0)))
    return np.asarray(np.interp(angle, *_curve(min(panes, 2))))


@functools.cache
def even_light(panes: int) -> float:
    """Heat gain of light that comes evenly from a hemisphere, over that at normal incidence."""
    edges = np.linspace(0.0, np.pi / 2.0, STEPS + 1)
    middle = 0.5 * (edges[1:] + edges[:-1])
    # each ring of sky weighs 2 cos θ sin θ dθ, exactly the difference of sin² over it
    ring = np.diff(np.sin(edges) ** 2)
    return float(ring @ by_angle(np.cos(middle), panes))


@functools.cache
def _curve(panes: int) -> tuple[Array, Array]:
    """Angles in degrees and the share at each."""
    rows = read_rows("window_angles")
    column = "two" if panes >= 2 else "one"
    return (
        np.array([float(row["angle"]) for row in rows]),
        np.array([float(row[column]) for row in rows]),
    )
