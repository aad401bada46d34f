"""The air through the measured glasshouse's vents, by hand (the record itself does not ship)."""

from __future__ import annotations

import numpy as np
import pandas as pd
import pytest

from outside.glasshouse import Choices, caught, open_share, vent_flow


def hours(**columns: float) -> pd.DataFrame:
    """One hour of the record, shut and calm but for what is given."""
    usual = {"VentLee": 0.0, "Ventwind": 0.0, "EnScr": 0.0, "BlackScr": 0.0, "Windsp": 0.0,
             "Tout": 10.0}  # fmt: skip
    return pd.DataFrame(usual | columns, index=pd.DatetimeIndex(["2018-08-13 23:00"]))


def flow(air_C: float = 20.0, choices: Choices | None = None, **columns: float) -> float:
    """Its air through the vents, m³/s for a m² of floor."""
    return float(vent_flow(hours(**columns), np.array([air_C]), choices or Choices())[0])


def test_shut_vents_and_closed_screens_let_nothing_through() -> None:
    assert flow(Windsp=8.0) == 0.0
    assert flow(VentLee=50.0, Windsp=8.0, BlackScr=100.0) == 0.0


def test_warm_air_leaves_a_vent_in_a_calm() -> None:
    """Half open is 30°: h = sin 22° − sin(−8°) = 0.5138, g·ΔT/T = 9.81·10/293.15 = 0.3346;
    0.6/3·√0.3346·0.5138^1.5 = 0.04261 for a m² of vent, a tenth of that for a m² of floor."""
    assert flow(VentLee=50.0) == pytest.approx(0.004261, rel=1e-3)
    assert flow(air_C=10.0, VentLee=50.0) == 0.0
    assert flow(VentLee=50.0, choices=Choices(stack=False)) == 0.0


def test_wind_and_warmth_add_as_squares() -> None:
    """Lee side at 30° and 4 m/s: 0.0229·(1 − e^(−30/21.1))·4 = 0.06950 in the station's wind."""
    windy = Choices(vents_sheltered=False)
    wind = flow(air_C=10.0, VentLee=50.0, Windsp=4.0, choices=windy)
    assert wind == pytest.approx(0.006950, rel=1e-3)
    assert flow(VentLee=50.0, Windsp=4.0, choices=windy) == pytest.approx(
        np.hypot(0.006950, 0.004261), rel=1e-3
    )


def test_half_closed_screens_let_half_past() -> None:
    both = hours(EnScr=50.0, BlackScr=50.0)
    assert open_share(both)[0] == 0.25
    assert flow(VentLee=50.0, EnScr=50.0) == pytest.approx(0.5 * flow(VentLee=50.0))


def test_leaves_grow_in_five_weeks() -> None:
    """(1 − e^(−0.64·0.3)) / (1 − e^(−0.64·3)) = 0.2048 at planting, then all."""
    days = pd.DataFrame(index=pd.date_range("2018-08-13", periods=50, freq="D"))
    share = caught(days)
    assert share[0] == pytest.approx(0.2048, rel=1e-3)
    assert np.all(np.diff(share[:36]) > 0.0)
    assert share[35:] == pytest.approx(1.0)
