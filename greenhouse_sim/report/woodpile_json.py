"""The woodpile as JSON and as CSV files, SI."""

from __future__ import annotations

import csv
import json
from collections.abc import Mapping, Sequence
from pathlib import Path
from typing import TYPE_CHECKING, Any

from greenhouse_sim.files import written_whole
from greenhouse_sim.plans.labour import ORDER, rates
from greenhouse_sim.plans.other_wood import Ratio
from greenhouse_sim.plans.pile import Lasts, months
from greenhouse_sim.plans.quantiles import covered
from greenhouse_sim.plans.woodpile import Ready, Woodpile, cost, pellets
from greenhouse_sim.report.json_text import SCHEMA, plain
from greenhouse_sim.report.spread import spread
from greenhouse_sim.tables.read import read_keyed
from greenhouse_sim.units import CORD_M3

if TYPE_CHECKING:
    from greenhouse_sim.scenario import Scenario

Row = dict[str, Any]


def woodpile_json(found: Woodpile, scenario: Scenario) -> str:
    """``{"schema": 1, "woodpile": {...}, "labour": {...}}``, one line, with a line end."""
    answer = {
        "schema": SCHEMA,
        "woodpile": {
            "heater": found.heater,
            "fuel": found.fuel.name,
            "moisture": found.fuel.moisture,
            "winters": [season.winter for season in found.seasons],
            "ready": [_ready(one, found) for one in found.ready],
            "by_month": month_rows(found),
            "midwinter": _rule(found),
            "woods": wood_rows(found),
            "moistures": wet_rows(found),
            "compost": found.compost._asdict() if found.compost else None,
            "rest": _rest(found.rest, found),
        },
        "labour": {
            "winters": [_work(found, number) for number in range(len(found.work))],
            "rates": rate_rows(scenario),
        },
    }
    return json.dumps(plain(answer), allow_nan=False, ensure_ascii=False) + "\n"


def amount(kg: float, found: Woodpile) -> Row:
    """A mass with its volume: kg, and stacked m³ and cords of wood."""
    dense = found.fuel.stacked_kg_m3
    row: Row = {"kg": kg}
    if dense:
        row |= {"stacked_m3": kg / dense, "cords": kg / dense / CORD_M3}
    return row


def _ready(one: Ready, found: Woodpile) -> Row:
    mix = found.mix(one.cover.amount)
    row = {
        "share": one.cover.share,
        "winters_covered": one.cover.winters,
        **amount(one.cover.amount, found),
        "half_left_on": f"{one.half:%m-%d}",
        "own_kg": mix.own_kg,
        "to_buy_kg": mix.buy_kg,
        "to_pay": mix.cost,
    }
    if one.stack is not None:
        row |= one.stack._asdict()
    if found.kind == "pellets":
        row |= pellets(one.cover.amount)._asdict()
    return row


def ready_rows(found: Woodpile) -> list[Row]:
    """A row a share of winters."""
    return [_ready(one, found) for one in found.ready]


def month_rows(found: Woodpile) -> list[Row]:
    """A row a month: burnt in it, and at its end left of each pile, and what must be left; kg."""
    burnt = found.used.by_month()
    rows = []
    for name, _, after in months(found.used.days):
        month = spread([float(kg) for kg in burnt[name]])
        row: Row = {
            "month": name[5:],
            "burnt_kg": month.median,
            "burnt_low_kg": month.low if month.winters > 1 else None,
            "burnt_high_kg": month.high if month.winters > 1 else None,
        }
        for one in found.ready:
            label = one.cover.name.replace(" %", "_percent")
            row[f"left_of_{label}_pile_kg"] = float(one.left_kg[after])
            row[f"must_be_left_{label}_kg"] = float(one.guide_kg[after])
        rows.append(row)
    return rows


def day_rows(found: Woodpile) -> list[Row]:
    """A row a day: what must be left that morning for each share of winters, kg."""
    return [
        {"day": f"{day:%m-%d}"}
        | {
            f"must_be_left_{one.cover.name.replace(' %', '_percent')}_kg": float(one.guide_kg[n])
            for one in found.ready
        }
        for n, day in enumerate(found.used.days)
    ]


