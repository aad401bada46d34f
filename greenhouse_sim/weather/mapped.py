"""Read somebody's CSV by its mapping: other headings, units, clocks and steps."""

from __future__ import annotations

import re
from pathlib import Path
from typing import Any

import numpy as np

from greenhouse_sim.errors import WeatherError
from greenhouse_sim.weather import clock, daily, times
from greenhouse_sim.weather.cells import DIALOGUE, read_cells
from greenhouse_sim.weather.columns import SI, is_energy, to_si
from greenhouse_sim.weather.mapping import DAILY, ISO, STAMPS, STANDARD, UNIVERSAL, Mapping
from greenhouse_sim.weather.plain import Place
from greenhouse_sim.weather.rows import Rows, one_line
from greenhouse_sim.weather.stations import refuse_mixed

Array = np.ndarray
FLAGGED = re.compile(r"[-+]?[0-9]*\.?[0-9]+ *[A-Za-z*]{1,2}")
"""A number that its station has marked, such as 34s (suspect)."""
EMPTY = ("", "M", "m", "-", "--", "nan", "NaN", "NA", "N/A", "null")
MOST_TWICE = 0.1
"""With more rows than this share at a time that stands already, stations are mixed (judgement)."""


def read_mapped(text: str, path: Path, mapping: Mapping, place: Place) -> Rows:
    """Rows of a CSV as its mapping tells to read them, hour by hour.

    Raises
    ------
    WeatherError
        The file and its mapping do not fit, or a cell cannot be read: with row and column.
    """
    data, file_row = _frame(text, path, mapping)
    data, file_row = _one_station(data, file_row, path, mapping)
    notes: list[str] = []
    values = _values(data, file_row, path, mapping, notes)
    some = np.any([~np.isnan(column) for column in values.values()], axis=0)
    if not some.any():
        raise WeatherError(f"{path}: no row has a value in the columns mapped; check [columns]")
    data, file_row = data[some].reset_index(drop=True), file_row[some]
    values = {key: column[some] for key, column in values.items()}
    stamps = _stamps(data, file_row, path, mapping)
    latitude = _place(mapping.latitude, place.latitude, "latitude", "46.9", path)
    longitude = _place(mapping.longitude, place.longitude, "longitude", "-96.8", path)
    stamps, values, file_row = _in_order(stamps, values, file_row, path, notes)
    stamps, offset = _standard(stamps, file_row, path, mapping, place, longitude, notes)
    stamps, values, file_row = _once(stamps, values, file_row, path, notes)
    step_s = int(np.median(np.diff(stamps).astype(int))) if len(stamps) > 1 else times.HOUR_S
    columns = {
        key: _si(values[key], key, mapping, path) * _per_step(key, mapping, step_s)
        for key in values
    }
    elevation = mapping.elevation_m if mapping.elevation_m is not None else place.elevation_m
    if elevation is None:
        notes.append("elevation not stated: taken as sea level")
    rows = Rows(
        path=str(path),
        name=path.stem,
        site=mapping.site or path.stem,
        latitude=latitude,
        longitude=longitude,
        elevation_m=elevation or 0.0,
        utc_offset_h=offset,
        stamps=stamps,
        columns={SI[key][0]: columns[key] for key in columns if key not in DAILY},
        labels={
            SI[DAILY.get(key, key)][0]: column.column for key, column in mapping.columns.items()
        },
        file_row=file_row,
        notes=notes,
        sun_from=mapping.sun_from,
    )
    if daily.is_daily(stamps):
        if not set(DAILY) <= set(columns):
            raise WeatherError(
                f"{path}: has a row a day, and a day's mean alone makes no hours; map t_min and "
                "t_max, the day's lowest and highest"
            )
        daily.to_hours(rows, columns["t_min"], columns["t_max"])
    elif "t_air" not in columns:
        raise WeatherError(f"{path}: rows are not a day apart; map t_air, not t_min and t_max")
    else:
        times.to_hours(rows, mapping.stamps == STAMPS[1])
    return rows


