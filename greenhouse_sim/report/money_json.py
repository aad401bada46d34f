"""Costs as JSON and as CSV: every line with its quantity, price and source."""

from __future__ import annotations

import csv
import io
import json
from collections.abc import Iterable, Sequence
from pathlib import Path
from typing import Any

from greenhouse_sim.files import written_whole
from greenhouse_sim.plans.cost_lines import Line
from greenhouse_sim.plans.money import Money
from greenhouse_sim.plans.switch import Switch, WinterBest
from greenhouse_sim.report.json_text import SCHEMA, plain

Row = dict[str, Any]


def money_json(found: Money, switches: Sequence[Switch], winters: Sequence[WinterBest]) -> str:
    """``{"schema": 1, "costs": [...], "lines": [...], "switches": [...]}``, with a line end."""
    answer = {
        "schema": SCHEMA,
        "money": {
            "baseline": found.baseline,
            "interest": found.interest,
            "years": found.years,
            "cheapest": found.fit[0].heater if found.fit else None,
            "does_its_work": [one.heater for one in found.doing],
        },
        "costs": cost_rows(found),
        "lines": line_rows(found),
        "switches": [switch_row(one) for one in switches],
        "winters": [one._asdict() for one in winters],
    }
    return json.dumps(plain(answer), allow_nan=False, ensure_ascii=False) + "\n"


def cost_rows(found: Money) -> list[Row]:
    """A row a heater, dollars."""
    held = {one.heater: one for one in found.against}
    rows = []
    for cost in found.costs:
        low, high = cost.range or (None, None)
        one = held.get(cost.heater)
        rows.append(
            {
                "heater": cost.heater,
                "first_cost": cost.first,
                "yearly": cost.yearly,
                "yearly_low": low,
                "yearly_high": high,
                "running": None if cost.unknown else cost.running,
                "own_hours": cost.hours,
                "night_wakeups": cost.wakeups,
                "hours_below_setpoint": cost.cold_hours,
                "winters": cost.winters,
                "winters_crop_lost": cost.lost,
                "no_price_for": "; ".join(cost.unknown),
                "extra_first_cost": one.extra if one else None,
                "yearly_saving": one.saving if one else None,
                "payback_years": one.payback if one else None,
                "discounted_payback_years": one.discounted if one else None,
                "net_present_value": one.net if one else None,
            }
        )
    return rows


def line_row(line: Line) -> Row:
    """One line, traceable."""
    each = line.each
    return {
        "heater": line.heater,
        "kind": line.kind,
        "item": line.item,
        "quantity": line.quantity,
        "unit": line.unit,
        "price": each.value if each else None,
        "price_low": each.low if each else None,
        "price_high": each.high if each else None,
        "life_years": line.life,
        "yearly": line.amount,
        "yearly_low": line.low,
        "yearly_high": line.high,
        "source": each.source if each else "no price is known",
    }


def line_rows(found: Money) -> list[Row]:
    """Every line of every heater."""
    return [line_row(line) for cost in found.costs for line in cost.lines]


def switch_row(one: Switch) -> Row:
    """One unknown."""
    below, above = one.below or (None, None), one.above or (None, None)
    return {
        "unknown": one.what,
        "unit": one.unit,
        "now": one.now,
        "low": one.low,
        "high": one.high,
        "turns_below": below[0],
        "cheaper_below": below[1],
        "turns_above": above[0],
        "cheaper_above": above[1],
        "within_range": one.within,
    }


def write_rows(path: Path, rows: Sequence[Row]) -> Path:
    """A CSV file of rows that share their keys."""
    text = io.StringIO()
    head: Iterable[str] = rows[0].keys() if rows else ()
    pen = csv.writer(text, lineterminator="\n")
    pen.writerow(head)
    for row in rows:
        pen.writerow(["" if value is None else plain(value) for value in row.values()])
    with written_whole(path) as part:
        part.write_text(text.getvalue(), encoding="utf-8")
    return path


def write_money(found: Money, switches: Sequence[Switch], out: Path) -> list[Path]:
    """``costs.csv``, ``cost_lines.csv`` and ``switches.csv``."""
    written = [
        write_rows(out / "costs.csv", cost_rows(found)),
        write_rows(out / "cost_lines.csv", line_rows(found)),
    ]
    if switches:
        rows = [switch_row(one) for one in switches]
        written.append(write_rows(out / "switches.csv", rows))
    return written
