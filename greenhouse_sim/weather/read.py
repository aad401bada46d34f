"""Read any weather file: the format is told by its content, then by its ending."""

from __future__ import annotations

from os import PathLike
from pathlib import Path

from greenhouse_sim.weather.complete import to_weather
from greenhouse_sim.weather.files import as_text, read_bytes, read_text
from greenhouse_sim.weather.mapping import mapping_path, read_mapping
from greenhouse_sim.weather.nsrdb import is_nsrdb, read_nsrdb
from greenhouse_sim.weather.plain import Place, read_plain
from greenhouse_sim.weather.record import find_record, keep_record, record_key
from greenhouse_sim.weather.rows import Rows
from greenhouse_sim.weather.weather import Weather

PLACES = {
    "latitude": "latitude",
    "longitude": "longitude",
    "elevation_m": "elevation",
    "utc_offset_h": "offset from universal time",
}


def read_weather(
    path: str | PathLike[str],
    *,
    latitude: float | None = None,
    longitude: float | None = None,
    elevation_m: float | None = None,
    utc_offset_h: float | None = None,
    mapping: str | PathLike[str] | None = None,
) -> Weather:
    """Read a whole weather file into hourly weather: EPW, TMY3, NSRDB PSM or CSV.

    A CSV that is not plain (see the README) is read by the mapping beside it.

    Parameters
    ----------
    path
        The file.
    latitude, longitude
        Degrees, north and east positive; used only where the file does not say.
    elevation_m
        Height above the sea, m; used only where the file does not say.
    utc_offset_h
        Local standard time less universal time, h; used only where the file does not say.
    mapping
        The mapping file of a CSV that is not plain; ``NAME.map.toml`` beside ``NAME.csv``
        where not given.

    Returns
    -------
    Weather
        Contiguous hours, hour-starting, local standard time. What was filled
        or assumed stands in its notes.

    Raises
    ------
    WeatherError
        Anything that cannot be used: one message with place and remedy.
    """
    place = Place(latitude, longitude, elevation_m, utc_offset_h)
    file = Path(path)
    raw = read_bytes(file)
    where = mapping_path(file) if mapping is None else Path(mapping)
    beside = where.is_file() and file.suffix.lower() != ".epw"
    told = read_text(where) if mapping is not None or beside else ""
    name = record_key(raw, file, place, told)
    found = find_record(name)
    if found is not None:
        return found
    text = as_text(raw, file)
    if told:
        from greenhouse_sim.weather.mapped import read_mapped

        rows = read_mapped(text, file, read_mapping(told, where), place)
    else:
        rows = _rows(text, file, place)
    weather = to_weather(rows)
    keep_record(name, weather)
    return weather


def _rows(text: str, path: Path, place: Place) -> Rows:
    first, _, rest = text.partition("\n")
    if is_nsrdb(first):
        rows = read_nsrdb(text, path)
    elif first.upper().startswith("LOCATION,") or path.suffix.lower() == ".epw":
        from greenhouse_sim.weather.epw import read_epw

        rows = read_epw(text, path)
    elif rest.lstrip('"').startswith("Date (MM/DD/YYYY)"):
        from greenhouse_sim.weather.tmy3 import read_tmy3

        rows = read_tmy3(text, path)
    elif path.suffix.lower() == ".toml":
        from greenhouse_sim.weather.normals_winters import read_made

        rows = read_made(text, path, place)
    else:
        return read_plain(text, path, place)
    _remark(rows, place)
    return rows


def _remark(rows: Rows, place: Place) -> None:
    """Say so where the file knows its place differently from the caller."""
    for (key, words), given in zip(PLACES.items(), place, strict=True):
        own = getattr(rows, key)
        if given is not None and abs(own - given) > (50.0 if key == "elevation_m" else 0.1):
            rows.notes.append(f"{words} {own:g} of the file used, not the {given:g} given")
