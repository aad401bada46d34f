"""Read a plain CSV: remarks on top, a header row with units, a row an hour."""

from __future__ import annotations

import csv
import difflib
import io
from pathlib import Path
from typing import Any, NamedTuple

import numpy as np

from greenhouse_sim.errors import WeatherError
from greenhouse_sim.weather import times
from greenhouse_sim.weather.columns import SI, find_columns, to_si
from greenhouse_sim.weather.estimate_sun import read_sun_from
from greenhouse_sim.weather.rows import Rows, numbers, one_line
from greenhouse_sim.weather.stations import refuse_mixed

Array = np.ndarray
KEYS = (
    "site", "latitude", "longitude", "elevation", "utc_offset", "stamps", "standing", "source",
    "sun", "note",
)  # fmt: skip
EXAMPLES = {"latitude": "46.9", "longitude": "-96.8", "utc_offset": "-6"}
STAMPS = ("hour-starting", "hour-ending")


class Place(NamedTuple):
    """What the caller knows of the place where the file is silent."""

    latitude: float | None = None
    longitude: float | None = None
    elevation_m: float | None = None
    utc_offset_h: float | None = None


def read_plain(text: str, path: Path, place: Place) -> Rows:
    """Rows of a plain CSV.

    Raises
    ------
    WeatherError
        Anything that cannot be understood, with row, column and a remedy.
    """
    lines = text.split("\n")
    remarks, header_row = _remarks(lines, path)
    headings = _headings(lines, header_row, path)
    sun_from = read_sun_from(remarks.get("sun", ""), f"{path}: the remark sun")
    found = find_columns(headings, f"{path}, row {header_row}", sun_needed=not sun_from)
    data, file_row = _table(lines, header_row, len(headings), path)
    refuse_mixed(data, headings, file_row, path)
    notes = remarks.get("note", "").splitlines()
    offset = _number(remarks, "utc_offset", path)
    stamps, offset, remark = times.read_stamps(
        data.iloc[:, found["time"][0]].fillna("").astype(str).tolist(), file_row, str(path),
        place.utc_offset_h if offset is None else offset,
    )  # fmt: skip
    notes += remark
    columns, labels = {}, {}
    for name, (position, unit) in found.items():
        if name == "time":
            continue
        key, label = SI[name][0], headings[position].strip()
        values = numbers(data.iloc[:, position], label, file_row, str(path))
        columns[key] = to_si(values, name, unit, f"{path}, row {header_row}")
        labels[key] = label
    latitude = _where(remarks, "latitude", place.latitude, path, notes)
    longitude = _where(remarks, "longitude", place.longitude, path, notes)
    if offset is None:
        offset = _where(remarks, "utc_offset", None, path, notes, f"{round(longitude / 15.0)}")
    rows = Rows(
        path=str(path),
        name=path.stem,
        site=remarks.get("site", path.stem),
        latitude=latitude,
        longitude=longitude,
        elevation_m=_elevation(remarks, place.elevation_m, path, notes),
        utc_offset_h=offset,
        stamps=stamps,
        columns=columns,
        labels=labels,
        file_row=file_row,
        notes=notes,
        source=remarks.get("source", ""),
        synthetic="synthetic" in remarks.get("standing", "").lower(),
        sun_from=sun_from,
    )
    times.to_hours(rows, _ending(remarks, path))
    return rows


def _remarks(lines: list[str], path: Path) -> tuple[dict[str, str], int]:
    """The ``# key: value`` lines on top, and the number of the header row."""
    remarks: dict[str, str] = {}
    for number, line in enumerate(lines, start=1):
        if not line.strip():
            continue
        if not line.lstrip().startswith("#"):
            return remarks, number
        key, colon, value = line.lstrip("# \t").partition(":")
        key = key.strip().lower()
        if not colon:
            continue
        near = difflib.get_close_matches(key, KEYS, n=1, cutoff=0.85)
        if near and key not in KEYS:
            raise WeatherError(f"{path}, row {number}: {key[:40]!r} is unknown; write {near[0]!r}")
        value = value.strip().strip(",").strip()
        remarks[key] = f"{remarks[key]}\n{value}" if key == "note" and key in remarks else value
    raise WeatherError(
        f"{path}: has remarks but no header row; "
        "write one such as time,t_air [degC],wind [m/s],ghi [W/m2]"
    )


