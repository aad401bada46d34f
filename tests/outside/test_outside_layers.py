"""What the boxes are made of, against the sums that Standard 140-2020 prints beside its layers.

Sections 5.2.1 and 5.2.2, read in a public copy of its text.
"""

from __future__ import annotations

import pytest

from greenhouse_sim.greenhouse.window import even_light
from outside.boxes import FLOOR, PANES, ROOF, WALL, WALLS, WINDOW_M2, Layers, panes_follow


def resistance(built: Layers) -> float:
    """m²K/W, surface to surface."""
    return sum(one.resistance for one in built)


@pytest.mark.parametrize(
    ("surface_to_surface", "inside", "outside", "printed", "digit"),
    [
        (resistance(WALL["600"]), 1.8, 21.6, 0.418, 0.0005),
        (resistance(WALL["900"]), 1.8, 21.6, 0.417, 0.0005),
        (resistance(ROOF), 1.7, 21.8, 0.276, 0.0005),
        (resistance(FLOOR["600"]), 3.7, 5.2, 0.039, 0.0005),
        (resistance(FLOOR["900"]), 3.7, 5.2, 0.039, 0.0005),
        (PANES, 4.5, 17.8, 2.10, 0.005),
    ],
)
def test_layers_between_the_combined_films(
    surface_to_surface: float, inside: float, outside: float, printed: float, digit: float
) -> None:
    """The printed U-values, with the films that hold radiation too (tables 5-7 and 5-9)."""
    u_value = 1.0 / (1.0 / inside + surface_to_surface + 1.0 / outside)
    assert u_value == pytest.approx(printed, abs=digit)


@pytest.mark.parametrize(
    ("built", "area", "printed_kJ"),
    [
        (WALL["900"], 63.6, 8959.0),
        (FLOOR["900"], 48.0, 5376.0),
        (ROOF, 48.0, 437.0),
    ],
)
def test_capacity_of_board_and_insulation(built: Layers, area: float, printed_kJ: float) -> None:
    """The "internal heat capacity" of case 900, kJ/K: all but the board outside."""
    inner = area * sum(one.capacity for one in built[:2])
    assert inner / 1e3 == pytest.approx(printed_kJ, abs=0.6)


def test_areas() -> None:
    """63.6 m² of wall beside 12 m² of window."""
    assert sum(area for _, area in WALLS) == pytest.approx(63.6)
    assert pytest.approx(12.0) == WINDOW_M2


def test_panes_are_felt_by_less_than_the_inner_one() -> None:
    """Two panes of 3.048 mm, 2470 kg/m³ and 750 J/kgK: 5.65 kJ/m²K each. The inner one follows the
    air by two thirds, the outer by a fifth, and what is stored counts as the square."""
    assert panes_follow() == pytest.approx(5646.0 * (0.667**2 + 0.2**2), rel=0.05)


@pytest.mark.parametrize(
    ("panes", "normal", "printed", "off"), [(1, 0.864, 0.787, 0.002), (2, 0.769, 0.670, 0.002)]
)
def test_gain_of_light_from_a_hemisphere(
    panes: int, normal: float, printed: float, off: float
) -> None:
    """Hemispherical solar heat gain, printed under the angles of cases 670 and 600."""
    assert even_light(panes) * normal == pytest.approx(printed, abs=off)
