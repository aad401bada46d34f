"""The one line that a grower would say of a winter."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from typing import Any

from greenhouse_sim.report.fuel_words import (
    backup_text,
    kind_of,
    pellets_text,
    propane_text,
    wood_text,
)
from greenhouse_sim.report.spread import Spread, spread_of
from greenhouse_sim.report.words import Units, counted, day_and_hour, few, whole, winter_words
from greenhouse_sim.units import CORD_M3

Row = Mapping[str, Any]


def one_line(rows: Sequence[Row], units: Units, backup: str | None = None) -> str:
    """What one heater's winters come to, in a sentence without a verb.

    Parameters
    ----------
    rows
        Ledgers of one heater, one a winter: with several, the middle of each quantity is
        told (and for fuel and times up the 10th to the 90th percentile).
    units
        The reader's units.
    backup
        Name of the back-up heater, where there is one.
    """
    parts = [
        fuel_part(rows, units),
        times_up(rows),
        f"{whole(spread_of(rows, 'hours_below_setpoint').median)} h below setpoint",
        coldest(rows, units),
        hurt_part(rows),
        _backup_part(rows, units, backup),
        _work_part(rows),
    ]
    return ", ".join(part for part in parts if part)


def fuel_part(rows: Sequence[Row], units: Units) -> str:
    """What was burnt."""
    kind = kind_of(rows[0])
    mass = spread_of(rows, "fuel_kg")
    if kind == "wood":
        cords = spread_of(rows, "cords")
        size = 1.0 if units.us else CORD_M3
        return wood_text(cords.median, mass.median, units, _between(_scaled(cords, size)))
    if kind == "pellets":
        return pellets_text(mass.median, units, _between(_scaled(mass, units.tons(1.0))))
    if kind == "propane":
        return propane_text(mass.median, units)
    heat = spread_of(rows, "heat_delivered_kWh").median
    if kind == "compost":
        decayed = units.tons_text(mass.median)
        return f"{units.heat_text(heat)} of heat from compost ({decayed} of dry matter decayed)"
    if kind == "electricity":
        return f"{whole(spread_of(rows, 'fuel_energy_kWh').median)} kWh of electricity"
    return f"{units.heat_text(heat)} of heat as needed"


def _scaled(given: Spread, by: float) -> Spread:
    return Spread(given.median * by, given.low * by, given.high * by, given.winters)


def _between(given: Spread) -> str:
    text = given.range(few, " to ")
    return f"{text} over {given.winters} winters" if text else ""


def times_up(rows: Sequence[Row]) -> str:
    """How often, and in how many nights."""
    ups = spread_of(rows, "night_wakeups")
    if ups.high < 0.5:
        return "no nights woken"
    nights = counted(spread_of(rows, "nights_with_wakeup").median, "night")
    times = counted(ups.median, "time")
    span = ups.range(whole, " to ")
    return f"{times} up at night{f' ({span})' if span else ''} on {nights}"


def coldest_row(rows: Sequence[Row]) -> Row:
    """The winter with the coldest hour."""
    return min(rows, key=lambda row: float(row["lowest_air_C"]))


def coldest(rows: Sequence[Row], units: Units) -> str:
    """The coldest hour of all winters, with its time."""
    row = coldest_row(rows)
    when = day_and_hour(row["lowest_air_at"])
    which = f" ({winter_words(row['winter'])})" if len(rows) > 1 else ""
    return f"coldest {units.temperature(row['lowest_air_C'])} at {when}{which}"


def hurt_part(rows: Sequence[Row]) -> str:
    """Hours under the crop's damage temperature, where there were any."""
    hurt = spread_of(rows, "hours_below_damage")
    if hurt.high < 0.5:
        return ""
    if hurt.median < 0.5:
        return f"crop damaged in some winters (up to {whole(hurt.high)} h)"
    return f"crop damaged ({whole(hurt.median)} h too cold)"


def _backup_part(rows: Sequence[Row], units: Units, backup: str | None) -> str:
    used = spread_of(rows, "backup_fuel_kWh").median
    return backup_text({"backup_fuel_kWh": used}, backup, units)


def _work_part(rows: Sequence[Row]) -> str:
    hours = spread_of(rows, "labour_hours").median
    return f"{whole(hours)} h of work" if hours >= 0.5 else ""
