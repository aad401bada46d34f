"""Units, once in and once out.

Everything inside the package is SI floats (temperatures in degrees Celsius,
temperature differences in kelvin). This module is the only one that knows
other units: it reads what a grower writes (``"30 ft"``, ``"45 degF"``) and
turns results back into what a grower reads. The units themselves stand in
``units.txt`` beside it, in the words of the units library.
"""

from __future__ import annotations

import functools
import math
import re
from pathlib import Path
from typing import Any

from greenhouse_sim.errors import ScenarioError

CORD_M3 = 3.624556363776
"""One full cord, 128 ft³ of stacked wood (4 × 4 × 8 ft), in m³ (ft = 0.3048 m exactly)."""

KWH_J = 3.6e6
BTU_J = 1055.05585262
"""International Table British thermal unit in J (NIST SP 811, appendix B)."""

SHORT_TON_KG = 907.18474
LB_KG = 0.45359237
PELLET_BAG_KG = 40.0 * LB_KG
FT_M = 0.3048

EVERYDAY: dict[tuple[str, str], tuple[float, float]] = {
    ("m", "m"): (1.0, 0.0),
    ("ft", "m"): (FT_M, 0.0),
    ("in", "m"): (0.0254, 0.0),
    ("m^2", "m^2"): (1.0, 0.0),
    ("m^3", "m^3"): (1.0, 0.0),
    ("gal", "m^3"): (231.0 * 0.0254 * 0.0254 * 0.0254, 0.0),
    ("cord", "m^3"): (CORD_M3, 0.0),
    ("degC", "degC"): (1.0, 0.0),
    ("degF", "degC"): (5.0 / 9.0, -160.0 / 9.0),
    ("degF", "K"): (5.0 / 9.0, 0.0),
    ("degF/hour", "K/h"): (5.0 / 9.0, 0.0),
    ("mph", "m/s"): (0.44704, 0.0),
    ("m/s", "m/s"): (1.0, 0.0),
    ("h", "h"): (1.0, 0.0),
    ("day", "day"): (1.0, 0.0),
    ("/hour", "1/s"): (1.0 / 3600.0, 0.0),
    ("1/hour", "1/s"): (1.0 / 3600.0, 0.0),
    ("/cord", "1/m^3"): (1.0 / CORD_M3, 0.0),
    ("/ton", "1/kg"): (1.0 / SHORT_TON_KG, 0.0),
    ("W", "W"): (1.0, 0.0),
    ("W/m/K", "W/m/K"): (1.0, 0.0),
    ("W/m^2/K", "W/m^2/K"): (1.0, 0.0),
    ("m^2*K/W", "m^2*K/W"): (1.0, 0.0),
    ("ft^2*degF*hr/Btu", "m^2*K/W"): (FT_M * FT_M * 3600.0 / BTU_J * 5.0 / 9.0, 0.0),
    ("J/m^2/K", "J/m^2/K"): (1.0, 0.0),
    ("kJ/m^2/K", "J/m^2/K"): (1.0e3, 0.0),
    ("MJ/m^3/K", "J/m^3/K"): (1.0e6, 0.0),
    ("MJ/kg", "J/kg"): (1.0e6, 0.0),
    ("kJ", "J"): (1.0e3, 0.0),
    ("minute", "s"): (60.0, 0.0),
    ("minute/kg", "s/kg"): (60.0, 0.0),
    ("1/day", "1/s"): (1.0 / 86400.0, 0.0),
    ("kBtu/hr", "kW"): (BTU_J / 3600.0, 0.0),
    ("kBtu/hr", "W"): (1.0e3 * BTU_J / 3600.0, 0.0),
    ("Btu/hr/degF", "W/K"): (BTU_J / 3600.0 * 1.8, 0.0),
    ("Btu/hr/ft/degF", "W/m/K"): (BTU_J / 3600.0 * 1.8 / FT_M, 0.0),
    ("Btu/hr/ft^2/degF", "W/m^2/K"): (BTU_J / 3600.0 * 1.8 / (FT_M * FT_M), 0.0),
    ("Btu/hr/ft^3", "W/m^3"): (BTU_J / 3600.0 / (FT_M * FT_M * FT_M), 0.0),
    ("Btu/ft^2/degF", "kJ/m^2/K"): (1.0e-3 * BTU_J * 1.8 / (FT_M * FT_M), 0.0),
    ("Btu/ft^2/degF", "J/m^2/K"): (BTU_J * 1.8 / (FT_M * FT_M), 0.0),
    ("Btu/ft^3/degF", "MJ/m^3/K"): (1.0e-6 * BTU_J * 1.8 / (FT_M * FT_M * FT_M), 0.0),
    ("Btu/lb/degF", "J/kg/K"): (BTU_J * 1.8 / LB_KG, 0.0),
    ("Btu/lb", "MJ/kg"): (1.0e-6 * BTU_J / LB_KG, 0.0),
    ("ft^2", "m^2"): (FT_M * FT_M, 0.0),
    ("ft^3", "m^3"): (FT_M * FT_M * FT_M, 0.0),
    ("lb", "kg"): (LB_KG, 0.0),
    ("lb/ft^3", "kg/m^3"): (LB_KG / (FT_M * FT_M * FT_M), 0.0),
    ("minute/lb", "minute/kg"): (1.0 / LB_KG, 0.0),
}
"""(unit written, unit wanted): factor and offset of the units that nearly every scenario
uses, so that reading one need not load the units library (a quarter of a second). A test
holds each against the library."""