def _headings(lines: list[str], header_row: int, path: Path) -> list[str]:
    line = lines[header_row - 1]
    if "," not in line:
        raise WeatherError(
            f"{path}, row {header_row}: the header row {line[:40]!r} has no commas; separate "
            "columns by commas and write decimals with a point: time,t_air [degC],ghi [W/m2]"
        )
    try:
        return next(csv.reader([line]))
    except csv.Error as problem:
        raise WeatherError(
            f"{path}, row {header_row}: {problem}; restore the header row"
        ) from problem


def _table(lines: list[str], header_row: int, width: int, path: Path) -> tuple[Any, Array]:
    """The rows under the header as a frame, with their row numbers."""
    import pandas as pd

    kept = [n for n in range(header_row, len(lines)) if lines[n].strip(" \t,")]
    if not kept:
        raise WeatherError(f"{path}: has a header row but no hours; add one row an hour")
    body = [lines[n] for n in kept]
    for n, line in zip(kept, body, strict=True):
        if line.count(",") != width - 1 or '"' in line:
            _check_width(line, n + 1, width, path)
    try:
        data = pd.read_csv(
            io.StringIO("\n".join(body)), header=None, names=range(width), index_col=False,
            skip_blank_lines=False, skipinitialspace=True, low_memory=False,
        )  # fmt: skip
    except (ValueError, OverflowError, pd.errors.ParserError) as problem:
        raise WeatherError(f"{path}: cannot be read as CSV ({one_line(problem)})") from problem
    if len(data) != len(kept):
        raise WeatherError(f"{path}: a quotation mark runs over several rows; close or remove it")
    return data, np.array(kept, dtype=np.int64) + 1


def _check_width(line: str, row: int, width: int, path: Path) -> None:
    try:
        cells = len(next(csv.reader([line], strict=True)))
    except (csv.Error, StopIteration):
        cells = 0
    if cells != width:
        raise WeatherError(
            f"{path}, row {row}: has {cells or 'unreadable'} cells where the header row has "
            f"{width} columns; leave a missing cell empty but keep its comma"
        )


def _number(remarks: dict[str, str], key: str, path: Path) -> float | None:
    """A number of the remarks (``270 m`` is read as 270), or None where absent."""
    text = remarks.get(key, "")
    if not text:
        return None
    try:
        value = float(text.removesuffix("m").removesuffix("h").strip())
    except ValueError:
        value = np.nan
    if not np.isfinite(value):
        example = EXAMPLES.get(key, "270")
        raise WeatherError(
            f"{path}: the remark {key}: {text[:30]!r} is not a number; write # {key}: {example}"
        )
    return float(value)


def _where(
    remarks: dict[str, str], key: str, given: float | None, path: Path, notes: list[str],
    example: str | None = None,
) -> float:  # fmt: skip
    """A coordinate: the file's own, else the caller's."""
    own = _number(remarks, key, path)
    if own is not None:
        if given is not None and abs(own - given) > 0.1:
            notes.append(f"{key} {own:g} of the file used, not the {given:g} given")
        return own
    if given is not None:
        return float(given)
    raise WeatherError(
        f"{path}: does not say its {key}; write a line # {key}: {example or EXAMPLES[key]} "
        f"above the header row, or give {key} with the site"
    )


def _elevation(remarks: dict[str, str], given: float | None, path: Path, notes: list[str]) -> float:
    own = _number(remarks, "elevation", path)
    value = given if own is None else own
    if value is None:
        notes.append("elevation not stated: taken as sea level")
        return 0.0
    return float(value)


def _ending(remarks: dict[str, str], path: Path) -> bool:
    stamps = remarks.get("stamps", STAMPS[0]).lower().replace(" ", "-")
    if stamps not in STAMPS:
        raise WeatherError(
            f"{path}: stamps are {stamps[:30]!r}; write # stamps: {STAMPS[0]} (00:00 is 00:00 to "
            f"01:00) or # stamps: {STAMPS[1]} (01:00 is 00:00 to 01:00)"
        )
    return stamps == STAMPS[1]
