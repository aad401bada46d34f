"""Season dates as JSON and as a CSV file, SI."""

from __future__ import annotations

import json
from collections.abc import Sequence
from pathlib import Path
from typing import Any

from greenhouse_sim.plans.dates import Choice, Dated
from greenhouse_sim.report.json_text import SCHEMA, plain
from greenhouse_sim.report.rows import write_rows
from greenhouse_sim.report.spread import spread

Row = dict[str, Any]
KEYS = {
    "fuel_kg": "fuel_kg",
    "heat_delivered_kWh": "heat_kWh",
    "night_wakeups": "wakeups",
    "hours_below_setpoint": "cold_h",
    "hours_below_damage_while_heated": "damage_h",
    "lowest_air_while_not_heated_C": "lowest_off_C",
}


def dates_json(
    heater: str, found: Sequence[Dated], winters: Sequence[str], cords_per_kg: float | None
) -> str:
    """``{"schema": 1, "dates": {...}}``, one line, with a line end."""
    rows = []
    for one in found:
        row = choice_row(one.choice)
        for key, name in KEYS.items():
            values = [float(value) for value in getattr(one, name)]
            row[key] = dict(zip(("median", "low", "high"), spread(values)[:3], strict=True))
        if cords_per_kg is not None:
            row["cords"] = {key: kg * cords_per_kg for key, kg in row["fuel_kg"].items()}
        rows.append(row)
    answer = {"heater": heater, "winters": winters, "choices": rows}
    answer["seasons"] = season_rows(found, winters)
    return json.dumps(plain({"schema": SCHEMA, "dates": answer}), ensure_ascii=False) + "\n"


def choice_row(choice: Choice) -> Row:
    """A choice: days as "11-15"."""

    def text(day: tuple[int, int] | None) -> str | None:
        return None if day is None else f"{day[0]:02d}-{day[1]:02d}"

    return {
        "group": choice.group,
        "first": text(choice.first),
        "last": text(choice.last),
        "held_C": choice.held_C,
        "days_without_fire": choice.days,
    }


def season_rows(found: Sequence[Dated], winters: Sequence[str]) -> list[Row]:
    """A row a choice and winter."""
    return [
        choice_row(one.choice)
        | {"winter": winter}
        | {key: float(getattr(one, name)[number]) for key, name in KEYS.items()}
        for one in found
        for number, winter in enumerate(winters)
    ]


def write_dates(found: Sequence[Dated], winters: Sequence[str], out: Path) -> Path:
    """Write ``dates.csv``."""
    return write_rows(out / "dates.csv", season_rows(found, winters))
