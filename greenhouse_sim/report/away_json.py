"""Absences as JSON and as CSV files, SI."""

from __future__ import annotations

import csv
import json
import math
from collections.abc import Iterable, Mapping, Sequence
from pathlib import Path
from typing import Any

import numpy as np

from greenhouse_sim.files import written_whole
from greenhouse_sim.plans.absence import Absence, Left
from greenhouse_sim.plans.absence_sums import SHARES, burnt, chances, heat, loads, warnings, weeks
from greenhouse_sim.plans.trip import Trip
from greenhouse_sim.report.json_text import SCHEMA, plain
from greenhouse_sim.units import KWH_J

Row = dict[str, Any]


def away_json(found: Absence, trips: Sequence[Trip]) -> str:
    """``{"schema": 1, "away": {...}}``, one line, with a line end. null: it did not happen, or
    (in a winter's list) the winter has no such evening."""
    names = [winter.weather.name for winter in found.winters]
    days = [f"{day:%m-%d}" for day in found.evenings.days]
    arranged: dict[str, Left | None] = {
        "nobody": found.alone,
        "backup": found.backed,
        "helper": found.helped,
        "helper_and_backup": found.helped_backed,
    }
    answer = {
        "schema": SCHEMA,
        "away": {
            "heater": found.heater,
            "winters": names,
            "evenings": days,
            "backup": {
                "kind": found.backup,
                "in_scenario": found.has_backup,
                "starts_below_C": found.starts_below,
                "fuel": [_burnt_row(one) for one in burnt(found)],
            },
            "own": "backup" if found.has_backup else "nobody",
            "hours": {name: _hours(left) for name, left in arranged.items() if left is not None},
            "safe_share": [list(row) for row in chances(found.own)],
            "weeks": [_week_row(one) for one in weeks(found)],
            "low_alarms": [one._asdict() for one in warnings(found)],
            "high_alarm": {
                "at": found.terms.high,
                "months": [one._asdict() for one in heat(found)],
            },
            "helper": {
                "hour": found.terms.helper_hour,
                "loads": [one._asdict() for one in loads(found)],
            },
            "trips": [_trip_row(one) for one in trips],
        },
    }
    return json.dumps(plain(answer), allow_nan=False, ensure_ascii=False) + "\n"


def _hours(left: Left) -> Row:
    """Winter by winter, evening by evening."""
    return {
        "fire_out": left.fire_out_h,
        "below_setpoint": left.below_h,
        "hurt": left.hurt_h,
        "looked_at": left.run_h,
        "tank_empty": left.tank_h,
        "lowest_at_plants_C": left.lowest_crop,
    }


def _burnt_row(one: Any) -> Row:
    return {
        "days": one.days,
        "middle_kWh": one.middle_j / KWH_J,
        "most_kWh": one.most_j / KWH_J,
    }


def _week_row(one: Any) -> Row:
    safe = {f"safe_{share:g}_h": hours for share, hours in zip(SHARES, one.safe_h, strict=True)}
    return {
        "first": f"{one.first:%m-%d}",
        "last": f"{one.last:%m-%d}",
        "fire_h": one.fire_h,
        "below_setpoint_h": one.below_h,
        "hurt_h": one.hurt_h,
        **safe,
        "looked_at_h": one.looked_h,
        "week_with_helper_winters": one.helper_holds,
        "winters": one.winters,
    }


def _trip_row(one: Trip) -> Row:
    return {
        "from": one.span[0].isoformat(sep=" ", timespec="minutes"),
        "to": one.span[1].isoformat(sep=" ", timespec="minutes"),
        "forecast": one.forecast or None,
        "winters": [
            {
                "winter": out.winter,
                "fire_out_h": out.fire_out_h,
                "hurt_h": out.hurt_h,
                "hours_below_setpoint": out.below_h,
                "lowest_at_plants_C": out.lowest_crop,
                "lowest_outside_C": out.lowest_out,
                "backup_fuel_kWh": out.backup_j / KWH_J,
            }
            for out in one.outcomes
        ],
        "nights": [
            {
                "evening": f"{night.evening:%m-%d}",
                "outside_C": night.out,
                "at_plants_C": night.crop,
                "fire_burns_share": night.fire,
                "hurt_share": night.hurt,
            }
            for night in one.nights
        ],
    }


def write_away_tables(found: Absence, trips: Sequence[Trip], out: Path) -> list[Path]:
    """Every evening, the weeks, the chances by length, and the trips, as CSV files."""
    written = [
        _write(out / "away_evenings.csv", _evening_rows(found)),
        _write(out / "away_weeks.csv", [_week_row(one) for one in weeks(found)]),
        _write(out / "away_chance.csv", _chance_rows(found)),
    ]
    rows = [
        {"trip": n + 1, **row} for n, one in enumerate(trips) for row in _trip_row(one)["winters"]
    ]
    if rows:
        written.append(_write(out / "away_trips.csv", rows))
    return written


def _evening_rows(found: Absence) -> Iterable[Row]:
    own = found.own
    for w, winter in enumerate(found.winters):
        for e, day in enumerate(found.evenings.days):
            if found.evenings.starts[w, e] < 0:
                continue
            yield {
                "winter": winter.weather.name,
                "evening": f"{day:%m-%d}",
                "fire_out_h": own.fire_out_h[w, e],
                "below_setpoint_h": own.below_h[w, e],
                "hurt_h": own.hurt_h[w, e],
                "looked_at_h": own.run_h[w, e],
                "hurt_without_backup_h": found.alone.hurt_h[w, e],
                "hurt_with_backup_h": found.backed.hurt_h[w, e],
                "hurt_with_daily_helper_h": found.helped.hurt_h[w, e],
            }


def _chance_rows(found: Absence) -> list[Row]:
    shares = chances(found.own)
    return [
        {"evening": f"{day:%m-%d}", **{f"days_{n + 1}": row[e] for n, row in enumerate(shares)}}
        for e, day in enumerate(found.evenings.days)
    ]


def _write(path: Path, rows: Iterable[Mapping[str, Any]]) -> Path:
    lines = list(rows)
    with (
        written_whole(path) as temporary,
        temporary.open("w", encoding="utf-8", newline="") as file,
    ):
        writer = csv.DictWriter(file, list(lines[0]), lineterminator="\n")
        writer.writeheader()
        for line in lines:
            writer.writerow({key: _cell(value) for key, value in line.items()})
    return path


def _cell(value: Any) -> Any:
    if isinstance(value, float | np.floating):
        return f"{value:.6g}" if math.isfinite(value) else ""
    return value
