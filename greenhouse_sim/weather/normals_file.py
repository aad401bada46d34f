"""Read a table of monthly normals, a TOML file.

.. code-block:: toml

    [place]
    name = "Tamarack Flats"
    latitude = 46.9
    longitude = -96.8
    elevation = "270 m"
    utc_offset = -6

    [normals]                     # January to December
    mean_max = { unit = "degF", months = [17, 22, 35, 54, 69, 77, 82, 81, 71, 55, 37, 22] }
    mean_min = { unit = "degF", months = [-1, 4, 18, 33, 45, 56, 60, 58, 48, 36, 21, 7] }
"""

from __future__ import annotations

import tomllib
from collections.abc import Mapping
from pathlib import Path
from typing import Any

from greenhouse_sim.errors import WeatherError
from greenhouse_sim.weather.normals import Normals, number
from greenhouse_sim.weather.normals_curves import MONTHS
from greenhouse_sim.weather.normals_keys import known_only
from greenhouse_sim.weather.normals_months import Months, read_months
from greenhouse_sim.weather.normals_variation import read_variation
from greenhouse_sim.weather.plain import Place

Section = Mapping[str, Any]
SECTIONS = ("place", "normals", "variation", "winters")
PLACE = ("name", "latitude", "longitude", "elevation", "utc_offset")
NORMALS = (
    "mean_max", "mean_min", "record_low", "record_years", "radiation", "sun_hours", "cloud",
    "wind", "dew_point", "precipitation",
)  # fmt: skip
WINTERS = ("count", "seed")
MOST_WINTERS = 150
EXAMPLES = {"latitude": "46.9", "longitude": "-96.8", "utc_offset": "-6", "elevation": '"270 m"'}
LIMITS = {"latitude": 90.0, "longitude": 180.0, "utc_offset": 14.0}


def read_normals(text: str, path: Path, place: Place = Place()) -> Normals:  # noqa: B008
    """The normals of a file.

    Parameters
    ----------
    place
        Used where the file does not say where it is.

    Raises
    ------
    WeatherError
        One message with file and key, what is wrong and what to write.
    """
    file = _parsed(text, path)
    known_only(file, SECTIONS, f"{path}", "section ")
    sections = {name: _section(file, name, path) for name in SECTIONS}
    known_only(sections["place"], PLACE, f"{path}: [place]")
    known_only(sections["normals"], NORMALS, f"{path}: [normals]")
    known_only(sections["winters"], WINTERS, f"{path}: [winters]")
    where = _place(sections["place"], place, path)
    months = _months(sections["normals"], path)
    for key in ("mean_max", "mean_min"):
        if key not in months:
            raise WeatherError(
                f"{path}: [normals] {key} is missing; write "
                f'{key} = {{ unit = "degF", months = [ twelve numbers, January to December ] }}'
            )
    _check_order(months, path)
    return Normals(
        name=str(path),
        site=str(sections["place"].get("name", path.stem)),
        latitude=where["latitude"],
        longitude=where["longitude"],
        elevation_m=where["elevation"],
        utc_offset_h=where["utc_offset"],
        mean_max_C=months["mean_max"],
        mean_min_C=months["mean_min"],
        record_low_C=months.get("record_low"),
        record_years=_record_years(sections["normals"], path),
        radiation_W=months.get("radiation"),
        sun_h=months.get("sun_hours"),
        cloud=months.get("cloud"),
        wind_m_s=months.get("wind"),
        t_dew_C=months.get("dew_point"),
        precipitation_mm=months.get("precipitation"),
        variation=read_variation(sections["variation"], path),
        count=_whole(sections["winters"], "count", int(number("count")), MOST_WINTERS, path),
        seed=_whole(sections["winters"], "seed", 1, 2**31, path),
    )


def _parsed(text: str, path: Path) -> dict[str, Any]:
    try:
        return tomllib.loads(text)
    except RecursionError:
        raise WeatherError(f"{path}: brackets are nested too deep; write plain lists") from None
    except ValueError as problem:
        raise WeatherError(
            f"{path}: not valid TOML ({problem}); a table of normals begins with [place] and "
            '[normals], and a month row is mean_max = { unit = "degF", months = [ ... ] }'
        ) from None


def _section(file: Section, name: str, path: Path) -> Section:
    found = file.get(name, {})
    if not isinstance(found, dict):
        raise WeatherError(f"{path}: {name} is not a section; write a line [{name}] above its keys")
    if name == "normals" and not found:
        raise WeatherError(
            f"{path}: has no section [normals]; a weather file in TOML is a table of monthly "
            "normals: write [normals] with mean_max and mean_min"
        )
    return found


def _place(section: Section, given: Place, path: Path) -> dict[str, float]:
    found = {}
    outside = dict(zip(("latitude", "longitude", "elevation", "utc_offset"), given, strict=True))
    for key, example in EXAMPLES.items():
        known = outside[key]
        if key not in section:
            if known is None:
                raise WeatherError(
                    f"{path}: [place] {key} is missing; write {key} = {example}, "
                    f"or give {key} with the site"
                )
            found[key] = float(known)
        elif key == "elevation":
            found[key] = _elevation(section[key], path)
        else:
            found[key] = _degrees(section[key], key, path)
    return found


def _degrees(value: Any, key: str, path: Path) -> float:
    if isinstance(value, bool) or not isinstance(value, int | float):
        wrong = f"{str(value)[:30]!r} is not a number"
    elif not abs(value) <= LIMITS[key]:
        wrong = f"{value:g} is out of range"
    else:
        return float(value)
    raise WeatherError(f"{path}: [place] {key} {wrong}; write {key} = {EXAMPLES[key]}")


def _elevation(value: Any, path: Path) -> float:
    from greenhouse_sim.units import read_quantity

    try:
        return read_quantity(str(value), "m", "270 m")
    except ValueError as problem:
        raise WeatherError(f"{path}: [place] elevation: {problem}") from None


def _months(section: Section, path: Path) -> dict[str, Months]:
    found = {}
    for key, value in section.items():
        if key != "record_years":
            found[key] = read_months(key, value, f"{path}: [normals] {key}")
    return found


def _record_years(section: Section, path: Path) -> float | None:
    value = section.get("record_years")
    if value is None:
        return None
    if isinstance(value, bool) or not isinstance(value, int | float) or not 1 <= value <= 300:
        raise WeatherError(
            f"{path}: [normals] record_years {str(value)[:30]!r} is no number of years; "
            "write record_years = 60"
        )
    return float(value)


def _whole(section: Section, key: str, default: int, most: int, path: Path) -> int:
    value = section.get(key, default)
    if isinstance(value, bool) or not isinstance(value, int) or not 1 <= value <= most:
        raise WeatherError(
            f"{path}: [winters] {key} {str(value)[:30]!r} is not a whole number "
            f"from 1 to {most}; write {key} = {default}"
        )
    return value


def _check_order(months: dict[str, Months], path: Path) -> None:
    pairs = (("mean_min", "mean_max"), ("record_low", "mean_min"), ("dew_point", "mean_max"))
    for low, high in pairs:
        if low not in months:
            continue
        for name, a, b in zip(MONTHS, months[low], months[high], strict=True):
            if a >= b:
                raise WeatherError(
                    f"{path}: [normals] {low} of {name} ({a:.1f} °C) is not below {high} "
                    f"({b:.1f} °C); check whether the rows or their units are swapped"
                )
