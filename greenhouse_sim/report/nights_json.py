"""Nights as JSON and as CSV files, SI."""

from __future__ import annotations

import json
from pathlib import Path
from typing import Any

from greenhouse_sim.plans.night_log import Night
from greenhouse_sim.plans.nights import KEYS, Nights
from greenhouse_sim.report.json_text import SCHEMA, plain
from greenhouse_sim.report.nights_table import over_winters
from greenhouse_sim.report.rows import write_rows

Row = dict[str, Any]


def nights_json(found: Nights) -> str:
    """``{"schema": 1, "nights": {...}}``, one line, with a line end."""
    edge = found.edge
    answer = {
        "schema": SCHEMA,
        "nights": {
            "heater": found.heater,
            "winters": found.winters,
            "summary": summary_rows(found),
            "seasons": season_rows(found),
            "design": {
                "temperature_C": found.design.night.temperature_C,
                "inside_C": found.design.night.inside_C,
                "need_W": found.need_W,
                "loads": load_rows(found),
            },
            "coldest_night_without_getting_up": _night(edge.coldest_unwoken),
            "coldest_night_without_visit_or_cold": _night(edge.coldest_unvisited),
            "mildest_night_with_getting_up": _night(edge.mildest_woken),
            "half_of_nights_need_somebody_below_C": edge.half_C,
            "log": [_night(night) for night in found.log],
        },
    }
    return json.dumps(plain(answer), allow_nan=False, ensure_ascii=False) + "\n"


def summary_rows(found: Nights) -> list[Row]:
    """A row a heater and rule: middle, 10th and 90th percentile over winters."""
    rows = []
    for one in found.outcomes:
        row: Row = {"heater": one.heater, **one.rule._asdict(), "winters": len(one.winters)}
        for key in KEYS:
            value = over_winters(one, key)
            row[key] = {"median": value.median, "low": value.low, "high": value.high}
        rows.append(row)
    return rows


def season_rows(found: Nights) -> list[Row]:
    """A row a heater, rule and winter."""
    return [
        {"heater": one.heater, **one.rule._asdict(), "winter": winter}
        | {key: float(one.of(key)[number]) for key in KEYS}
        for one in found.outcomes
        for number, winter in enumerate(one.winters)
    ]


def load_rows(found: Nights) -> list[Row]:
    """A row a heater: a full load on the design night."""
    return [{"heater": heater, **load._asdict()} for heater, load in found.loads.items()]


def _night(night: Night | None) -> Row | None:
    if night is None:
        return None
    return night._asdict() | {"evening": night.evening.isoformat()}


def write_nights(found: Nights, out: Path) -> list[Path]:
    """Write ``nights.csv``, ``nights_log.csv`` and ``nights_loads.csv``."""
    log = [row for night in found.log if (row := _night(night)) is not None]
    return [
        write_rows(out / "nights.csv", season_rows(found)),
        write_rows(out / "nights_log.csv", log),
        write_rows(out / "nights_loads.csv", load_rows(found)),
    ]
