"""A forecast as a CSV: the air temperature, and whatever else it has, hour by hour.

It is a plain weather file (see the README) that may leave out everything but time and t_air, and
whose rows may stand up to three hours apart. It is read here without the libraries that a whole
winter's record needs (frames, the sun's place), which would take most of a second.
"""

from __future__ import annotations

import csv
from datetime import datetime, timedelta
from pathlib import Path
from typing import TYPE_CHECKING, NamedTuple

import numpy as np

from greenhouse_sim.errors import WeatherError
from greenhouse_sim.weather import Weather, read_weather
from greenhouse_sim.weather import times as stamps_of
from greenhouse_sim.weather.checks import check_order, check_values, when
from greenhouse_sim.weather.columns import SI, find_columns, to_si
from greenhouse_sim.weather.files import read_text
from greenhouse_sim.weather.mapping import mapping_path
from greenhouse_sim.weather.rows import Rows

if TYPE_CHECKING:
    from greenhouse_sim.weather.forecast import Coming
    from greenhouse_sim.weather.forecast_service import ForecastService

Array = np.ndarray
HOUR = timedelta(hours=1)
MOST_APART_H = 3
"""Hours between two rows, or between two values of a column, that are bridged by a line."""
MISSING = ("", "M", "m", "-", "--", "nan", "NaN", "NA")


class Forecast(NamedTuple):
    """What is expected outside, or what has been: contiguous hours, local standard time."""

    name: str
    start: datetime
    issued: datetime
    """When it was made: its remark ``issued``, else its first hour."""
    columns: dict[str, Array]
    """Keys of `Weather`'s arrays (and ``humidity``), SI, shape (hours,); ``t_out_C`` is always
    there."""
    label: str
    """The temperature's heading in the file."""
    source: str = ""
    """Whom to name for it, and its licence; "" for a file of the grower's own."""

    @property
    def hours(self) -> int:
        """Length, h."""
        return len(self.columns["t_out_C"])

    @property
    def stop(self) -> datetime:
        """End of its last hour."""
        return self.start + self.hours * HOUR


def of_service(found: Coming, service: ForecastService) -> Forecast:
    """What a public service answered."""
    return Forecast(
        service.name, found.start, found.issued, found.columns, "air_temperature",
        f"{service.attribution}. Licence: {service.licence}",
    )  # fmt: skip


def read_forecast(path: Path, place: Weather) -> Forecast:
    """Read a forecast, or the weather of the last days.

    Parameters
    ----------
    path
        A plain CSV; any other weather file is read as `read_weather` does.
    place
        A record of the same place, which lends it latitude, longitude, elevation and offset.

    Raises
    ------
    WeatherError
        Anything that cannot be used, with its place and a remedy.
    """
    if path.suffix.lower() != ".csv" or mapping_path(path).is_file():
        return _whole(path, place)
    lines = read_text(path).split("\n")
    head = next((n for n, line in enumerate(lines) if not _aside(line)), None)
    if head is None:
        raise WeatherError(f"{path}: has no header row; write one such as time,t_air [degF]")
    remarks = _remarks(lines[:head])
    headings = next(csv.reader([lines[head]]))
    where = f"{path}, row {head + 1}"
    found = find_columns(headings, where, sun_needed=False)
    kept = [(n + 1, line) for n, line in enumerate(lines) if n > head and not _aside(line)]
    if not kept:
        raise WeatherError(f"{path}: has a header row but no hours; add one row an hour")
    file_row = np.array([n for n, _ in kept], dtype=np.int64)
    cells = [next(csv.reader([line])) for _, line in kept]
    for row, one in zip(file_row, cells, strict=True):
        if len(one) != len(headings):
            raise WeatherError(
                f"{path}, row {row}: has {len(one)} cells where the header row has "
                f"{len(headings)} columns; leave a missing cell empty but keep its comma"
            )
    stamps, _, _ = stamps_of.read_stamps(
        [one[found["time"][0]] for one in cells], file_row, str(path), place.utc_offset_h
    )
    columns, labels = {}, {}
    for name, (position, unit) in found.items():
        if name == "time":
            continue
        key, label = SI[name][0], headings[position].strip()
        texts = [one[position].strip() for one in cells]
        columns[key] = to_si(_numbers(texts, label, file_row, path), name, unit, where)
        labels[key] = label
    rows = Rows(
        str(path), path.stem, path.stem, place.latitude, place.longitude, place.elevation_m,
        place.utc_offset_h, stamps, columns, labels, file_row,
    )  # fmt: skip
    ending = remarks.get("stamps", "").lower().replace(" ", "-") == "hour-ending"
    check_values(rows)
    check_order(rows)
    stamps_of.to_hours(rows, ending)
    start = rows.stamps[0].astype("datetime64[s]").item()
    issued = _issued(remarks.get("issued", ""), path) or start
    return Forecast(path.stem, start, issued, _hourly(rows, labels["t_out_C"]), labels["t_out_C"])


