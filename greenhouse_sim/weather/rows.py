"""A weather file as read: its rows in SI, before anything is checked or filled."""

from __future__ import annotations

from dataclasses import dataclass, field

import numpy as np

from greenhouse_sim.errors import WeatherError
from greenhouse_sim.weather.weather import Gap

Array = np.ndarray


@dataclass
class Rows:
    """What a reader found. Columns are SI, nan where missing, shape (rows,)."""

    path: str
    name: str
    site: str
    latitude: float
    longitude: float
    elevation_m: float
    utc_offset_h: float
    stamps: Array
    """Beginning of each row's hour, local standard time, datetime64[s]."""
    columns: dict[str, Array]
    """Keys of `Weather`'s arrays, and perhaps ``humidity`` (0..1)."""
    labels: dict[str, str]
    """The column's name in the file, for messages."""
    file_row: Array
    """Row number as an editor shows it, int64."""
    notes: list[str] = field(default_factory=list)
    source: str = ""
    synthetic: bool = False
    gaps: list[Gap] = field(default_factory=list)
    """Found while filling, see `greenhouse_sim.weather.checks.fill`."""
    sun_from: str = ""
    """Where the file has no sun: "temperature range" or "cloud" to estimate it from that."""


def one_line(problem: Exception) -> str:
    """The first words of another library's complaint."""
    return " ".join(str(problem).split())[:100]


def one_year(stamps: Array, year: int) -> Array:
    """The same month, day and hour in another year (29 February must not occur)."""
    month_start = stamps.astype("datetime64[M]")
    month = (month_start - stamps.astype("datetime64[Y]").astype("datetime64[M]")).astype(int)
    first = np.datetime64(f"{year:04d}-01", "M")
    return (first + month).astype("datetime64[s]") + (stamps - month_start.astype("datetime64[s]"))


def numbers(values: object, label: str, file_row: Array, path: str) -> Array:
    """A pandas column as floats, nan where a cell is empty.

    Raises
    ------
    WeatherError
        A cell that is no finite number, with its row and column.
    """
    import pandas as pd

    series = pd.Series(values)
    if series.dtype.kind in "fiu":
        array = series.to_numpy(dtype=np.float64)
        bad = np.isinf(array)
    else:
        text = series.astype("string").str.strip()
        text = text.where(~text.isin(["", "M", "m", "-", "--", "nan", "NaN", "NA"]))
        array = pd.to_numeric(text, errors="coerce").to_numpy(dtype=np.float64, na_value=np.nan)
        bad = (np.isnan(array) & text.notna().to_numpy()) | np.isinf(array)
    if bad.any():
        at = int(np.argmax(bad))
        raise WeatherError(
            f'{path}, row {file_row[at]}, column "{label}": {str(series.iloc[at])[:40]!r} is not '
            "a number; write one such as -4.5, or leave the cell empty where it is missing"
        )
    return array