def wood_rows(found: Woodpile) -> list[Row]:
    """A row a wood: its volume over that of the scenario's own, and when to cut it."""
    first = found.used.days[0]
    rows = []
    for one in found.woods:
        row: Row = {
            "species": one.species,
            **_over(one.ratio),
            "drying_data": one.cut.effective_days is not None,
            "effective_drying_days": one.cut.effective_days,
        }
        for name, when in (
            ("safe", one.cut.early), ("likely", one.cut.day), ("quickest", one.cut.late),
        ):  # fmt: skip
            row[f"split_by_{name}"] = None if when is None else f"{when:%m-%d}"
            row[f"days_before_season_{name}"] = None if when is None else (first - when).days
        rows.append(row)
    return rows


def _over(ratio: Ratio) -> Row:
    return {
        "volume_over_own": ratio.volume,
        "heat_over_own": ratio.heat,
        "volume_over_own_for_the_same_heat": ratio.same_heat,
    }


def wet_rows(found: Woodpile) -> list[Row]:
    """A row a moisture of the scenario's wood."""
    return [
        {"moisture": one.moisture, **_over(one.ratio), "creosote": one.creosote}
        for one in found.wet
    ]


def _rule(found: Woodpile) -> Row | None:
    rule = found.rule
    if rule is None:
        return None
    row = rule._asdict()
    if len(found.seasons) == 1:
        row |= {"low": None, "high": None}
    return row | {"day": f"{rule.day:%m-%d}"}


def _rest(rest: Lasts | None, found: Woodpile) -> Row | None:
    if rest is None:
        return None
    order = [
        {"share": one.share, **amount(one.amount, found)} for one in covered(list(rest.short_kg))
    ]
    return {
        "on": f"{rest.day:%m-%d}",
        "left": amount(rest.left_kg, found),
        "until": [None if day is None else f"{day:%m-%d}" for day in rest.until],
        "short_kg": list(rest.short_kg),
        "order": order,
        "to_pay": [cost(row["kg"], found.fuel, found.price) for row in order],
    }


def _work(found: Woodpile, number: int) -> Row:
    one = found.work[number]
    return {
        "winter": one.winter,
        "hours": one.total,
        "peak_week_from": f"{one.peak.first:%m-%d}",
        "peak_week_hours": one.peak.hours,
        "by_task": {task: one.hours(task) for task in one.tasks},
        "by_task_and_month": {task: one.by_month(task) for task in one.tasks},
    }


def labour_rows(found: Woodpile) -> list[Row]:
    """A row a winter and task: hours before the season, in each month, after it, in all."""
    return [
        {"winter": one.winter, "task": task}
        | {name[5:] if "-" in name else name: h for name, h in one.by_month(task).items()}
        | {"all": one.hours(task)}
        for one in found.work
        for task in ORDER
        if any(task in other.tasks for other in found.work)
    ]


def rate_rows(scenario: Scenario) -> list[Row]:
    """A row a rate of work in force, with where it comes from."""
    table = read_keyed("labour")
    return [
        {
            "rate": key,
            "value": value,
            "unit": table[key].unit,
            "source": table[key].source if value == table[key].number else "the scenario's own",
            "note": table[key].note,
        }
        for key, value in rates(scenario).items()
    ]


def write_woodpile_tables(found: Woodpile, scenario: Scenario, out: Path) -> list[Path]:
    """Write the tables of the woodpile and of the work as CSV, SI.

    Returns
    -------
    list of Path
        The files written.
    """
    tables = {
        "woodpile": ready_rows(found),
        "woodpile_months": month_rows(found) if found.ready else [],
        "woodpile_days": day_rows(found) if found.ready else [],
        "woodpile_woods": wood_rows(found),
        "woodpile_moistures": wet_rows(found),
        "labour": labour_rows(found),
        "labour_rates": rate_rows(scenario),
    }
    return [_write(out / f"{name}.csv", rows) for name, rows in tables.items() if rows]


def _write(path: Path, rows: Sequence[Mapping[str, Any]]) -> Path:
    heads = list(dict.fromkeys(key for row in rows for key in row))
    with (
        written_whole(path) as temporary,
        temporary.open("w", encoding="utf-8", newline="") as file,
    ):
        table = csv.DictWriter(file, heads, lineterminator="\n")
        table.writeheader()
        table.writerows(plain(list(rows)))
    return path