_NUMBER = re.compile(r"\s*([-+]?(?:\d+\.?\d*|\.\d+)(?:[eE][-+]?\d+)?)\s*(.*)$", re.DOTALL)
_GLUED_POWER = re.compile(r"\b(m|cm|mm|ft|in|yd)([23])\b")
_WILD_POWER = re.compile(r"(\^|\*\*)\s*\(*\s*[-+]?\s*(\d{2}|\d*\.|\d\s*\)*\s*(\^|\*\*)|[^\d\s(+-])")
_LONGEST_UNIT = 60
MOST_KEPT = 1024
"""Texts whose quantity is kept: a study reads those of its farm again for every point."""


@functools.cache
def registry() -> Any:
    """The one units registry (loaded when first needed: the library is slow to import)."""
    import pint

    lines = Path(__file__).with_name("units.txt").read_text(encoding="utf-8").splitlines()
    return pint.UnitRegistry(
        lines, preprocessors=[_spelled_out], autoconvert_offset_to_baseunit=False
    )


def to_si(text: str, unit: str, where: str, example: str | None = None) -> float:
    """Read a quantity with its unit and return its magnitude in ``unit``.

    Parameters
    ----------
    text
        What the grower wrote, such as ``"30 ft"``.
    unit
        The SI unit wanted, such as ``"m"``, ``"degC"``, ``"W/m^2/K"``, ``"1/s"``.
        With ``"K"`` a difference is meant: ``"9 degF"`` is 5 K.
    where
        The place to name in a message, such as ``"farm.toml: [greenhouse] width"``.
    example
        What a right value looks like; made from ``unit`` where absent.

    Raises
    ------
    ScenarioError
        The text has no unit, an unknown unit, or a unit of another dimension.
    """
    try:
        return read_quantity(text, unit, example)
    except ValueError as problem:
        raise ScenarioError(f"{where}: {problem}") from problem


@functools.lru_cache(maxsize=MOST_KEPT)
def read_quantity(text: str, unit: str, example: str | None = None) -> float:
    """As `to_si`, for callers that know the place themselves.

    Raises
    ------
    ValueError
        With a message that says what is wrong and what to write instead.
    """
    example = example or f"10 {unit}"
    match = _NUMBER.match(_spelled_out(text))
    if match is None:
        raise ValueError(_unreadable(text, example))
    number, written = float(match.group(1)), match.group(2).strip()
    if (written, unit) in EVERYDAY:
        factor, offset = EVERYDAY[written, unit]
        value = number * factor + offset
    else:
        value = _by_library(text, number, written, unit, example)
    if not math.isfinite(value):
        raise ValueError(f'{quoted(text)} is not a finite number; write one such as "{example}"')
    return value


def _by_library(text: str, number: float, written: str, unit: str, example: str) -> float:
    import pint

    wanted = registry().parse_units(unit)
    if not written and not wanted.dimensionless:
        raise ValueError(
            f'{quoted(text)} has no unit; write it as a text with its unit, such as "{example}"'
        )
    if len(written) > _LONGEST_UNIT or _WILD_POWER.search(written):
        raise ValueError(_unreadable(text, example))
    try:
        quantity = registry().Quantity(number, _parsed(written))
        if unit == "K" and not quantity._is_multiplicative:
            quantity = registry().Quantity(number, f"delta_{quantity.units}")
        return float(quantity.to(wanted).magnitude)
    except (pint.DimensionalityError, pint.OffsetUnitCalculusError):
        raise ValueError(
            f'{quoted(text)} is not a quantity of this kind; it needs a unit as in "{example}"'
        ) from None
    except Exception:  # the library's parser fails in many ways on what is not a unit
        raise ValueError(_unreadable(text, example)) from None


def _parsed(written: str) -> Any:
    if written.startswith("/"):
        written = "1" + written
    return registry().parse_units(written)


def _spelled_out(text: str) -> str:
    """The same quantity in the signs that the units library knows."""
    for sign, word in (("$", " "), ("²", "^2"), ("³", "^3"), ("·", "*"), ("°F", "degF"),
                       ("°C", "degC"), ("−", "-")):  # fmt: skip
        text = text.replace(sign, word)
    return _GLUED_POWER.sub(r"\1^\2", text.strip())


def _unreadable(text: str, example: str) -> str:
    return f'cannot read {quoted(text)}; write a number with its unit, such as "{example}"'


def quoted(text: str) -> str:
    """A text as it would stand in a file: in quotes, on one line, cut where it is long."""
    line = text if text.isprintable() else text.encode("unicode_escape", "replace").decode()
    return f'"{line}"' if len(line) <= _LONGEST_UNIT else f'"{line[:_LONGEST_UNIT]}…"'


def from_si(value: float, si: str, unit: str) -> float:
    """Turn a magnitude from one unit into another (``from_si(20.0, "degC", "degF")``)."""
    if (si, unit) in EVERYDAY:
        factor, offset = EVERYDAY[si, unit]
        return value * factor + offset
    if (unit, si) in EVERYDAY:
        factor, offset = EVERYDAY[unit, si]
        return (value - offset) / factor
    return float(registry().Quantity(value, si).to(unit).magnitude)


def fahrenheit(celsius: float) -> float:
    """Degrees Fahrenheit of degrees Celsius."""
    return celsius * 1.8 + 32.0


def cords(volume_m3: float) -> float:
    """Full cords (128 ft³ stacked) of a stacked volume in m³."""
    return volume_m3 / CORD_M3
