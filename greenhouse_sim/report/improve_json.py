"""Improvements as JSON and CSV."""

from __future__ import annotations

import json
from pathlib import Path
from typing import Any

from greenhouse_sim.plans.improve import Improved
from greenhouse_sim.plans.invest import payback
from greenhouse_sim.plans.outcome import Outcome
from greenhouse_sim.plans.package import Found
from greenhouse_sim.report.json_text import SCHEMA, plain
from greenhouse_sim.report.money_json import write_rows

Row = dict[str, Any]


def improve_json(found: Improved, result: Found | None) -> str:
    """``{"schema": 1, "alone": [...], "order": [...], "search": {...}}``, with a line end."""
    answer: Row = {
        "schema": SCHEMA,
        "winters": list(found.winters),
        "tried_in": [found.winters[place] for place in found.places],
        "as_it_is": out_row(found.base),
        "alone": alone_rows(found),
        "order": order_rows(found),
        "left_out": [one._asdict() for one in found.left_out],
        "search": None if result is None else search_row(result),
    }
    return json.dumps(plain(answer), allow_nan=False, ensure_ascii=False) + "\n"


def out_row(out: Outcome) -> Row:
    """One package, means over winters."""
    return {
        "measures": "; ".join(out.names),
        "cords": out.cords,
        "fuel_kg": out.fuel_kg,
        "fuel_energy_kWh": out.fuel_kWh,
        "heat_need_kWh": out.heat_kWh,
        "night_wakeups": out.wakeups,
        "hours_below_setpoint": out.cold_hours,
        "hours_below_damage": out.damage_hours,
        "winters_crop_lost": out.lost,
        "own_hours": out.hours,
        "first_cost": out.first,
        "running": out.running,
        "measures_yearly": out.measures_yearly,
        "yearly": out.yearly,
    }


def alone_rows(found: Improved) -> list[Row]:
    """A row a measure."""
    rows = []
    for one, out in zip(found.fit, found.alone, strict=True):
        saved = found.base.spent - out.spent
        rows.append(
            out_row(out)
            | {
                "cost_low": one.cost.low,
                "cost_high": one.cost.high,
                "life_years": one.life,
                "yearly_saving": found.base.yearly - out.yearly,
                "payback_years": payback(one.cost.value, saved),
                "source": one.source,
            }
        )
    return rows


def order_rows(found: Improved) -> list[Row]:
    """A row a step, with all measures so far."""
    rows, before = [], found.base_few
    for step in found.order:
        one = found.farm.fit[step.name]
        saved = before.spent - step.outcome.spent
        rows.append(
            {"step": step.name}
            | out_row(step.outcome)
            | {"yearly_saving": step.saving, "payback_years": payback(one.cost.value, saved)}
        )
        before = step.outcome
    return rows


def search_row(result: Found) -> Row:
    """The search and its front."""
    return {
        "targets": result.targets._asdict(),
        "met": result.best is not None,
        "package": out_row(result.nearest),
        "package_in_all_winters": out_row(result.everywhere),
        "packages_run": result.run,
        "packages_possible": result.possible,
        "contradictions": result.contradicted,
        "contradicted_by": result.by,
        "front_is_whole": result.whole,
        "front": [out_row(one) for one in result.front],
    }


def write_improve(found: Improved, result: Found | None, out: Path) -> list[Path]:
    """``improvements.csv``, ``order.csv`` and ``packages.csv``."""
    written = [write_rows(out / "improvements.csv", alone_rows(found))]
    if found.order:
        written.append(write_rows(out / "order.csv", order_rows(found)))
    packages = [out_row(one) for one in found.farm.known(found.places)]
    return [*written, write_rows(out / "packages.csv", packages)]
