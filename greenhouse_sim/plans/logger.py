"""Read a data logger's record: the air indoors every 1 to 60 minutes, and what else it has.

Columns are known by their headings, which name their units: ``time``, ``indoor [degF]``, perhaps
``outdoor [degF]``, ``heat [W]`` (what the heaters gave) and ``loaded [lb]`` (a load at that
moment). A logger's own headings do too (``Date Time``, ``Temperature (°F)``).

What a reading stands for, its moment or the mean of a step, is told (`logger_hours`).
"""

from __future__ import annotations

import csv
import re
from datetime import datetime
from pathlib import Path
from typing import Any, NamedTuple

import numpy as np

from greenhouse_sim import units
from greenhouse_sim.errors import WeatherError
from greenhouse_sim.plans.logger_hours import HOUR_S, SPOT, hour_means, spans
from greenhouse_sim.tables.read import read_keyed
from greenhouse_sim.weather.cells import Cells, read_cells
from greenhouse_sim.weather.files import read_text
from greenhouse_sim.weather.guess_time import guess_time, parse
from greenhouse_sim.weather.mapping import UNIVERSAL
from greenhouse_sim.weather.rows import numbers

Array = np.ndarray
SI = {"indoor": "degC", "outdoor": "degC", "heat": "W", "loaded": "kg"}
SHOWN = {"indoor": "degF", "outdoor": "degF", "heat": "W", "loaded": "lb"}
WORDS = {
    "outdoor": r"\b(outdoor|outside|ambient)\b",
    "heat": r"\b(heat|heating|heater)\b",
    "loaded": r"\b(load|loaded|wood|fuel)\b",
    "indoor": r"\b(indoor|inside|temp|temperature|air|greenhouse)\b",
}
"""What a heading says of its column, in the order in which it is asked."""
SAYS_MEANS = r"\b(avg|average|averaged|mean)\b"
"""How a heading says that a logger writes means."""
ON_THE_HOUR_S = 60.0
"""A logger's clock may be off by this and still read at full hours (judgement)."""
_UNIT = re.compile(r"[\[(]([^\])]*)[\])]|[,; ]\s*(°\s?[FC]|deg ?[FC])\s*$", re.IGNORECASE)
_DEGREES = {"f": "degF", "c": "degC", "degf": "degF", "degc": "degC", "fahrenheit": "degF",
            "celsius": "degC"}  # fmt: skip


class Load(NamedTuple):
    """Fuel put in."""

    hour: int
    """Hours after the log's first."""
    kg: float


class Log(NamedTuple):
    """A record as hours: arrays of shape (hours,), nan where unknown."""

    name: str
    start: datetime
    """The first hour, local standard time by the logger's clock."""
    indoor_C: Array
    outdoor_C: Array | None = None
    heat_W: Array | None = None
    loads: tuple[Load, ...] = ()
    notes: tuple[str, ...] = ()
    at_hour_C: Array | None = None
    """What was read at each hour's beginning, where readings of a moment are an hour apart."""

    @property
    def hours(self) -> int:
        """Length of the record, h."""
        return len(self.indoor_C)


def fit_number(key: str) -> float:
    """A number of the table of fitting, in its row's unit."""
    return read_keyed("fit")[key].number


