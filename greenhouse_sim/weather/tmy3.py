"""Read TMY3, typical years of the United States, through pvlib."""

from __future__ import annotations

import io
import warnings
from pathlib import Path

import numpy as np

from greenhouse_sim.errors import WeatherError
from greenhouse_sim.weather.epw import TYPICAL_YEAR
from greenhouse_sim.weather.rows import Rows, numbers, one_line, one_year

COLUMNS = {
    "t_out_C": ("temp_air", 1.0),
    "t_dew_C": ("temp_dew", 1.0),
    "humidity": ("relative_humidity", 0.01),
    "pressure_Pa": ("pressure", 100.0),
    "wind_m_s": ("wind_speed", 1.0),
    "ghi_W": ("ghi", 1.0),
    "dni_W": ("dni", 1.0),
    "dhi_W": ("dhi", 1.0),
    "cloud": ("TotCld (tenths)", 0.1),
}
"""Our key: pvlib's column, factor to SI."""

MISSING_BELOW = -900.0
"""TMY3 writes -9900 where a value is missing (Wilcox and Marion 2008, NREL/TP-581-43156)."""


def read_tmy3(text: str, path: Path) -> Rows:
    """Rows of a TMY3 file; its stamps are hour-ending, 01:00 is 00:00 to 01:00.

    Raises
    ------
    WeatherError
        A broken header or row.
    """
    from pvlib import iotools

    text = text.rstrip("\n") + "\n"
    file_row = np.array(
        [n for n, line in enumerate(text.split("\n"), start=1) if n > 2 and line.strip()]
    )
    if not len(file_row):
        raise WeatherError(f"{path}: has a header but no hours; a TMY3 file has 8760 rows of them")
    try:
        with warnings.catch_warnings(action="ignore"):  # mixed types are found below, by row
            data, meta = iotools.read_tmy3(io.StringIO(text), map_variables=True)
        stamps = data.index.tz_localize(None).to_numpy().astype("datetime64[s]")
        place = [float(meta[key]) for key in ("latitude", "longitude", "altitude", "TZ")]
    except Exception as problem:  # pvlib and pandas raise many kinds on broken text
        raise WeatherError(
            f"{path}: is not a readable TMY3 file ({one_line(problem)}); fetch it anew"
        ) from problem
    lost = [label for label, _ in COLUMNS.values() if label not in data.columns]
    if lost or len(data) != len(file_row) or np.isnat(stamps).any() or not np.isfinite(place).all():
        raise WeatherError(
            f"{path}: is not a whole TMY3 file"
            + (f" (no column for {', '.join(lost)})" if lost else "")
            + "; fetch it anew"
        )
    # The year first, the hour after: pvlib moves midnight of 28 February in a
    # leap year to 1 March, and an hour before that is 28 February only elsewhere.
    ending = one_year(stamps, TYPICAL_YEAR)
    columns = {}
    for key, (label, factor) in COLUMNS.items():
        values = numbers(data[label].to_numpy(), label, file_row, str(path))
        columns[key] = np.where(values <= MISSING_BELOW, np.nan, values) * factor
    return Rows(
        path=str(path),
        name=path.stem,
        site=str(meta["Name"]).strip().strip('"'),
        latitude=place[0],
        longitude=place[1],
        elevation_m=place[2],
        utc_offset_h=place[3],
        stamps=one_year(ending - np.timedelta64(3600, "s"), TYPICAL_YEAR),
        columns=columns,
        labels={key: label for key, (label, _) in COLUMNS.items()},
        file_row=file_row,
        notes=[f"typical year: all hours stamped as {TYPICAL_YEAR}"],
        source="TMY3",
    )
