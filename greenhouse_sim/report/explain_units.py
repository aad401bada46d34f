"""Values of the tables in the reader's units, so that they can be copied into a scenario."""

from __future__ import annotations

from greenhouse_sim.report.words import Units
from greenhouse_sim.scenario import ExplainRow
from greenhouse_sim.units import from_si

WRITTEN = ("line", "changed", "scenario")
"""Origins whose values stand as the grower wrote them."""
US = {
    "W": "kBtu/hr", "kW": "kBtu/hr", "W/K": "Btu/hr/degF", "W/m/K": "Btu/hr/ft/degF",
    "W/m^2/K": "Btu/hr/ft^2/degF", "m": "ft", "m^2": "ft^2", "m^3": "ft^3", "kg": "lb",
    "kg/m^3": "lb/ft^3", "J/kg/K": "Btu/lb/degF", "MJ/m^3/K": "Btu/ft^3/degF",
    "kJ/m^2/K": "Btu/ft^2/degF", "MJ/kg": "Btu/lb", "degC": "degF", "minute/kg": "minute/lb",
    "m/s": "mph", "m^2*K/W": "ft^2*degF*hr/Btu", "W/m^3": "Btu/hr/ft^3",
    "J/m^2/K": "Btu/ft^2/degF",
}  # fmt: skip
SI = {
    "kBtu/hr": "kW", "Btu/hr": "W", "ft": "m", "in": "m", "ft^2": "m^2", "ft^3": "m^3",
    "gal": "m^3", "lb": "kg", "degF": "degC", "degF/hour": "K/h", "mph": "m/s",
    "ft^2*degF*hr/Btu": "m^2*K/W",
}  # fmt: skip
ELECTRIC = ("_electric", "internal_gain")
"""Keys that end so are told in watts everywhere."""


def in_reader_units(row: ExplainRow, units: Units) -> str:
    """A value with its unit.

    What the grower wrote stays as it was written. What a table says is turned into the reader's
    units, with at most three digits that mean something: no row of a table knows more.
    """
    if row.origin.startswith(WRITTEN):
        return f"{row.value} {row.unit}".rstrip()
    try:
        value = float(row.value)
    except ValueError:
        return f"{row.value} {row.unit}".rstrip()
    unit = row.unit
    other = (US if units.us else SI).get(unit)
    if other is not None and not row.key.endswith(ELECTRIC):
        value, unit = from_si(value, unit, other), other
    return f"{three(value)} {unit}".rstrip()


def three(value: float) -> str:
    """A number of at most three digits that mean something, without an exponent: "58600"."""
    text = f"{value:.3g}"
    return f"{float(text):.0f}" if "e+" in text else text
