"""A winter reviewed, as CSV: the months, and the causes."""

from __future__ import annotations

from pathlib import Path
from typing import TYPE_CHECKING, Any

from greenhouse_sim.plans.review_runs import QUANTITIES
from greenhouse_sim.report.review_json import month_rows
from greenhouse_sim.report.rows import write_rows

if TYPE_CHECKING:
    from greenhouse_sim.plans.review import Review


def write_review(found: Review, out: Path) -> list[Path]:
    """Tables as CSV, SI: the months, and the causes."""
    causes: list[dict[str, Any]] = []
    for name in QUANTITIES:
        one = found.bridges[name]
        causes.append({"quantity": name, "what": "plan", "value": one.plan})
        causes += [
            {"quantity": name, "what": cause.name, "value": cause.mean, "low": cause.low,
             "high": cause.high}
            for cause in one.causes
        ]  # fmt: skip
        causes += [
            {"quantity": name, "what": "as it was", "value": one.as_it_was},
            {"quantity": name, "what": "not explained", "value": one.rest},
            {"quantity": name, "what": "journal", "value": one.journal},
        ]
    return [
        write_rows(out / "review_months.csv", month_rows(found)),
        write_rows(out / "review_causes.csv", causes),
    ]
