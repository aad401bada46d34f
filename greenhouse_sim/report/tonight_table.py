"""Tonight in tables: what to do when, and what each way to spend the night comes to."""

from __future__ import annotations

from typing import TYPE_CHECKING

from greenhouse_sim.plans.tonight import ROUTINE, Tonight, Way
from greenhouse_sim.report.away_words import amount, percent
from greenhouse_sim.report.tonight_words import NAMES, clock, span, steps
from greenhouse_sim.report.woodpile_table import grid
from greenhouse_sim.report.words import Units

if TYPE_CHECKING:
    from rich.table import Table


def step_table(found: Tonight, units: Units) -> Table | None:
    """What to do, hour by hour; None where there is nothing."""
    todo = steps(found)
    if not todo:
        return None
    table = grid("What to do tonight")
    table.add_column("At")
    table.add_column("Put in", justify="right")
    table.add_column("Of a full load", justify="right")
    sets_air = any(one.air for one in todo)
    if sets_air:
        table.add_column("Air")
    table.add_column("")
    full = found.night.task.heater.charge_kg
    for one in todo:
        table.add_row(
            clock(found, one.hour),
            amount(one.load_kg, units) if one.load_kg > 0.0 else "nothing",
            percent(one.load_kg / full) if one.load_kg > 0.0 else "",
            *([one.air or "as usual"] if sets_air else []),
            "get up for it" if one.up else "",
        )
    return table


def way_table(found: Tonight, units: Units) -> Table:
    """The ways to spend the night, side by side."""
    table = grid("Ways to spend the night")
    table.add_column("Way", no_wrap=True)
    limit, damage = units.temperature(found.limit), units.temperature(found.damage)
    for head in (
        "fuel", "coldest\nat plants", "8 of 10", "at", f"chance\n< {limit}",
        f"chance\n< {damage}", "fire\nout", "times\nup",
    ):  # fmt: skip
        table.add_column(head, justify="right", no_wrap=True)
    for way in found.ways:
        table.add_row(*_cells(way, found, units))
    return table


def _cells(way: Way, found: Tonight, units: Units) -> list[str]:
    hand_fed = found.night.task.heater.hand_fed > 0.5
    fire = "no" if way.fire_out_at is None else clock(found, way.fire_out_at)
    if hand_fed and way.fire_out_at is None and way.left_kg <= 0.0:
        fire = "none"
    return [
        NAMES[way.name],
        amount(way.loaded_kg, units) if hand_fed else "",
        units.temperature(way.lowest.forecast),
        span(way.lowest, units),
        clock(found, way.lowest_at),
        percent(way.under_limit),
        percent(way.hurt),
        fire if hand_fed else "",
        str(way.woken),
    ]


def hour_rows(found: Tonight) -> list[dict[str, object]]:
    """Hour by hour: outside, and at the plants under every way, °C."""
    rows = []
    for n, hour in enumerate(range(found.night.now, found.night.morning)):
        row: dict[str, object] = {
            "time": found.moment(hour).isoformat(sep=" ", timespec="minutes"),
            "out_C": float(found.out[n]),
            "out_low_C": float(found.out_band[0, n]),
            "out_high_C": float(found.out_band[1, n]),
        }
        for way in found.ways:
            name = way.name.replace(" ", "_")
            row[f"{name}_C"] = float(way.crop[n])
            if way.name != ROUTINE:
                row[f"{name}_low_C"] = float(way.band[0, n])
                row[f"{name}_high_C"] = float(way.band[1, n])
        rows.append(row)
    return rows