def _frame(text: str, path: Path, mapping: Mapping) -> tuple[Any, Array]:
    """The mapped columns as texts, with row numbers as an editor shows them."""
    import pandas as pd

    cells = read_cells(text, path, mapping.separator, mapping.header_row)
    _check_headings(cells.headings, path, mapping)
    data = cells.data.set_axis(pd.Index(cells.headings), axis=1)
    return data.loc[:, ~data.columns.duplicated()], cells.file_row


def _check_headings(headings: list[str], path: Path, mapping: Mapping) -> None:
    import difflib

    wanted = [*mapping.time_columns, *(column.column for column in mapping.columns.values())]
    if mapping.station:
        wanted.append(mapping.station[0])
    for name in wanted:
        if name not in headings:
            near = difflib.get_close_matches(name, headings, n=1, cutoff=0.3)
            hint = f"the nearest is {near[0]!r}" if near else f"it has {', '.join(headings[:6])}"
            raise WeatherError(
                f"{path}, row {mapping.header_row}: has no column {name[:40]!r} that the mapping "
                f"names; {hint}. Change the mapping, or write it anew with {DIALOGUE}"
            )


def _one_station(data: Any, file_row: Array, path: Path, mapping: Mapping) -> tuple[Any, Array]:
    if mapping.station is None:
        refuse_mixed(data, list(data.columns), file_row, path)
        return data, file_row
    column, name = mapping.station
    own = (data[column].str.strip() == name.strip()).to_numpy()
    if not own.any():
        there = ", ".join(list(dict.fromkeys(data[column]))[:4])
        raise WeatherError(
            f"{path}: no row has {name[:40]!r} in column {column!r}; there are {there}"
        )
    return data[own].reset_index(drop=True), file_row[own]


def _values(
    data: Any, file_row: Array, path: Path, mapping: Mapping, notes: list[str]
) -> dict[str, Array]:
    """The mapped columns as numbers, nan where missing or marked as doubtful."""
    import pandas as pd

    values = {}
    for key, (column, _) in mapping.columns.items():
        text = data[column].str.strip()
        if mapping.decimal == ",":
            text = text.str.replace(",", ".", regex=False)
        text = text.mask(text.isin([*EMPTY, *mapping.missing]), "")
        number = pd.to_numeric(text, errors="coerce").to_numpy(dtype=float)
        bad = (np.isnan(number) & (text != "").to_numpy()) | np.isinf(number)
        flagged = bad & text.str.fullmatch(FLAGGED).to_numpy(dtype=bool)
        if flagged.any():
            notes.append(f"{column}: {int(flagged.sum())} values marked as doubtful left out")
        bad &= ~flagged
        if bad.any():
            at = int(np.argmax(bad))
            raise WeatherError(
                f'{path}, row {file_row[at]}, column "{column}": {text.iloc[at][:40]!r} is not a '
                "number; if it marks a missing value, write it under [table] missing in the mapping"
            )
        values[key] = number
    return values


def _stamps(data: Any, file_row: Array, path: Path, mapping: Mapping) -> Array:
    """Stamps as they stand in the file, or in universal time where they bear an offset."""
    import pandas as pd

    text = data[mapping.time_columns[0]].str.strip()
    for name in mapping.time_columns[1:]:
        text = text + " " + data[name].str.strip()
    if mapping.time_format == ISO:
        parsed = pd.to_datetime(text, format="ISO8601", errors="coerce", utc=True)
    else:
        parsed = _by_format(text, mapping.time_format, path)
    lost = parsed.isna().to_numpy()
    if lost.any():
        at = int(np.argmax(lost))
        raise WeatherError(
            f"{path}, row {file_row[at]}: cannot read the time {text.iloc[at][:40]!r} as "
            f"{mapping.time_format!r}; correct the row, or [time] format in the mapping"
        )
    index = pd.DatetimeIndex(parsed).tz_localize(None)
    return np.asarray(index.to_numpy().astype("datetime64[m]").astype("datetime64[s]"))


