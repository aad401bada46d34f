"""PSM CSV of the National Solar Radiation Database: made-up files in its documented format."""

from __future__ import annotations

from pathlib import Path

import numpy as np
import pytest

from greenhouse_sim.errors import WeatherError
from greenhouse_sim.weather import read_weather, winters

FIELDS = ("Source,Location ID,City,State,Country,Latitude,Longitude,Time Zone,Elevation,"
          "Local Time Zone,Dew Point Units,DHI Units,DNI Units,GHI Units,Temperature Units,"
          "Pressure Units,Wind Speed Units,Version")  # fmt: skip
HEADS = ("Year,Month,Day,Hour,Minute,DHI,Temperature,Dew Point,DNI,GHI,Pressure,"
         "Relative Humidity,Wind Speed")  # fmt: skip


def psm(
    path: Path, zone: int = -6, step: int = 60, year: int = 2019, typical: bool = False
) -> Path:
    values = f"NSRDB,99,-,-,-,46.9,-96.8,{zone},270,-6,c,w/m2,w/m2,w/m2,c,mbar,m/s,4.0.0"
    first = np.datetime64(f"{year}-01-01T00:00", "m") + np.timedelta64(30 if step == 60 else 0, "m")
    stamps = first + np.arange(365 * 24 * 60 // step) * np.timedelta64(step, "m")
    rows = []
    for n, stamp in enumerate(stamps):
        when = stamp.item()
        told = 2001 + when.month % 4 if typical else when.year
        t = -10.0 + (n * step // 60) % 24
        rows.append(f"{told},{when.month},{when.day},{when.hour},{when.minute},5,{t},"
                    f"{t - 4},0,5,975,70,3.5")  # fmt: skip
    path.write_text("\n".join([FIELDS, values, HEADS, *rows]) + "\n", encoding="utf-8")
    return path


@pytest.mark.parametrize("step", [60, 30])
def test_a_year(tmp_path: Path, step: int) -> None:
    record = read_weather(psm(tmp_path / "psm.csv", step=step))
    assert (record.hours, str(record.times()[0])) == (8760, "2019-01-01T00:00:00")
    assert (record.utc_offset_h, record.elevation_m) == (-6.0, 270.0)
    assert record.t_out_C[:3] == pytest.approx([-10.0, -9.0, -8.0])
    assert record.pressure_Pa[0] == 97500.0
    assert record.t_dew_C[0] == -14.0
    assert "NSRDB" in record.source
    assert winters(record)[0].hours == 5088


def test_universal_time_becomes_standard_time(tmp_path: Path) -> None:
    record = read_weather(psm(tmp_path / "psm.csv", zone=0))
    assert str(record.times()[0]) == "2018-12-31T18:00:00"
    assert any("standard time" in note for note in record.notes)


def test_a_typical_year_and_a_leap_year_without_its_day(tmp_path: Path) -> None:
    leap = psm(tmp_path / "leap.csv", year=2020)
    lines = leap.read_text().split("\n")
    leap.write_text("\n".join(line for line in lines if not line.startswith("2020,2,29,")))
    for path in (psm(tmp_path / "tmy.csv", typical=True), leap):
        record = read_weather(path)
        assert str(record.times()[0]) == "2001-01-01T00:00:00"
        assert record.gaps == ()


def test_broken_files_are_told(tmp_path: Path) -> None:
    path = psm(tmp_path / "psm.csv")
    text = path.read_text()
    lines = text.split("\n")
    for change, words in (
        (text.replace("Temperature,", "Temp,"), "temp_air"),
        (text.replace(",-96.8,", ",west,"), "fetch it anew"),
        ("\n".join(lines[:3]), "no hours"),
        ("\n".join([*lines[:9], "2019,x", *lines[10:]]), "fetch it anew"),
    ):
        path.write_text(change)
        with pytest.raises(WeatherError, match=words):
            read_weather(path)
