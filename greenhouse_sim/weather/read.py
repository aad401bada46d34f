"""Read any weather file: the format is told by its content, then by its ending."""

from __future__ import annotations

from os import PathLike
from pathlib import Path

from greenhouse_sim.weather.complete import to_weather
from greenhouse_sim.weather.files import read_text
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
) -> Weather:
    """Read a whole EPW, TMY3 or plain CSV file into hourly weather.

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
    text = read_text(file)
    name = record_key(text, file, place)
    found = find_record(name)
    if found is not None:
        return found
    weather = to_weather(_rows(text, file, place))
    keep_record(name, weather)
    return weather


def _rows(text: str, path: Path, place: Place) -> Rows:
    first, _, rest = text.partition("\n")
    if first.upper().startswith("LOCATION,") or path.suffix.lower() == ".epw":
        from greenhouse_sim.weather.epw import read_epw

        rows = read_epw(text, path)
    elif rest.lstrip('"').startswith("Date (MM/DD/YYYY)"):
        from greenhouse_sim.weather.tmy3 import read_tmy3

        rows = read_tmy3(text, path)
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