def _by_format(text: Any, form: str, path: Path) -> Any:
    """Stamps by a format; 24:00 is midnight at the end of its day."""
    import pandas as pd

    late = text.str.contains(r"(?<![0-9])24:00|(?<![0-9:])2400$", regex=True)
    if late.any():
        text = text.str.replace(r"(?<![0-9])24:00", "00:00", regex=True)
        text = text.str.replace(r"(?<![0-9:])2400$", "0000", regex=True)
    try:
        parsed = pd.to_datetime(text, format=form, errors="coerce", utc=True)
    except ValueError as problem:
        raise WeatherError(
            f"{path}: [time] format {form[:40]!r} is none ({one_line(problem)}); "
            'write one such as "%Y-%m-%d %H:%M"'
        ) from problem
    return parsed + pd.to_timedelta(late.astype(int), unit="D")


def _place(own: float | None, given: float | None, key: str, example: str, path: Path) -> float:
    value = given if own is None else own
    if value is None:
        raise WeatherError(
            f"{path}: its mapping does not say the {key}; write {key} = {example} under [place], "
            f"or give {key} with the site"
        )
    return value


def _in_order(
    stamps: Array, values: dict[str, Array], file_row: Array, path: Path, notes: list[str]
) -> tuple[Array, dict[str, Array], Array]:
    """Newest first is turned round."""
    steps = np.diff(stamps).astype(int)
    if len(steps) and (steps < 0).mean() > 0.5:
        notes.append("rows stood newest first: turned round")
        stamps, file_row = stamps[::-1], file_row[::-1]
        values = {key: column[::-1] for key, column in values.items()}
    return stamps, values, file_row


def _standard(
    stamps: Array, file_row: Array, path: Path, mapping: Mapping, place: Place, longitude: float,
    notes: list[str],
) -> tuple[Array, float]:  # fmt: skip
    """Stamps in local standard time, with its offset from universal time in hours."""
    offset = mapping.utc_offset_h if mapping.utc_offset_h is not None else place.utc_offset_h
    if mapping.clock not in (STANDARD, UNIVERSAL):
        zone = clock.zone_named(mapping.clock, f"{path}: [time] clock of its mapping")
        moved = clock.to_standard(stamps, zone, file_row, str(path))
        notes += moved.notes
        return moved.stamps, moved.utc_offset_h
    if offset is None:
        offset = float(round(longitude / 15.0))
        notes.append(
            f"WARNING: standard time taken as {offset:+g} h from universal time, by the longitude; "
            "write utc_offset under [place] of the mapping where it is another"
        )
    if mapping.clock == UNIVERSAL and not daily.is_daily(stamps):
        notes.append(f"universal time turned into standard time, {offset:+g} h from it")
        stamps = stamps + np.timedelta64(round(offset * 3600), "s")
    return stamps, offset


def _once(
    stamps: Array, values: dict[str, Array], file_row: Array, path: Path, notes: list[str]
) -> tuple[Array, dict[str, Array], Array]:
    """Each time once: of several rows the one with most values stays."""
    known = np.sum([~np.isnan(column) for column in values.values()], axis=0)
    order = np.lexsort((file_row, -known, stamps))
    first = np.concatenate([[True], np.diff(stamps[order]).astype(int) != 0])
    twice = len(stamps) - int(first.sum())
    if twice > MOST_TWICE * len(stamps):
        at = order[int(np.argmin(first))]
        raise WeatherError(
            f"{path}, row {file_row[at]}: {twice} rows have a time that stands already; the file "
            "seems to mix stations: keep one, with [station] column and is in its mapping"
        )
    if twice:
        notes.append(f"{twice} rows with a time that stands already left out")
    if twice or (np.diff(stamps).astype(int) < 0).any():
        kept = order[first]
        stamps, file_row = stamps[kept], file_row[kept]
        values = {key: column[kept] for key, column in values.items()}
    return stamps, values, file_row


def _si(values: Array, key: str, mapping: Mapping, path: Path) -> Array:
    quantity = DAILY.get(key, key)
    unit = mapping.columns[key].unit
    return to_si(values, quantity, unit, f"{path}: [columns] of its mapping")


def _per_step(key: str, mapping: Mapping, step_s: int) -> float:
    """An energy stands for its own step, not for an hour."""
    energy = key in ("ghi", "dni", "dhi", "ir_down") and is_energy(mapping.columns[key].unit)
    return times.HOUR_S / step_s if energy and step_s > 0 else 1.0
