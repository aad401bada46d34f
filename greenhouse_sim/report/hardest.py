"""Which winter was the worst, and whether there are enough of them to speak of shares."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from typing import Any

from greenhouse_sim.plans.quantiles import few_winters
from greenhouse_sim.report.fuel_words import amount, kind_of, measure
from greenhouse_sim.report.words import Units, few, whole, winter_words

Row = Mapping[str, Any]


def hardest_lines(rows: Sequence[Row], units: Units) -> list[str]:
    """The hardest of one heater's winters by name, and a word where winters are few.

    Parameters
    ----------
    rows
        Ledgers of one heater, one a winter.
    units
        The reader's units.
    """
    said = few_winters(len(rows))
    lines = [said] if said else []
    return [hardest_line(rows, units), *lines] if len(rows) > 1 else lines


def hardest_line(rows: Sequence[Row], units: Units) -> str:
    """The winters that took most fuel, and that were coldest inside."""
    most = max(rows, key=lambda row: amount(row, units))
    unit = measure(rows[0], units).unit
    what = "heat" if kind_of(rows[0]) == "none" else "fuel"
    parts = [f"most {what} in {_name(most)}, {few(amount(most, units))} {unit}"]
    cold = max(rows, key=lambda row: float(row["hours_below_setpoint"]))
    if cold["hours_below_setpoint"] >= 0.5:
        hours = whole(cold["hours_below_setpoint"])
        parts.append(f"most hours below setpoint in {_name(cold)}, {hours}")
    hurt = max(rows, key=lambda row: float(row["hours_below_damage"]))
    if hurt["hours_below_damage"] >= 0.5:
        parts.append(f"worst for the crop {_name(hurt)}, {whole(hurt['hours_below_damage'])} h")
    return f"Hardest of {len(rows)} winters: {'; '.join(parts)}."


def _name(row: Row) -> str:
    return winter_words(str(row["winter"]))
