"""Guess the mapping of somebody's CSV from its headings and values."""

from __future__ import annotations

import csv
import re
import unicodedata
from collections.abc import Sequence
from pathlib import Path
from typing import Any, NamedTuple

import numpy as np

from greenhouse_sim.errors import WeatherError
from greenhouse_sim.tables.read import read_rows
from greenhouse_sim.weather import guess_time
from greenhouse_sim.weather.cells import read_cells
from greenhouse_sim.weather.columns import SI
from greenhouse_sim.weather.guess_unit import of_one_kind, unit_of
from greenhouse_sim.weather.mapped import EMPTY
from greenhouse_sim.weather.mapping import DAILY, Column, Mapping
from greenhouse_sim.weather.stations import is_station_heading

SEPARATORS = (",", ";", "\t", "|")
LOOKED_AT = 60
"""Lines looked at for separator and headings."""
FILLERS = (-9999.0, -999.0, -999.9, -99.0, -99.9, 9999.0, 9999.9, 99999.0)
"""What files write where a value is missing (common practice, no source)."""
LEFT_ALONE = "-"


class Guess(NamedTuple):
    """A mapping as guessed, and what is doubtful in it."""

    mapping: Mapping
    doubts: tuple[str, ...]


def words_of(heading: str) -> str:
    """A heading in lower case, its words apart: "HourlyDryBulb_Temp" is "hourly dry bulb temp"."""
    plain = unicodedata.normalize("NFKD", re.sub(r"(?<=[a-z])(?=[A-Z])", " ", heading))
    plain = "".join(sign for sign in plain if not unicodedata.combining(sign))
    return " ".join(re.sub(r"[^a-z0-9%]+", " ", plain.lower()).split())


def quantity_of(heading: str) -> tuple[str, str]:
    """Quantity that a heading names, and its usual unit; both empty where none is known."""
    words = words_of(re.sub(r"[\[(].*?[\])]", " ", heading)) or words_of(heading)
    for row in read_rows("weather_names"):
        if re.search(row["pattern"], words):
            return ("", "") if row["quantity"] == LEFT_ALONE else (row["quantity"], row["unit"])
    return "", ""


def guess(text: str, path: Path, latitude: float | None = None) -> Guess:
    """The likely mapping of a CSV.

    Parameters
    ----------
    text
        The whole file.
    path
        Its path, for the site's name and for messages.
    latitude
        Degrees, where known: it tells Celsius from Fahrenheit where the heading does not.

    Raises
    ------
    WeatherError
        No header row, no time or no temperature is found.
    """
    separator, header_row, headings = _layout(text, path)
    data = read_cells(text, path, separator, header_row).data
    decimal = _decimal(data, separator)
    doubts: list[str] = []
    station = _station(data, headings, doubts)
    if station is not None:
        column = data[headings.index(station[0])].astype(str).str.strip()
        data = data[column == station[1].strip()].reset_index(drop=True)
    time = guess_time.guess_time(data, headings, words_of, path)
    doubts += time.doubts
    columns, missing = _columns(data, headings, time, decimal, latitude, doubts)
    if not {"t_air", "t_min"} & set(columns):
        raise WeatherError(
            f"{path}, row {header_row}: no column of temperature among {', '.join(headings[:8])}; "
            "name one of them Temperature, or write the mapping by hand (see the README)"
        )
    sun = {"ghi", "dni", "dhi"} & set(columns)
    if not sun:
        doubts.append("no column of sun: it will be estimated from the day's temperature range")
    mapping = Mapping(
        columns=columns, time_columns=time.columns, time_format=time.form, clock=time.clock,
        separator=separator, decimal=decimal, header_row=header_row, missing=missing,
        station=station, sun_from="" if sun else "temperature range",
    )  # fmt: skip
    return Guess(mapping, tuple(doubts))


