"""A winter reviewed, as JSON: SI, fuel in cords or kilograms as ``fuel_unit`` says."""

from __future__ import annotations

import json
from typing import TYPE_CHECKING, Any

from greenhouse_sim.plans.review_runs import ORDER, QUANTITIES
from greenhouse_sim.report.json_text import SCHEMA, plain
from greenhouse_sim.report.review_toml import next_lines

if TYPE_CHECKING:
    from greenhouse_sim.plans.review import Review
    from greenhouse_sim.plans.review_causes import Bridge
    from greenhouse_sim.plans.review_runs import Months


def review_json(found: Review, weather_line: str | None) -> str:
    """The review in one line."""
    span = found.noted.span
    row: dict[str, Any] = {
        "winter": span.winter,
        "first": span.first.isoformat(),
        "last": span.last.isoformat(),
        "heater": found.scenario.heater.kind,
        "fuel_unit": "cord" if found.fuel.cord_kg else "kg",
        "plan_winters": found.winters,
        "months": month_rows(found),
        "totals": {name: _bridge(found, name) for name in QUANTITIES},
        "causes": {
            cause: "differs" if cause in found.causes
            else "as planned" if cause in found.known else "not known"
            for cause in ORDER
        },
        "as_it_was": _as_it_was(found),
        "told_by": found.noted.basis,
        "work_noted_share": found.noted.noted_share,
        "cut_h": found.noted.cut_h,
        "silences": [
            {"first": one.span.first.isoformat(), "last": one.span.last.isoformat(),
             "fuel": one.fuel}
            for one in found.silences
        ],
        "readings": None if found.readings is None else found.readings._asdict(),
        "next_year": [
            {"section": one.section, "key": one.key, "toml": one.toml, "why": one.why,
             "sure": one.sure}
            for one in next_lines(found, weather_line)
        ],
        "next_plan": {name: band._asdict() for name, band in found.next_plan.items()},
    }  # fmt: skip
    return json.dumps({"schema": SCHEMA, "review": plain(row)}, allow_nan=False) + "\n"


def month_rows(found: Review) -> list[dict[str, Any]]:
    """A row a month: what the journal, the plan and the season as it was say."""
    return [
        {
            "month": month,
            "journal": _month(found.noted.months, place)
            | {"carried": float(found.noted.carried[place])},
            "plan": _month(found.plan, place),
            "as_it_was": _month(found.was, place),
        }
        for place, month in enumerate(found.noted.span.months)
    ]


def _month(months: Months, place: int) -> dict[str, float]:
    return {name: float(values[place]) for name, values in months._asdict().items()}


def _bridge(found: Review, name: str) -> dict[str, Any]:
    one: Bridge = found.bridges[name]
    return {
        "plan": found.plan_totals[name]._asdict(),
        "causes": {
            cause.name: {"mean": cause.mean, "low": cause.low, "high": cause.high}
            for cause in one.causes
        },
        "as_it_was": one.as_it_was,
        "not_explained": one.rest,
        "journal": one.journal,
        "difference": one.difference,
    }


def _as_it_was(found: Review) -> dict[str, Any]:
    habit = found.habit
    return {
        "weather": None if found.weather is None else found.weather.name,
        "outdoor_mean_C": None if found.outdoor_C is None else found.outdoor_C[1],
        "outdoor_mean_plan_C": None if found.outdoor_C is None else found.outdoor_C[0],
        "wood": found.wood.fuel.name,
        "moisture": found.wood.fuel.moisture,
        "wood_known_from": found.wood.source,
        "house": dict(found.house.changes),
        "house_known_from": found.house.source,
        "habit": dict(habit.changes),
        "loads_by_hour": habit.hours,
        "loads_apart_h": {"plan": habit.apart_h[0], "as_it_was": habit.apart_h[1]},
        "nights_up": dict(zip(("journal", "plan", "as_it_was"), habit.nights, strict=True)),
    }
