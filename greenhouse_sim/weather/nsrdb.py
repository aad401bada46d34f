"""Read PSM CSV of the National Solar Radiation Database of the United States, through pvlib."""

from __future__ import annotations

import io
import warnings
from pathlib import Path

import numpy as np

from greenhouse_sim.errors import WeatherError
from greenhouse_sim.weather import times
from greenhouse_sim.weather.epw import TYPICAL_YEAR, is_typical
from greenhouse_sim.weather.rows import Rows, numbers, one_line, one_year

HEADER_LINES = 3
COLUMNS = {
    "t_out_C": ("temp_air", 1.0),
    "t_dew_C": ("temp_dew", 1.0),
    "humidity": ("relative_humidity", 0.01),
    "pressure_Pa": ("pressure", 100.0),
    "wind_m_s": ("wind_speed", 1.0),
    "ghi_W": ("ghi", 1.0),
    "dni_W": ("dni", 1.0),
    "dhi_W": ("dhi", 1.0),
}
"""Our key: pvlib's column, factor to SI (pressure in mbar, as the file's header says)."""
NEEDED = ("t_out_C", "ghi_W")


def is_nsrdb(first_line: str) -> bool:
    """Whether a file begins as these do."""
    return first_line.lstrip('"').startswith("Source") and "Location ID" in first_line


def read_nsrdb(text: str, path: Path) -> Rows:
    """Rows of a PSM CSV; stamps at half past are the middle of their hour.

    Raises
    ------
    WeatherError
        A broken header or row.
    """
    from pvlib import iotools

    lines = text.split("\n")
    file_row = np.array(
        [n for n, line in enumerate(lines, start=1) if n > HEADER_LINES and line.strip(" ,")]
    )
    if not len(file_row):
        raise WeatherError(f"{path}: has a header but no hours; fetch it anew")
    body = "\n".join([*lines[:HEADER_LINES], *(lines[row - 1] for row in file_row)]) + "\n"
    try:
        with warnings.catch_warnings(action="ignore"):  # mixed types are found below, by row
            data, meta = iotools.read_nsrdb_psm4(io.StringIO(body), map_variables=True)
        stamps = data.index.tz_localize(None).to_numpy().astype("datetime64[s]")
        place = [float(meta[key]) for key in ("latitude", "longitude", "altitude")]
        zone, local = float(meta["Time Zone"]), float(meta["Local Time Zone"])
    except Exception as problem:  # pvlib and pandas raise many kinds on broken text
        raise WeatherError(
            f"{path}: is not a readable NSRDB PSM file ({one_line(problem)}); fetch it anew"
        ) from problem
    found = {key: pair for key, pair in COLUMNS.items() if pair[0] in data.columns}
    lost = [COLUMNS[key][0] for key in NEEDED if key not in found]
    if lost or len(data) != len(file_row) or np.isnat(stamps).any():
        raise WeatherError(
            f"{path}: is not a whole NSRDB PSM file"
            + (f" (no column for {', '.join(lost)})" if lost else "")
            + "; fetch it anew, with air temperature and GHI"
        )
    notes = []
    if is_typical(stamps):
        stamps = one_year(stamps, TYPICAL_YEAR)
        notes.append(f"typical year, or no 29 February: all hours stamped as {TYPICAL_YEAR}")
    if zone != local:
        stamps = stamps + np.timedelta64(round((local - zone) * 3600), "s")
        notes.append(f"stamps moved to local standard time, {local:+g} h from universal time")
    columns = {
        key: numbers(data[label].to_numpy(), label, file_row, str(path)) * factor
        for key, (label, factor) in found.items()
    }
    rows = Rows(
        path=str(path),
        name=path.stem,
        site=str(meta.get("City", "")).strip().strip("-") or path.stem,
        latitude=place[0],
        longitude=place[1],
        elevation_m=place[2],
        utc_offset_h=local,
        stamps=stamps,
        columns=columns,
        labels={key: label for key, (label, _) in found.items()},
        file_row=file_row,
        notes=notes,
        source=f"NSRDB {meta.get('Version', '')}".strip(),
    )
    times.to_hours(rows, ending=False)
    return rows
