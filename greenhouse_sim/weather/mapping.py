"""The mapping file: which column of somebody's CSV is what, in which unit, by which clock.

A TOML file beside the CSV: ``station.csv`` is read with ``station.map.toml``.
"""

from __future__ import annotations

import difflib
import json
import math
import tomllib
from collections.abc import Mapping as AnyMapping
from dataclasses import dataclass, field
from pathlib import Path
from typing import Any, NamedTuple

from greenhouse_sim.errors import WeatherError
from greenhouse_sim.weather.columns import SI
from greenhouse_sim.weather.estimate_sun import read_sun_from

ENDING = ".map.toml"
DAILY = {"t_min": "t_air", "t_max": "t_air"}
"""Quantities of daily files, and the one whose units they share."""
QUANTITIES = (*SI, *DAILY)
STANDARD, UNIVERSAL = "standard time", "UTC"
STAMPS = ("hour-starting", "hour-ending")
ISO = "ISO"
SECTIONS = {
    "place": ("site", "latitude", "longitude", "elevation", "utc_offset"),
    "table": ("separator", "decimal", "header_row", "missing"),
    "time": ("columns", "format", "clock", "stamps"),
    "station": ("column", "is"),
    "columns": QUANTITIES,
    "sun": ("from",),
}


class Column(NamedTuple):
    """A column of the file and its unit."""

    column: str
    unit: str


@dataclass(frozen=True)
class Mapping:
    """How to read a CSV that is not ours."""

    columns: AnyMapping[str, Column]
    """Quantity to column."""
    time_columns: tuple[str, ...]
    """Columns that make the stamp, joined by blanks."""
    time_format: str = ISO
    """As `datetime.strptime` has it, or ISO."""
    clock: str = STANDARD
    """``standard time``, ``UTC``, or the name of a time zone whose daylight saving it follows."""
    stamps: str = STAMPS[0]
    site: str = ""
    latitude: float | None = None
    longitude: float | None = None
    elevation_m: float | None = None
    utc_offset_h: float | None = None
    separator: str = ","
    decimal: str = "."
    header_row: int = 1
    missing: tuple[str, ...] = field(default=())
    station: tuple[str, str] | None = None
    """Column and the text that its rows must have."""
    sun_from: str = ""


def mapping_path(path: Path) -> Path:
    """Where the mapping of a CSV lies."""
    return path.with_name(path.stem + ENDING)


def mapping_text(found: Mapping, file: str) -> str:
    """The mapping as TOML, with a few words for who edits it."""

    def line(key: str, value: Any) -> list[str]:
        return [] if value in (None, "", ()) else [f"{key} = {_toml(value)}"]

    place = [
        ("site", found.site), ("latitude", found.latitude), ("longitude", found.longitude),
        ("elevation", found.elevation_m), ("utc_offset", found.utc_offset_h),
    ]  # fmt: skip
    table = [
        ("separator", found.separator), ("decimal", found.decimal),
        ("header_row", found.header_row), ("missing", found.missing),
    ]  # fmt: skip
    time = [
        ("columns", found.time_columns), ("format", found.time_format), ("clock", found.clock),
        ("stamps", found.stamps),
    ]  # fmt: skip
    lines = [f"# How to read {file}. Written by greenhouse-sim weather map; change it as needed."]
    lines += ["", "[place]  # degrees north and east, metres; hours of standard time from UTC"]
    lines += [one for key, value in place for one in line(key, value)]
    lines += ["", "[table]"] + [one for key, value in table for one in line(key, value)]
    lines += ["", f'[time]  # clock: "{STANDARD}", "{UTC_WORDS}'
              '"America/Detroit" (with daylight saving)']  # fmt: skip
    lines += [one for key, value in time for one in line(key, value)]
    if found.station:
        lines += ["", "[station]  # keep the rows of one station"]
        lines += line("column", found.station[0]) + line("is", found.station[1])
    lines += ["", "[columns]"]
    for key, (column, unit) in found.columns.items():
        lines.append(f"{key} = {{ column = {_toml(column)}, unit = {_toml(unit)} }}")
    if found.sun_from:
        lines += ["", '[sun]  # not in the file: from "temperature range" or "cloud"']
        lines += line("from", found.sun_from)
    return "\n".join(lines) + "\n"


UTC_WORDS = f'{UNIVERSAL}" or '


def _toml(value: Any) -> str:
    if isinstance(value, tuple):
        return "[" + ", ".join(_toml(one) for one in value) + "]"
    return json.dumps(value, ensure_ascii=False) if isinstance(value, str) else f"{value:g}"


