"""Read EPW, the weather format of building simulation, through pvlib."""

from __future__ import annotations

import io
import warnings
from pathlib import Path
from typing import Any

import numpy as np

from greenhouse_sim.errors import WeatherError
from greenhouse_sim.weather.rows import Rows, numbers, one_line, one_year
from greenhouse_sim.weather.weather import YEARS

Array = np.ndarray
HEADER_LINES = 8
FIELDS = 35
TYPICAL_YEAR = 2001
"""Year given to typical years: not a leap year, begins on a Monday."""

COLUMNS = {
    "t_out_C": ("temp_air", 1.0, 99.9),
    "t_dew_C": ("temp_dew", 1.0, 99.9),
    "humidity": ("relative_humidity", 0.01, 999.0),
    "pressure_Pa": ("atmospheric_pressure", 1.0, 999999.0),
    "wind_m_s": ("wind_speed", 1.0, 999.0),
    "ghi_W": ("ghi", 1.0, 9999.0),
    "dni_W": ("dni", 1.0, 9999.0),
    "dhi_W": ("dhi", 1.0, 9999.0),
    "cloud": ("total_sky_cover", 0.1, 99.0),
    "ir_down_W": ("ghi_infrared", 1.0, 9999.0),
    "snow_m": ("snow_depth", 0.01, 999.0),
}
"""Our key: pvlib's column, factor to SI, missing code (from memory: EPW data dictionary)."""


def read_epw(text: str, path: Path) -> Rows:
    """Rows of an EPW file; hour 1 of the file is 00:00 to 01:00.

    Sun is the mean of that hour. Temperature, wind and cloud are often readings at
    its end; they are taken as its mean, which may make them half an hour late.

    Raises
    ------
    WeatherError
        A broken header or row, with its row number and what to write.
    """
    from pvlib import iotools

    lines = text.split("\n")
    _check_header(lines, path)
    file_row = np.array(
        [n for n, line in enumerate(lines, start=1) if n > HEADER_LINES and line.strip()]
    )
    if not len(file_row):
        raise WeatherError(f"{path}: has a header but no hours; an EPW file has 8760 rows of them")
    for row in file_row:
        _check_date(lines[row - 1], int(row), path)
    try:
        with warnings.catch_warnings(action="ignore"):  # mixed types are found below, by row
            data, meta = iotools.read_epw(io.StringIO(text))
    except Exception as problem:  # pvlib and pandas raise many kinds on broken text
        raise WeatherError(
            f"{path}: is not a readable EPW file ({one_line(problem)}); fetch it anew"
        ) from problem
    if len(data) != len(file_row):
        raise WeatherError(
            f"{path}: {len(file_row)} rows of hours but {len(data)} could be read; "
            "look for stray quotation marks"
        )
    notes: list[str] = []
    stamps = data.index.tz_localize(None).to_numpy().astype("datetime64[s]")
    if is_typical(stamps):
        stamps = one_year(stamps, TYPICAL_YEAR)
        notes.append(f"typical year: all hours stamped as {TYPICAL_YEAR}")
    comments = " ".join(lines[5:7])
    columns, labels = _columns(data, file_row, path)
    return Rows(
        path=str(path),
        name=path.stem,
        site=str(meta["city"]).strip(),
        latitude=meta["latitude"],
        longitude=meta["longitude"],
        elevation_m=meta["altitude"],
        utc_offset_h=meta["TZ"],
        stamps=stamps,
        columns=columns,
        labels=labels,
        file_row=file_row,
        notes=notes,
        source=str(meta["data_type"]).strip(),
        synthetic="synthetic" in comments.lower(),
    )


def _columns(data: Any, file_row: Array, path: Path) -> tuple[dict[str, Array], dict[str, str]]:
    columns, labels = {}, {}
    for key, (label, factor, code) in COLUMNS.items():
        values = numbers(data[label].to_numpy(), label, file_row, str(path))
        if key == "ir_down_W":
            values = np.where(values <= 0.0, np.nan, values)
        columns[key] = np.where(values >= code, np.nan, values) * factor
        labels[key] = label
    return columns, labels


def _check_header(lines: list[str], path: Path) -> None:
    if not lines[0].upper().startswith("LOCATION,"):
        raise WeatherError(
            f"{path}, row 1: an EPW file begins with LOCATION,...; this one begins with "
            f"{lines[0][:30]!r}. Give a plain file of columns the ending .csv"
        )
    if len(lines) < HEADER_LINES or not lines[HEADER_LINES - 1].upper().startswith("DATA PERIODS"):
        raise WeatherError(
            f"{path}: row {HEADER_LINES} of an EPW file begins with DATA PERIODS; "
            "restore the eight header lines"
        )
    parts = lines[0].split(",")
    names = ("latitude", "longitude", "time zone", "elevation")
    if len(parts) < 10:
        raise WeatherError(
            f"{path}, row 1: has {len(parts)} fields of 10; write "
            "LOCATION,city,state,country,data,number,latitude,longitude,time zone,elevation"
        )
    for name, text in zip(names, parts[6:10], strict=True):
        try:
            finite = bool(np.isfinite(float(text)))
        except ValueError:
            finite = False
        if not finite:
            raise WeatherError(
                f"{path}, row 1: {name} {text[:30]!r} is not a number; write degrees,"
                " hours and metres as numbers"
            )


def _check_date(line: str, row: int, path: Path) -> None:
    if line.count(",") >= FIELDS:
        raise WeatherError(
            f"{path}, row {row}: has {line.count(',') + 1} fields, an EPW row has {FIELDS}; "
            "restore the row"
        )
    fields = line.split(",", 7)
    try:
        year, month, day, hour = (int(text) for text in fields[:4])
        if len(fields) < 8 or not 1 <= hour <= 24 or not YEARS[0] <= year <= YEARS[1]:
            raise ValueError
        np.datetime64(f"{year:04d}-{month:02d}-{day:02d}")
    except ValueError as problem:
        raise WeatherError(
            f"{path}, row {row}: {line[:40]!r} does not begin with year,month,day,hour "
            "(a real date, hour 1 to 24) and its values; restore the row"
        ) from problem


def is_typical(stamps: Array) -> bool:
    """True where months come from several years, or a leap year has no 29 February."""
    steps = np.diff(stamps)
    years = stamps.astype("datetime64[Y]")
    jump = np.abs(steps) > np.timedelta64(24, "h")
    if (years[0] != years).any() and jump.any():
        return not _has_leap_day(stamps)
    if len(steps) == 0 or _has_leap_day(stamps):
        return False
    leap_gap = steps == np.timedelta64(25, "h")
    after = stamps[1:].astype("datetime64[D]") - stamps[1:].astype("datetime64[Y]")
    return bool((leap_gap & (after == np.timedelta64(60, "D"))).any())


def _has_leap_day(stamps: Array) -> bool:
    days = stamps.astype("datetime64[D]")
    month = days.astype("datetime64[M]")
    return bool((((days - month).astype(int) == 28) & (month.astype(int) % 12 == 1)).any())
