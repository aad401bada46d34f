"""Faults of the season as JSON and as a CSV file, SI."""

from __future__ import annotations

import json
import math
from pathlib import Path
from typing import Any

from greenhouse_sim.plans.faults import Found, backup_kWh
from greenhouse_sim.report.faults_table import over, season_rows
from greenhouse_sim.report.json_text import SCHEMA, plain
from greenhouse_sim.report.rows import write_rows


def faults_json(heater: str, found: Found) -> str:
    """``{"schema": 1, "faults": {...}}``, one line, with a line end."""
    rows: list[dict[str, Any]] = []
    for one in found.seasons:
        told = {
            "more_hours_below_setpoint": found.more(one, "cold_h"),
            "more_hours_below_damage": found.more(one, "damage_h"),
            "more_night_wakeups": found.more(one, "wakeups"),
            "hours_below_setpoint": one.cold_h,
            "lowest_air_C": one.lowest_C,
            "backup_fuel_kWh": backup_kWh(found, one),
        }
        row: dict[str, Any] = {"fault": one.name}
        for key, values in told.items():
            value = over(values)
            row[key] = {
                "mean": float(values.mean()), "median": value.median, "low": value.low,
                "high": value.high,
            }  # fmt: skip
        row["tank_runs_empty_in"] = sum(hour is not None for hour in one.tank_lasts)
        rows.append(row)
    answer = {
        "heater": heater,
        "winters": found.winters,
        "drawings": found.turns,
        "taken": found.faults._asdict(),
        "tank_kWh": found.tank_J / 3.6e6 if math.isfinite(found.tank_J) else None,
        "summary": rows,
        "seasons": season_rows(found),
    }
    return json.dumps(plain({"schema": SCHEMA, "faults": answer}), ensure_ascii=False) + "\n"


def write_faults(found: Found, out: Path) -> Path:
    """Write ``faults.csv``: a row a fault and season."""
    return write_rows(out / "faults.csv", season_rows(found))