def read_mapping(text: str, path: Path) -> Mapping:
    """A mapping out of its TOML text.

    Raises
    ------
    WeatherError
        Broken TOML, an unknown or missing key, a value of the wrong kind: with what to write.
    """
    try:
        data = tomllib.loads(text)
    except tomllib.TOMLDecodeError as problem:
        raise WeatherError(f"{path}: is not valid TOML ({problem}); correct that line") from problem
    for section, given in data.items():
        _known(section, SECTIONS, f"{path}: section")
        if not isinstance(given, dict):
            raise WeatherError(f"{path}: {section} is a section; write [{section}] above its keys")
        for key in given:
            _known(key, SECTIONS[section], f"{path}: [{section}] key")
    place, table, time = (data.get(name, {}) for name in ("place", "table", "time"))
    columns = {key: _column(key, value, path) for key, value in data.get("columns", {}).items()}
    if not {"t_air", "t_min"} & set(columns):
        raise WeatherError(
            f"{path}: [columns] has no temperature; write "
            't_air = { column = "Temperature", unit = "degF" } (or t_min and t_max of each day)'
        )
    made = Mapping(
        columns=columns,
        time_columns=_time_columns(time.get("columns"), path),
        time_format=_text(time, "time", "format", ISO, path),
        clock=_text(time, "time", "clock", STANDARD, path),
        stamps=_one_of(_text(time, "time", "stamps", STAMPS[0], path), STAMPS, path),
        site=_text(place, "place", "site", "", path),
        latitude=_number(place, "latitude", path),
        longitude=_number(place, "longitude", path),
        elevation_m=_number(place, "elevation", path),
        utc_offset_h=_number(place, "utc_offset", path),
        separator=_text(table, "table", "separator", ",", path),
        decimal=_text(table, "table", "decimal", ".", path),
        header_row=_header_row(table.get("header_row", 1), path),
        missing=_texts(table.get("missing", []), "[table] missing", path),
        station=_station(data.get("station"), path),
        sun_from=read_sun_from(
            _text(data.get("sun", {}), "sun", "from", "", path), f"{path}: [sun] from"
        ),
    )
    if len(made.separator) != 1 or made.decimal not in (".", ","):
        raise WeatherError(
            f'{path}: [table] needs a separator of one character and a decimal "." or ","'
        )
    return made


def _known(key: str, allowed: Any, where: str) -> None:
    if key not in allowed:
        near = difflib.get_close_matches(key, list(allowed), n=1, cutoff=0.5)
        hint = f"write {near[0]!r}" if near else f"known are {', '.join(allowed)}"
        raise WeatherError(f"{where} {key[:40]!r} is unknown; {hint}")


def _column(key: str, value: Any, path: Path) -> Column:
    good = isinstance(value, dict) and set(value) == {"column", "unit"}
    if not good or not all(isinstance(one, str) and one for one in value.values()):
        raise WeatherError(
            f'{path}: [columns] {key}: write {key} = {{ column = "its heading", unit = "'
            f'{SI[DAILY.get(key, key)][2]}" }}'
        )
    return Column(value["column"], value["unit"])


def _text(given: dict[str, Any], section: str, key: str, default: str, path: Path) -> str:
    value = given.get(key, default)
    if not isinstance(value, str):
        raise WeatherError(f'{path}: [{section}] {key}: write a text, such as "{default or "x"}"')
    return value


def _number(place: dict[str, Any], key: str, path: Path) -> float | None:
    value = place.get(key)
    if value is None:
        return None
    if isinstance(value, bool) or not isinstance(value, int | float) or not math.isfinite(value):
        raise WeatherError(f"{path}: [place] {key}: write a number without quotes, such as 46.9")
    return float(value)


def _header_row(value: Any, path: Path) -> int:
    if isinstance(value, bool) or not isinstance(value, int) or value < 1:
        raise WeatherError(f"{path}: [table] header_row: write the row's number, such as 1")
    return value


def _texts(value: Any, key: str, path: Path) -> tuple[str, ...]:
    if not isinstance(value, list) or not all(isinstance(one, str) for one in value):
        raise WeatherError(f'{path}: {key}: write a list of texts, such as ["M", "-9999"]')
    return tuple(value)


def _time_columns(value: Any, path: Path) -> tuple[str, ...]:
    if isinstance(value, str):
        value = [value]
    names = _texts(value or [], "[time] columns", path)
    if not names:
        raise WeatherError(f'{path}: [time] has no columns; write columns = ["Date", "Time"]')
    return names


def _one_of(value: str, allowed: tuple[str, ...], path: Path) -> str:
    if value not in allowed:
        raise WeatherError(
            f"{path}: [time] stamps: {value[:40]!r} is unknown; write {' or '.join(allowed)}"
        )
    return value


def _station(given: Any, path: Path) -> tuple[str, str] | None:
    if given is None:
        return None
    if set(given) != {"column", "is"} or not all(isinstance(v, str) for v in given.values()):
        raise WeatherError(f'{path}: [station]: write column = "its heading" and is = "the name"')
    return given["column"], given["is"]
