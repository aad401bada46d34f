"""Tonight as JSON and as CSV files, SI."""

from __future__ import annotations

import json
from pathlib import Path
from typing import Any

from greenhouse_sim.plans.tonight import Act, Tonight, Way
from greenhouse_sim.plans.tonight_search import setting_share
from greenhouse_sim.report.json_text import SCHEMA, plain
from greenhouse_sim.report.rows import write_rows
from greenhouse_sim.report.tonight_journal import journal_row
from greenhouse_sim.report.tonight_table import hour_rows
from greenhouse_sim.report.tonight_words import air_words

Row = dict[str, Any]


def tonight_json(found: Tonight) -> str:
    """``{"schema": 1, "tonight": {...}}``, one line, with a line end."""
    night = found.night
    answer = {
        "schema": SCHEMA,
        "tonight": {
            "heater": found.scenario.heater.kind,
            "at": _time(found, night.now),
            "bed": _time(found, night.bed),
            "morning": _time(found, night.morning),
            "forecast": found.forecast.name,
            "issued": found.forecast.issued.isoformat(sep=" ", timespec="minutes"),
            "forecast_source": found.forecast.source or None,
            "now": {
                "air_C": found.present.air_C,
                "fuel_kg": found.now_kg,
                "fuel_least_kg": found.now_range_kg[0],
                "fuel_most_kg": found.now_range_kg[1],
            },
            "journal": journal_row(found),
            "hold_C": night.hold,
            "get_up_under_C": found.limit,
            "hurt_under_C": found.damage,
            "lowest_outside_C": found.out.min(),
            "advice": found.plan.name,
            "last_look_in": _act(found, found.best),
            "holds_setpoint": found.held,
            "get_up": None if found.up is None else _act(found, found.up),
            "cannot_hold": found.helpless,
            "ways": [_way(found, way) for way in found.ways],
            "hours": hour_rows(found),
            "notes": found.notes,
        },
    }
    return json.dumps(plain(answer), allow_nan=False, ensure_ascii=False) + "\n"


def _time(found: Tonight, hour: int) -> str:
    return found.moment(hour).isoformat(sep=" ", timespec="minutes")


def _act(found: Tonight, act: Act) -> Row:
    loads = dict(found.plan.loads)
    return {
        "at": _time(found, act.hour),
        "load_kg": loads.get(act.hour, 0.0),
        "fuel_after_kg": act.level_kg,
        "air": air_words(found, act.setting_w) or None,
        "air_share": setting_share(found.night.task.heater, act.setting_w),
    }


def _way(found: Tonight, way: Way) -> Row:
    return {
        "way": way.name,
        "loads": [{"at": _time(found, hour), "kg": kg} for hour, kg in way.loads],
        "loaded_kg": way.loaded_kg,
        "lowest_at_plants_C": way.lowest._asdict(),
        "lowest_at": _time(found, way.lowest_at),
        "share_under_get_up": way.under_limit,
        "share_hurt": way.hurt,
        "fire_out_at": None if way.fire_out_at is None else _time(found, way.fire_out_at),
        "times_up": way.woken,
        "backup_kWh": way.backup_kWh,
        "fuel_left_kg": way.left_kg,
    }


def write_tonight_tables(found: Tonight, out: Path) -> list[Path]:
    """The ways, and the hours, as CSV files."""
    ways = [_way(found, way) for way in found.ways]
    for row in ways:
        row["loads"] = "; ".join(f"{one['at']} {one['kg']:.1f} kg" for one in row["loads"])
    return [
        write_rows(out / "tonight_ways.csv", ways),
        write_rows(out / "tonight_hours.csv", hour_rows(found)),
    ]
