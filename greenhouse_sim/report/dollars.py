"""Money in words: no more digits than are known."""

from __future__ import annotations

from greenhouse_sim.report.words import Units, few, whole
from greenhouse_sim.units import FT_M

PER = {
    "1/hour": "an hour", "1/cord": "a cord", "1/ton": "a ton", "1/gal": "a gallon",
    "1/kWh": "a kWh", "1/yd^3": "a cubic yard", "1/ft^2/week": "a square foot and week",
}  # fmt: skip


def dollars(value: float | None) -> str:
    """Dollars of at most three digits that mean something: "$7250", "-$340"; "?" unknown."""
    if value is None:
        return "?"
    text = whole(abs(value)) if abs(value) >= 9.995 else few(abs(value))
    return f"-${text}" if value < 0.0 and text != "0" else f"${text}"


def rough(value: float | None) -> str:
    """Dollars to two digits, for what is known no better: "$7300", "-$340"."""
    if value is None or value == 0.0:
        return dollars(value)
    step = 10.0 ** (len(str(int(abs(value)))) - 2)
    return dollars(round(value / step) * step if step > 1.0 else value)


def priced(value: float, unit: str) -> str:
    """A price with its unit: "$275 a cord", "$0.17 a kWh"."""
    size = abs(value)
    text = f"{value:.2f}" if size < 9.995 else whole(value)
    return f"${text} {PER.get(unit, unit)}"


def by_area(per_ft2: float, units: Units) -> str:
    """Dollars a square foot, or a square metre, with the unit: "$0.25 a square foot"."""
    if units.us:
        return f"${per_ft2:.2f} a square foot"
    return f"${per_ft2 / (FT_M * FT_M):.2f} a square metre"


def back(extra: float, value: float | None) -> str:
    """As `years`; "-" where it is cheaper to buy and dearer to run."""
    return "-" if value is None and extra <= 0.0 else years(value)


def years(value: float | None) -> str:
    """A payback: "at once", "4.2", "never"."""
    if value is None:
        return "never"
    if value == 0.0:
        return "at once"
    return few(value) if value < 99.5 else "over 99"
