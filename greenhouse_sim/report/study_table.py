"""What a study came to, read back from its parts a few columns at a time."""

from __future__ import annotations

from collections.abc import Mapping
from pathlib import Path
from typing import TYPE_CHECKING, Any

import numpy as np

from greenhouse_sim.heater.catalogue import burns
from greenhouse_sim.plans.study_columns import arrow
from greenhouse_sim.report.fuel_words import propane_measure
from greenhouse_sim.report.spread import spread
from greenhouse_sim.report.woodpile_table import grid
from greenhouse_sim.report.words import Units, few, whole
from greenhouse_sim.units import CORD_M3

if TYPE_CHECKING:
    from rich.table import Table

COLUMNS = (
    "heater", "cords", "fuel_kg", "fuel_energy_kWh", "night_wakeups", "hours_below_setpoint",
    "lowest_air_C", "hours_below_damage",
)  # fmt: skip
Columns = Mapping[str, Any]


def by_heater(folder: Path) -> dict[str, Columns]:
    """A study's columns for its table, by heater in the order of the parts."""
    arrow()
    import pyarrow.compute as pc
    import pyarrow.parquet as pq

    table = pq.read_table(folder, columns=list(COLUMNS))
    found: dict[str, Columns] = {}
    for heater in table["heater"].unique().to_pylist():
        rows = table.filter(pc.equal(table["heater"], heater))
        found[heater] = {name: rows[name].to_numpy() for name in COLUMNS[1:]}
    return found


def study_table(found: Mapping[str, Columns], units: Units, damage_C: float) -> Table:
    """A row a heater: the middle of all its seasons, and 10 to 90 % of them."""
    seasons = sum(len(rows["lowest_air_C"]) for rows in found.values())
    table = grid(f"{seasons:,} seasons: the middle (10 to 90 %)")
    table.add_column("Heater", no_wrap=True)
    heads = (
        "fuel", "times up", "hours below setpoint", f"coldest, {units.degree}",
        f"hours under {units.temperature(damage_C)}",
    )  # fmt: skip
    for head in heads:
        table.add_column(head, justify="right", max_width=20)
    for heater, rows in found.items():
        table.add_row(heater, *_cells(heater, rows, units))
    return table


def _cells(heater: str, rows: Columns, units: Units) -> list[str]:
    coldest = np.vectorize(units.degrees)(rows["lowest_air_C"])
    return [
        _fuel(heater, rows, units),
        _two(rows["night_wakeups"], whole),
        _two(rows["hours_below_setpoint"], whole),
        _two(coldest, lambda value: f"{round(value) + 0:d}"),
        _two(rows["hours_below_damage"], whole),
    ]


def _fuel(heater: str, rows: Columns, units: Units) -> str:
    kind = burns(heater)
    if kind == "wood":
        word, scale = ("cords", 1.0) if units.us else ("m³ stacked", CORD_M3)
        return f"{_two(rows['cords'] * scale, few)} {word}"
    if kind in ("electricity", "none"):
        return f"{_two(rows['fuel_energy_kWh'], whole)} kWh"
    if kind == "propane":
        word, per_kg = propane_measure(units)
        return f"{_two(rows['fuel_kg'] * per_kg, whole)} {word}"
    return f"{_two(rows['fuel_kg'] * units.tons(1.0), few)} {'tons' if units.us else 't'}"


def _two(values: np.ndarray, write: Any) -> str:
    found = spread(list(values))
    span = found.range(write)
    return f"{found.middle(write)} ({span})" if span else found.middle(write)
