"""Thermal radiation of the sky against published values."""

from __future__ import annotations

import numpy as np
import pytest

from greenhouse_sim.greenhouse.sky import (
    berdahl_martin,
    clark_allen,
    reference_radiation,
    sky_radiation,
    sky_temperature,
    sky_view,
)


def test_clark_allen_worked_example() -> None:
    """A worked value of Clark and Allen 1978 (after Walton 1983): 293 K, dew point 283 K, clear:
    emittance 0.815, 340.6 W/m². (The reference rounds 0 °C to 273 K.)"""
    emittance = clark_allen(np.array([9.85]), np.array([0.0]))
    assert emittance[0] == pytest.approx(0.815, abs=6e-4)
    assert sky_radiation(emittance, np.array([19.85]))[0] == pytest.approx(340.6, abs=0.5)


def test_clark_allen_cloud_factor() -> None:
    """The factor is 1, 1.0595, 1.154 at 0, 5, 10 tenths (by hand from the published polynomial)."""
    clear, half, full = clark_allen(np.full(3, 5.0), np.array([0.0, 0.5, 1.0]))
    assert half / clear == pytest.approx(1.0595, abs=5e-5)
    assert full / clear == pytest.approx(1.154, abs=5e-5)


@pytest.mark.parametrize(
    ("t_out", "t_dew", "berdahl", "clark"),
    [(20, 10, 1.8, 5.4), (0, -5, -24.7, -17.0), (-10, -15, -37.5, -28.7), (-20, -25, -48.8, -40.4)],
)
def test_clear_sky_temperatures(t_out: float, t_dew: float, berdahl: float, clark: float) -> None:
    """Sky temperatures worked out independently from both published formulas.

    Berdahl and Martin without the daily term (hour 6, where it is 0), at 1000 hPa.
    """
    air, dew, clear = np.array([float(t_out)]), np.array([float(t_dew)]), np.zeros(1)
    first = berdahl_martin(dew, np.array([1e5]), np.array([6.0]), clear)
    assert sky_temperature(sky_radiation(first, air))[0] == pytest.approx(berdahl, abs=0.1)
    second = clark_allen(dew, clear)
    assert sky_temperature(sky_radiation(second, air))[0] == pytest.approx(clark, abs=0.1)


def test_overcast_sky_comes_near_the_air() -> None:
    """Cloud weight 0.784: an overcast sky keeps 21.6 % of the clear sky's shortfall."""
    clear, full = berdahl_martin(
        np.zeros(2), np.full(2, 1e5), np.full(2, 6.0), np.array([0.0, 1.0])
    )
    assert (1.0 - full) / (1.0 - clear) == pytest.approx(0.216, abs=1e-9)


def test_reference_sky_is_colder_than_the_air() -> None:
    """ISO 13790 holds a sky 11 K under the air for an intermediate climate (from memory)."""
    assert sky_temperature(reference_radiation(np.array([0.0])))[0] == pytest.approx(-11.0)


def test_view_of_the_sky() -> None:
    """Walton 1983: F = (1 + cos)/2, a share √F of it sky: 1 flat, 0.354 upright, 0 facing down."""
    views = [sky_view(tilt) for tilt in (0.0, 90.0, 180.0)]
    assert views == pytest.approx([1.0, 0.5**1.5, 0.0], abs=1e-12)
