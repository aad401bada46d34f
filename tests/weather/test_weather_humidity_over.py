"""Humidity over 100 % in a weather file is refused where an instrument cannot have read it."""

from __future__ import annotations

from pathlib import Path

import pytest

from greenhouse_sim.errors import WeatherError
from greenhouse_sim.weather import read_weather

HEAD = ["# latitude: 46.9", "# longitude: -96.8", "# elevation: 270", "# utc_offset: -6"]


def file_with(path: Path, unit: str, humidity: float) -> Path:
    columns = f"time,t_air [degC],humidity [{unit}],ghi [W/m2],dni [W/m2],dhi [W/m2]"
    rows = [f"2026-01-05 {h:02d}:00,-5,{humidity if h == 7 else 0.5},0,0,0" for h in range(24)]
    path.write_text("\n".join([*HEAD, columns, *rows]))
    return path


@pytest.mark.parametrize(("unit", "humidity"), [("%", 120.0), ("0-1", 1.2)])
def test_over_a_hundred_percent_is_refused(tmp_path: Path, unit: str, humidity: float) -> None:
    with pytest.raises(WeatherError) as caught:
        read_weather(file_with(tmp_path / "wet.csv", unit, humidity))
    for words in ("wet.csv, row 13", "humidity", "is impossible", "check the column's unit"):
        assert words in str(caught.value)


def test_a_little_over_is_an_instrument(tmp_path: Path) -> None:
    weather = read_weather(file_with(tmp_path / "wet.csv", "%", 103.0))
    assert weather.t_dew_C[7] <= weather.t_out_C[7] + 1e-9
