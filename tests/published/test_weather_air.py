"""Pressure and dew point against printed tables and real reports."""

from __future__ import annotations

from pathlib import Path

import numpy as np
import pvlib
import pytest

from greenhouse_sim.weather.complete import dew_point, standard_pressure


@pytest.mark.parametrize(
    ("elevation_m", "pressure_Pa"),
    [(0.0, 101325.0), (500.0, 95461.0), (1000.0, 89875.0), (4000.0, 61640.0)],
)
def test_standard_atmosphere(elevation_m: float, pressure_Pa: float) -> None:
    """ASHRAE Handbook of Fundamentals 2017, chapter 1, table 1."""
    assert standard_pressure(elevation_m) == pytest.approx(pressure_Pa, abs=1.0)


@pytest.mark.parametrize(
    ("t_C", "over_Pa", "dew_C", "dew_Pa"),
    [(25.0, 3169.7, 5.0, 872.6), (50.0, 12351.3, 25.0, 3169.7)],
)
def test_dew_point_from_printed_saturation_pressures(
    t_C: float, over_Pa: float, dew_C: float, dew_Pa: float
) -> None:
    """Saturation pressures of ASHRAE Fundamentals 2017, chapter 1, table 3; within 0.1 K."""
    humidity = np.array([dew_Pa / over_Pa])
    assert dew_point(np.array([t_C]), humidity)[0] == pytest.approx(dew_C, abs=0.1)


def test_saturated_air_is_at_its_dew_point() -> None:
    t = np.linspace(-50.0, 40.0, 19)
    assert dew_point(t, np.ones(19)) == pytest.approx(t, abs=1e-9)


@pytest.mark.parametrize("name", ["723170TYA.CSV", "703165TY.csv"])
def test_dew_point_of_a_real_year(name: str) -> None:
    """The reported dew point from the reported humidity, TMY3 years in pvlib's wheel.

    Humidity is rounded to 1 %, temperatures to 0.1 K or 1 °F. Reached: means 0.01 and
    0.21 K low, 95 % of hours within 0.33 and 0.88 K.
    """
    data, _ = pvlib.iotools.read_tmy3(
        Path(pvlib.__file__).parent / "data" / name, map_variables=True
    )
    humid = data["relative_humidity"].to_numpy() > 20
    ours = dew_point(data["temp_air"].to_numpy(), data["relative_humidity"].to_numpy() / 100.0)
    error = (ours - data["temp_dew"].to_numpy())[humid]
    assert abs(error.mean()) < 0.25
    assert np.percentile(np.abs(error), 95) < 1.0
