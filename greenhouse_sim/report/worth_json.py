"""Whether winter heat pays, as JSON and CSV."""

from __future__ import annotations

import json
from pathlib import Path
from typing import Any

from greenhouse_sim.plans.worth import Held, Worth
from greenhouse_sim.report.json_text import SCHEMA, plain
from greenhouse_sim.report.money_json import write_rows

Row = dict[str, Any]


def worth_json(found: Worth) -> str:
    """``{"schema": 1, "setpoints": [...], "weeks": [...]}``, with a line end."""
    best = found.best
    answer = {
        "schema": SCHEMA,
        "winters": list(found.winters),
        "beds_ft2": found.beds_ft2,
        "crop_value_per_ft2_week": found.crop_value,
        "break_even_value_per_ft2_week": found.break_even,
        "best": None if best is None else held_row("best", best),
        "setpoints": setpoint_rows(found),
        "weeks": week_rows(found),
    }
    return json.dumps(plain(answer), allow_nan=False, ensure_ascii=False) + "\n"


def held_row(name: str, held: Held) -> Row:
    """One setpoint; dollars a winter."""
    return {
        "name": name,
        "night_C": held.night_C,
        "day_C": held.day_C,
        "cords": held.cords,
        "fuel_kg": held.fuel_kg,
        "night_wakeups": held.wakeups,
        "share_of_winters_lost": held.lost,
        "heat_costs": held.cost,
        "crop_brings": held.brings,
        "left": held.margin,
    }


def setpoint_rows(found: Worth) -> list[Row]:
    """No heat, the guard, and every setpoint."""
    rows = [held_row("no heat", found.off), held_row("guard", found.guard)]
    for place, held in enumerate(found.held):
        rows.append(held_row("own" if place == found.own else "other", held))
    return rows


def week_rows(found: Worth) -> list[Row]:
    """A row a week, the setpoint against the guard."""
    return [
        {
            "first": week.first.isoformat(),
            "last": week.last.isoformat(),
            "heat_costs_more": week.cost,
            "crop_brings_more": week.brings,
            "pays_from_value_per_ft2_week": week.needed,
            "pays": week.pays,
        }
        for week in found.weeks
    ]


def write_worth(found: Worth, out: Path) -> list[Path]:
    """``setpoints.csv`` and ``weeks.csv``."""
    return [
        write_rows(out / "setpoints.csv", setpoint_rows(found)),
        write_rows(out / "weeks.csv", week_rows(found)),
    ]
