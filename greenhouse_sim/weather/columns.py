"""Column names of a plain weather file, with their units, into SI."""

from __future__ import annotations

import difflib
import re

import numpy as np

from greenhouse_sim.errors import ScenarioError, WeatherError

Array = np.ndarray

SI = {
    "t_air": ("t_out_C", "degC", "degC"),
    "t_dew": ("t_dew_C", "degC", "degC"),
    "humidity": ("humidity", "0-1", "%"),
    "wind": ("wind_m_s", "m/s", "m/s"),
    "ghi": ("ghi_W", "W/m2", "W/m2"),
    "dni": ("dni_W", "W/m2", "W/m2"),
    "dhi": ("dhi_W", "W/m2", "W/m2"),
    "cloud": ("cloud", "0-1", "0-1"),
    "pressure": ("pressure_Pa", "Pa", "Pa"),
    "ir_down": ("ir_down_W", "W/m2", "W/m2"),
    "snow": ("snow_m", "m", "m"),
}
"""Name in the file: our key, its SI unit, the unit to show in a message."""

NEEDED = ("time", "t_air", "ghi")
SHARES = {"0-1": 1.0, "%": 0.01, "percent": 0.01, "tenths": 0.1, "oktas": 0.125}
BAROMETERS = {"hPa": 100.0, "inHg": 3386.389, "mmHg": 133.3224}
"""Pa of the units that only weather reports use (NIST Special Publication 811, appendix B)."""
TENTHS = "tenths of "
"""Before another unit: some climate offices write whole numbers of tenths."""
_HEADING = re.compile(r"\s*([^\[\]]*?)\s*(?:\[([^\[\]]*)\])?\s*$")


def parse_heading(heading: str) -> tuple[str, str]:
    """Name and unit of a heading such as ``t_air [degC]``; the unit may be empty."""
    match = _HEADING.match(heading)
    if match is None:
        return heading.strip().lower(), ""
    return match.group(1).lower().replace(" ", "_"), (match.group(2) or "").strip()


def find_columns(
    headings: list[str], where: str, *, sun_needed: bool = True
) -> dict[str, tuple[int, str]]:
    """Known columns of a header row: name to (position, unit).

    Parameters
    ----------
    headings
        The header row's cells.
    where
        File and row, for a message.
    sun_needed
        False where the sun will be estimated.

    Raises
    ------
    WeatherError
        A needed column is missing, a known one has no unit or stands twice.
    """
    found: dict[str, tuple[int, str]] = {}
    unknown = []
    for position, heading in enumerate(headings):
        name, unit = parse_heading(heading)
        if name != "time" and name not in SI:
            unknown.append(heading.strip())
            continue
        if name in found:
            raise WeatherError(f'{where}: column "{heading.strip()}" stands twice; remove one')
        if name != "time" and not unit:
            raise WeatherError(
                f'{where}: column "{heading.strip()}" has no unit; '
                f"write {name} [{SI[name][2]}] in the header row"
            )
        found[name] = (position, unit)
    for name in NEEDED:
        spare = name == "ghi" and (not sun_needed or {"dni", "dhi"} <= set(found))
        if name not in found and not spare:
            raise WeatherError(_missing(name, unknown, where))
    return found


def _missing(name: str, unknown: list[str], where: str) -> str:
    example = "time" if name == "time" else f"{name} [{SI[name][2]}]"
    bare = {parse_heading(text)[0]: text for text in unknown}
    near = difflib.get_close_matches(name, bare, n=1, cutoff=0.4)
    hint = f'; the nearest found is "{bare[near[0]][:40]}"' if near else ""
    if not near and unknown:
        hint = "; found besides: " + ", ".join(f'"{text[:40]}"' for text in unknown[:6])
    reason = " (global sun on the horizontal, mean of the hour)" if name == "ghi" else ""
    return (
        f"{where}: there is no column {name}{hint}. Name it {example}{reason}, or have the file's "
        "own columns mapped: greenhouse-sim weather map"
    )


def to_si(values: Array, name: str, unit: str, where: str) -> Array:
    """Values of a column in SI.

    Parameters
    ----------
    unit
        As in the brackets: ``degF``, ``mph``, ``hPa``, ``tenths``, ``Wh/m2`` (over the hour).

    Raises
    ------
    WeatherError
        The unit is unknown or of another dimension.
    """
    _, si, shown = SI[name]
    if unit.startswith(TENTHS):
        return to_si(values / 10.0, name, unit.removeprefix(TENTHS), where)
    if unit in (si, si.replace("m2", "m^2"), si.replace("m2", "m²"), si.replace("deg", "°")):
        return values
    if si == "0-1":
        if unit in SHARES:
            return values * SHARES[unit]
        raise WeatherError(_bad_unit(where, name, unit, "0-1, %, tenths or oktas"))
    if si == "Pa" and unit in BAROMETERS:
        return values * BAROMETERS[unit]
    try:
        factor, shift = _linear(unit, si)
    except ScenarioError as problem:
        raise WeatherError(_bad_unit(where, name, unit, f"such as {shown}")) from problem
    return values * factor + shift


def is_energy(unit: str) -> bool:
    """Whether a unit of sun is an energy over the row's step (Wh/m2, MJ/m2), not a power."""
    from greenhouse_sim import units

    written = re.sub(r"(?<=[a-z])2\b", "^2", unit)
    try:
        units.to_si(f"1 {written}", "J/m^2", "column")
    except ScenarioError:
        return False
    return True


def _bad_unit(where: str, name: str, unit: str, good: str) -> str:
    return f"{where}: column {name} has the unit [{unit[:40]}]; write one of its kind, {good}"


def _linear(unit: str, si: str) -> tuple[float, float]:
    """Factor and shift to SI, from two points through the units library."""
    from greenhouse_sim import units

    target = re.sub(r"(?<=[a-z])2\b", "^2", si)
    written = re.sub(r"(?<=[a-z])2\b", "^2", unit)

    def convert(value: str, text: str, to: str) -> float:
        return units.to_si(f"{value} {text}", to, "column")

    try:
        low, high = convert("0", written, target), convert("1", written, target)
    except ScenarioError:
        if target != "W/m^2":
            raise
        low, high = convert("0", written, "J/m^2") / 3600.0, convert("1", written, "J/m^2") / 3600.0
    if high == low:
        raise ScenarioError(unit)
    return high - low, low
