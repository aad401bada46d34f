"""Write made winters as plain CSV files that the program reads."""

from __future__ import annotations

import itertools
import re
from collections.abc import Iterator
from pathlib import Path

import numpy as np

from greenhouse_sim.files import written_whole
from greenhouse_sim.weather.weather import Weather

HEADER = (
    "time,t_air [degC],t_dew [degC],wind [m/s],ghi [W/m2],dni [W/m2],dhi [W/m2],cloud [0-1],"
    "pressure [Pa]"
)
FORMATS = (
    ("t_out_C", "%.2f"),
    ("t_dew_C", "%.2f"),
    ("wind_m_s", "%.2f"),
    ("ghi_W", "%.0f"),
    ("dni_W", "%.0f"),
    ("dhi_W", "%.0f"),
    ("cloud", "%.2f"),
    ("pressure_Pa", "%.0f"),
)


def write_winters(record: Weather, folder: Path) -> Iterator[Path]:
    """Write a file for each year of a made record, midsummer to midsummer, one after another.

    Yields
    ------
    Path
        Each file once it is whole.
    """
    stem = re.sub(r"[^a-z0-9]+", "_", record.site.lower()).strip("_") or "winter"
    stamps = record.times()
    edges = _edges(stamps)
    for a, b in itertools.pairwise(edges):
        year = int(str(stamps[a])[:4])
        last = int(str(stamps[b - 1])[:4])
        span = f"{year}" if last == year else f"{year}-{last % 100:02d}"
        path = folder / f"{stem}_{span}.csv"
        with written_whole(path) as part:
            part.write_text(_text(record, stamps, slice(a, b)), encoding="utf-8", newline="\n")
        yield path


def _edges(stamps: np.ndarray) -> list[int]:
    """Positions of the first hours of the years, and the end."""
    first = stamps[0].astype("datetime64[D]")
    month_day = str(first)[4:]
    years = np.arange(int(str(first)[:4]), int(str(stamps[-1])[:4]) + 2)
    starts = np.array([f"{year}{month_day}" for year in years], dtype="datetime64[s]")
    at = ((starts - stamps[0]) / np.timedelta64(3600, "s")).astype(int)
    return [int(a) for a in at if a < len(stamps)] + [len(stamps)]


def _text(record: Weather, stamps: np.ndarray, part: slice) -> str:
    remarks = [
        f"# site: {record.site}",
        "# standing: synthetic, made from monthly normals, not measured",
        f"# latitude: {record.latitude}",
        f"# longitude: {record.longitude}",
        f"# elevation: {record.elevation_m:.0f}",
        f"# utc_offset: {record.utc_offset_h:g}",
        "# stamps: hour-starting",
        f"# source: {record.source}",
    ]
    times = [text.replace("T", " ") for text in np.datetime_as_string(stamps[part], "m").tolist()]
    row = ",".join(["%s", *(form for _, form in FORMATS)])
    columns = [(getattr(record, key)[part] + 0.0).tolist() for key, _ in FORMATS]
    body = [row % cells for cells in zip(times, *columns, strict=True)]
    return "\n".join([*remarks, HEADER, *body]) + "\n"
