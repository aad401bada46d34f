"""Guess the unit of a column: from its heading, else from its values."""

from __future__ import annotations

import re

import numpy as np

from greenhouse_sim.tables.read import read_rows
from greenhouse_sim.weather.columns import SI, is_energy
from greenhouse_sim.weather.mapping import DAILY

Array = np.ndarray
KINDS = {
    "degC": ("degF", "degC"),
    "m/s": ("mph", "km/hour", "knot", "m/s"),
    "Pa": ("hPa", "kPa", "inHg", "mmHg", "Pa"),
    "0-1": ("%", "0-1", "oktas", "tenths"),
    "m": ("cm", "mm", "in", "m"),
    "W/m2": ("W/m2",),
}
TEMPERATURES = ("t_air", "t_dew", "t_min", "t_max")
"""SI unit: the units of its kind that a heading may name."""


def unit_of(
    heading: str, quantity: str, usual: str, values: Array, latitude: float | None
) -> tuple[str, bool]:
    """Unit of a column, and whether it is a mere guess.

    Parameters
    ----------
    heading
        As it stands in the file.
    quantity
        A key of `columns.SI`, or ``t_min`` or ``t_max``.
    usual
        The unit where nothing else tells.
    values
        The known values, shape (n,).
    latitude
        Degrees, or None.
    """
    kind = SI[DAILY.get(quantity, quantity)][1]
    said = _from_heading(heading, kind)
    if said and not (kind == "degC" and said == "degC" and _tenths(values)):
        return said, False
    if kind == "degC":
        return _temperature(values, latitude)
    if kind == "Pa":
        return _pressure(values), False
    if kind == "0-1":
        return _share(quantity, values), False
    return usual, True


def _from_heading(heading: str, kind: str) -> str:
    lower = heading.lower()
    bracket = re.findall(r"[\[(]([^\])]*)[\])]", lower)
    ends = [*bracket, re.sub(r"[\[(].*?[\])]", "", lower).replace("_", " ").strip()]
    for text in ends:
        for row in read_rows("weather_units"):
            unit = row["unit"]
            fits = unit in KINDS[kind] or (kind == "W/m2" and is_energy(unit))
            if fits and re.search(_whole(row["pattern"], text in bracket), text):
                return unit
    return ""


def _whole(pattern: str, bracketed: bool) -> str:
    """In brackets a unit stands alone; at a heading's end a single letter is a word of its own."""
    return pattern if bracketed else rf"(?<![a-z])(?:{pattern})|(?:{pattern})(?<=\w{{3}})"


def of_one_kind(units: dict[str, str], doubtful: set[str]) -> dict[str, str]:
    """Units of columns without one, by those of the others: who writes Fahrenheit writes mph."""
    sure = [unit for key, unit in units.items() if key in TEMPERATURES and key not in doubtful]
    told = sure[0] if sure else "degF" if "degF" in units.values() else ""
    if not told:
        return units
    alike = dict.fromkeys(doubtful & set(TEMPERATURES), told)
    if told == "degF" and "wind" in doubtful:
        alike["wind"] = "mph"
    return units | alike


def _tenths(values: Array) -> bool:
    return bool(len(values) and np.abs(values).max() > 135.0 and (values == np.round(values)).all())


def _temperature(values: Array, latitude: float | None) -> tuple[str, bool]:
    """By size: over 50 is Fahrenheit, over 135 tenths of Celsius."""
    if _tenths(values):
        return "tenths of degC", True
    middle, high = float(np.median(values)), float(np.quantile(values, 0.999))
    if high > 50.0:
        return "degF", True
    if latitude is not None and middle > 36.0:
        return "degF", True
    return "degC", True


def _pressure(values: Array) -> str:
    middle = float(np.median(values))
    for unit, low, high in (("inHg", 15.0, 33.0), ("kPa", 45.0, 115.0), ("hPa", 450.0, 1150.0)):
        if low <= middle <= high:
            return unit
    return "Pa"


def _share(quantity: str, values: Array) -> str:
    most = float(values.max())
    if most <= 1.05:
        return "0-1"
    if quantity == "cloud" and most <= 8.0:
        return "oktas"
    return "tenths" if quantity == "cloud" and most <= 10.0 else "%"