def _whole(path: Path, place: Weather) -> Forecast:
    record = read_weather(
        path, latitude=place.latitude, longitude=place.longitude, elevation_m=place.elevation_m,
        utc_offset_h=place.utc_offset_h,
    )  # fmt: skip
    if record.gaps:
        raise WeatherError(
            f"{path}: has hours without values from {record.times()[record.gaps[0].first]} on; "
            "fill them"
        )
    columns = {k: v for k, v in record.columns().items() if not np.isnan(v).any()}
    return Forecast(record.name, record.start, record.start, columns, "air temperature")


def _aside(line: str) -> bool:
    """Whether a line is empty or a remark."""
    return not line.strip(" \t,") or line.lstrip().startswith("#")


def _remarks(lines: list[str]) -> dict[str, str]:
    pairs = [line.lstrip("# \t").partition(":") for line in lines if ":" in line]
    return {key.strip().lower(): value.strip().strip(",").strip() for key, _, value in pairs}


def _issued(text: str, path: Path) -> datetime | None:
    if not text:
        return None
    try:
        found = datetime.fromisoformat(text)
    except ValueError:
        found = None
    if found is None or found.tzinfo is not None:
        raise WeatherError(
            f"{path}: the remark issued: {text[:40]!r} is not a local date and time; write it as "
            "in # issued: 2027-01-10 16:00"
        )
    return found


def _numbers(texts: list[str], label: str, file_row: Array, path: Path) -> Array:
    values = np.full(len(texts), np.nan)
    for i, text in enumerate(texts):
        if text in MISSING:
            continue
        try:
            values[i] = float(text)
        except ValueError:
            values[i] = np.inf
        if not np.isfinite(values[i]):
            raise WeatherError(
                f'{path}, row {file_row[i]}, column "{label}": {text[:40]!r} is not a number; '
                "write one such as -4.5, or leave the cell empty where it is missing"
            )
    return values


def _hourly(rows: Rows, label: str) -> dict[str, Array]:
    """Every column on every hour; one with gaps is left out, but for the temperature."""
    hour = (rows.stamps - rows.stamps[0]).astype("timedelta64[h]").astype(int)
    every = np.arange(int(hour[-1]) + 1)
    whole = {}
    for key, values in rows.columns.items():
        known = np.flatnonzero(~np.isnan(values))
        edges = np.concatenate([[-1], hour[known], [every[-1] + 1]])
        wide = np.flatnonzero(np.diff(edges) > MOST_APART_H)
        if not len(wide):
            whole[key] = np.interp(every, hour[known], values[known])
        elif key == "t_out_C":
            first = rows.stamps[0] + np.timedelta64(int(edges[wide[0]]) + 1, "h")
            raise WeatherError(
                f'{rows.path}, column "{label}": no value from {when(first)} on for more than '
                f"{MOST_APART_H - 1} hours; write one at least every {MOST_APART_H} hours"
            )
    return whole