def read_log(path: Path, utc_offset_h: float, readings: str = SPOT) -> Log:
    """A logger's file as hours.

    Parameters
    ----------
    path
        A CSV file.
    utc_offset_h
        Local standard time less universal time, for stamps in universal time.
    readings
        What a reading stands for: `logger_hours.SPOT`, `MEANS` or `MEANS_AFTER`.

    Raises
    ------
    WeatherError
        It cannot be read: file, row or column, and what to write instead; or its sensor stood
        still for more than half of the time.
    """
    if not path.is_file():
        raise WeatherError(f"{path}: no such log; name the logger's CSV file")
    text = read_text(path)
    row, separator = _header(text, path)
    cells = read_cells(text, path, separator, row)
    seconds = _seconds(cells, path, utc_offset_h)
    columns = _columns(cells, path)
    order = np.argsort(seconds, kind="stable")
    seconds = seconds[order]
    columns = {name: values[order] for name, values in columns.items()}
    indoor, notes = without_flat(seconds, columns["indoor"], path)
    notes += _says_means(cells, readings)
    begin, end = spans(seconds, readings)
    first = int(-(-begin[0] // HOUR_S))
    count = int(end[-1] // HOUR_S) - first
    if count < 1:
        raise WeatherError(f"{path}: is shorter than an hour; name a log of some weeks")

    def hourly(name: str) -> Array | None:
        """Means of a column; None where there is none, or none with an hour that is known."""
        if name not in columns:
            return None
        means = hour_means(seconds, columns[name], first, count, readings)
        return None if np.isnan(means).all() else means

    loads: tuple[Load, ...] = ()
    if "loaded" in columns:
        given = columns["loaded"] > 0.0
        at = np.round(seconds[given] / HOUR_S).astype(int) - first
        loads = tuple(
            Load(int(hour), float(kg))
            for hour, kg in zip(at, columns["loaded"][given], strict=True)
            if 0 <= hour < count
        )
    start = np.datetime64(first * int(HOUR_S), "s").astype(datetime)
    return Log(
        path.name, start, hour_means(seconds, indoor, first, count, readings), hourly("outdoor"),
        hourly("heat"), loads, notes, _at_hours(seconds, indoor, first, count, readings),
    )  # fmt: skip


def _says_means(cells: Cells, readings: str) -> tuple[str, ...]:
    """A note where a heading speaks of means and the readings are taken as of a moment."""
    said = [one for one in cells.headings if re.search(SAYS_MEANS, _words(one))]
    if readings != SPOT or not said:
        return ()
    return (
        f'the heading "{said[0]}" speaks of means, and its readings were taken as made at their '
        "moment; if each is the mean of the step before its stamp, write --readings means",
    )


def _at_hours(seconds: Array, values: Array, first: int, count: int, readings: str) -> Array | None:
    """What was read at the beginning of each hour, nan where nothing; None for other steps."""
    hour = np.round(seconds / HOUR_S)
    on_the_hour = np.abs(seconds - hour * HOUR_S) < ON_THE_HOUR_S
    if readings != SPOT or np.median(np.diff(seconds)) != HOUR_S or not on_the_hour.all():
        return None
    found = np.full(count, np.nan)
    place = hour.astype(int) - first
    inside = (place >= 0) & (place < count)
    found[place[inside]] = values[inside]
    return found


def without_flat(seconds: Array, values: Array, path: Path) -> tuple[Array, tuple[str, ...]]:
    """Readings without the stretches in which a sensor stood still, and a note on them.

    Raises
    ------
    WeatherError
        More than half of the log is such a stretch.
    """
    kept = values.copy()
    longest = fit_number("flat") * HOUR_S
    edges = np.flatnonzero(np.diff(values) != 0.0) + 1
    stuck = 0.0
    for begin, stop in zip([0, *edges], [*edges, len(values)], strict=True):
        lasted = float(seconds[stop - 1] - seconds[begin])
        if lasted >= longest:
            kept[begin:stop] = np.nan
            stuck += lasted
    whole = float(seconds[-1] - seconds[0])
    if stuck > 0.5 * whole:
        raise WeatherError(
            f"{path}: the sensor stood still for {stuck / whole:.0%} of the time; look at its "
            "battery and plug, and name a log in which it moves"
        )
    note = f"the sensor stood still for {stuck / HOUR_S:.0f} h in all; those hours are left out"
    return kept, (note,) if stuck > 0.0 else ()


def _header(text: str, path: Path) -> tuple[int, str]:
    """Number of the header row, and the separator: the first row that speaks of time."""
    for number, line in enumerate(text.split("\n")[:60], start=1):
        if line.lstrip().startswith("#"):
            continue
        if not re.search(r"time|date|zeit|datum", line, re.IGNORECASE):
            continue
        counts = {sign: len(next(csv.reader([line], delimiter=sign))) for sign in ",;\t"}
        separator = max(counts, key=lambda sign: counts[sign])
        if counts[separator] > 1:
            return number, separator
    raise WeatherError(
        f"{path}: has no header row with a column of time; write one: time,indoor [degF]"
    )


def _seconds(cells: Cells, path: Path, utc_offset_h: float) -> Array:
    """Moments in local standard time, seconds since the epoch."""
    guessed = guess_time(cells.data, cells.headings, _words, path)
    if not guessed.clock:
        raise WeatherError(
            f"{path}: its clock goes back an hour in autumn; export the log in standard time"
        )
    columns = [cells.data[cells.headings.index(name)] for name in guessed.columns]
    text = columns[0]
    for more in columns[1:]:
        text = text + " " + more
    stamps = parse(text.str.strip(), guessed.form)
    if np.isnat(stamps).any():
        at = int(np.argmax(np.isnat(stamps)))
        raise WeatherError(
            f"{path}, row {cells.file_row[at]}: cannot read the time {str(text.iloc[at])[:40]!r}; "
            "write it as in the rows before"
        )
    zoned = text.str.contains(r"\d\d:\d\d.*(?:Z|[+-]\d\d:?\d\d)$").any()
    seconds = stamps.astype("datetime64[s]").astype(np.int64).astype(float)
    return seconds + (utc_offset_h * HOUR_S if zoned or guessed.clock == UNIVERSAL else 0.0)


def _words(heading: str) -> str:
    return " ".join(re.sub(r"[^a-z]+", " ", heading.lower()).split())


def _columns(cells: Cells, path: Path) -> dict[str, Array]:
    """Known columns in SI."""
    found: dict[str, Array] = {}
    for at, heading in enumerate(cells.headings):
        words = _words(_UNIT.sub(" ", heading))
        name = next((key for key, said in WORDS.items() if re.search(said, words)), None)
        if name is None or re.search(r"\b(date|time|humidity|rh|dew)\b", words) or name in found:
            continue
        values = numbers(cells.data.iloc[:, at], heading, cells.file_row, str(path))
        found[name] = _to_si(values, name, heading, path)
    if "indoor" not in found:
        raise WeatherError(
            f"{path}: there is no column of the air indoors among "
            f"{', '.join(cells.headings[:8])}; name it indoor [degF]"
        )
    return found


def _to_si(values: Array, name: str, heading: str, path: Path) -> Array:
    match = _UNIT.search(heading)
    unit = re.sub(r"[°\s]", "", (match[1] or match[2] or "") if match else "")
    unit = _DEGREES.get(unit.lower(), unit)
    example = f"{name} [{SHOWN[name]}]"
    if not unit:
        raise WeatherError(f'{path}: column "{heading}" has no unit; name it {example}')

    def one(value: float) -> float:
        try:
            return units.read_quantity(f"{value} {unit}", SI[name])
        except ValueError:
            raise WeatherError(
                f'{path}: column "{heading}" has the unit [{unit[:20]}]; write one of its kind, '
                f"as in {example}"
            ) from None

    low, high = one(0.0), one(1.0)
    return values * (high - low) + low


def shown_hours(log: Log) -> Any:
    """Beginnings of the log's hours, datetime64[s]."""
    return np.datetime64(log.start, "s") + np.arange(log.hours) * np.timedelta64(3600, "s")
