"""The record itself: frozen, checked, of one length."""

from __future__ import annotations

from dataclasses import FrozenInstanceError, replace
from datetime import datetime
from typing import Any

import numpy as np
import pytest

from greenhouse_sim.errors import WeatherError
from greenhouse_sim.weather import Weather


def record(hours: int = 48, **changes: Any) -> Weather:
    """Steady weather, changed where asked."""
    steady = {
        "t_out_C": -5.0, "t_dew_C": -8.0, "pressure_Pa": 98000.0, "wind_m_s": 3.0, "ghi_W": 0.0,
        "dni_W": 0.0, "dhi_W": 0.0, "cloud": np.nan, "ir_down_W": np.nan, "snow_m": np.nan,
    }  # fmt: skip
    values: dict[str, Any] = {key: np.full(hours, value) for key, value in steady.items()}
    place = {"utc_offset_h": -6.0, "latitude": 47.0, "longitude": -97.0, "elevation_m": 300.0}
    values |= {"name": "test", "site": "Rowan Hollow", "start": datetime(2025, 10, 1)} | place
    return Weather(**(values | changes))


def test_hours_and_times() -> None:
    weather = record(30)
    assert weather.hours == 30
    assert weather.times().dtype == np.dtype("datetime64[s]")
    assert str(weather.times()[0]) == "2025-10-01T00:00:00"
    assert str(weather.times()[-1]) == "2025-10-02T05:00:00"


def test_arrays_are_float64_contiguous_and_read_only() -> None:
    mine = np.arange(96)[::2] / 10.0
    weather = record(48, wind_m_s=mine)
    for values in weather.columns().values():
        assert values.dtype == np.float64
        assert values.flags.c_contiguous
        assert not values.flags.writeable
    with pytest.raises(ValueError, match="read-only"):
        weather.t_out_C[0] = 0.0
    with pytest.raises(FrozenInstanceError):
        weather.name = "other"  # type: ignore[misc]


def test_the_callers_array_stays_writeable() -> None:
    mine = np.full(48, -5.0)
    weather = record(48, t_out_C=mine)
    mine[0] = 40.0
    assert weather.t_out_C[0] == -5.0


@pytest.mark.parametrize(
    ("changes", "words"),
    [
        ({"t_out_C": np.zeros(47)}, "t_out_C has 47 hours"),
        ({"ghi_W": np.zeros((48, 1))}, "one value an hour"),
        ({"t_out_C": np.full(48, np.nan)}, "t_out_C is nan"),
        ({"t_out_C": np.full(48, 300.0)}, "between -95 and 60"),
        ({"wind_m_s": np.full(48, -1.0)}, "wind"),
        ({"cloud": np.full(48, 8.0)}, "cloud"),
        ({"dni_W": np.full(48, np.inf)}, "dni_W"),
        ({"latitude": 91.0}, "latitude 91"),
        ({"longitude": float("nan")}, "longitude"),
        ({"utc_offset_h": 15.0}, "offset"),
        ({"start": datetime(2025, 10, 1, 0, 30)}, "full hour"),
        ({"start": datetime(25, 10, 1)}, "not a year"),
    ],
)
def test_refuses(changes: dict[str, Any], words: str) -> None:
    with pytest.raises(WeatherError, match=words):
        record(48, **changes)


def test_empty_is_refused() -> None:
    with pytest.raises(WeatherError):
        record(0)


def test_a_changed_copy_is_checked_too() -> None:
    with pytest.raises(WeatherError, match="latitude"):
        replace(record(), latitude=-95.0)