def _layout(text: str, path: Path) -> tuple[str, int, list[str]]:
    """Separator, number of the header row, its headings: the first row of words above numbers."""
    lines = text.split("\n", LOOKED_AT)[:LOOKED_AT]
    best: tuple[int, str, int, list[str]] | None = None
    for separator in SEPARATORS:
        rows = [next(csv.reader([line], delimiter=separator), []) for line in lines]
        for at, row in enumerate(rows[:-1]):
            below = next((other for other in rows[at + 1 :] if any(other)), [])
            full = [cell for cell in row if cell.strip()]
            named = [cell for cell in full if re.search(r"[^\W\d_]{1}", cell)]
            fits = len(row) >= 2 and len(row) == len(below) and len(named) == len(full) >= 2
            numeric = any(re.fullmatch(r"\s*-?\d+(?:[.,]\d+)?\s*", cell) for cell in below)
            if fits and numeric and (best is None or len(row) > best[0]):
                best = (len(row), separator, at + 1, [cell.strip() for cell in row])
    if best is None:
        raise WeatherError(
            f"{path}: no header row is found above rows of numbers; save the file as CSV with one "
            "row of headings"
        )
    return best[1], best[2], best[3]


def _decimal(data: Any, separator: str) -> str:
    if separator == ",":
        return "."
    comma = sum(int(data[c].str.fullmatch(r"-?\d+,\d+").sum()) for c in data.columns)
    point = sum(int(data[c].str.fullmatch(r"-?\d+\.\d+").sum()) for c in data.columns)
    return "," if comma > point else "."


def _columns(
    data: Any, headings: Sequence[str], time: guess_time.TimeGuess, decimal: str,
    latitude: float | None, doubts: list[str],
) -> tuple[dict[str, Column], tuple[str, ...]]:  # fmt: skip
    found: dict[str, str] = {}
    units: dict[str, str] = {}
    doubtful: set[str] = set()
    fillers: dict[str, None] = {}
    for position, heading in enumerate(headings):
        if heading in time.columns:
            continue
        quantity, usual = quantity_of(heading)
        if not quantity or quantity in found:
            continue
        text = data[position]
        if decimal == ",":
            text = text.str.replace(",", ".", regex=False)
        values, gone = _numbers(text)
        if not len(values):
            continue
        fillers |= dict.fromkeys(gone)
        found[quantity] = heading
        units[quantity], doubt = unit_of(heading, quantity, usual, values, latitude)
        if doubt:
            doubtful.add(quantity)
    daily = set(DAILY) <= set(found) and time.daily
    for key in ("t_air",) if daily else tuple(DAILY):
        found.pop(key, None)
    units = of_one_kind({key: units[key] for key in found}, doubtful & set(found))
    doubts += [
        f'column "{found[key]}": no unit in its heading, taken as {units[key]}'
        for key in sorted(doubtful & set(found))
    ]
    order = [*DAILY, *SI] if daily else list(SI)
    return {k: Column(found[k], units[k]) for k in order if k in found}, tuple(fillers)


def _numbers(text: Any) -> tuple[np.ndarray, list[str]]:
    """The known values of a column, and the fillers that stand for missing ones."""
    import pandas as pd

    text = text[~text.isin(EMPTY)]
    values = pd.to_numeric(text, errors="coerce").to_numpy(dtype=float)
    filler = np.isin(values, FILLERS)
    known = values[np.isfinite(values) & ~filler]
    gone = list(dict.fromkeys(text[filler]))
    return (known if len(known) > 0.5 * len(values) else known[:0]), gone


def _station(data: Any, headings: Sequence[str], doubts: list[str]) -> tuple[str, str] | None:
    for position, heading in enumerate(headings):
        if not is_station_heading(heading):
            continue
        counts = data[position][data[position] != ""].value_counts()
        if len(counts) > 1:
            doubts.append(
                f'column "{heading}" has {len(counts)} stations: only the rows of '
                f"{counts.index[0]} will be read"
            )
            return heading, str(counts.index[0])
    return None
