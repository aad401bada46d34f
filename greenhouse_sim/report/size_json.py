"""Sizes as JSON and as a CSV file, SI."""

from __future__ import annotations

import json
from collections.abc import Sequence
from pathlib import Path
from typing import Any

from greenhouse_sim.plans.sizing import Sized, Target, Tried
from greenhouse_sim.report.json_text import SCHEMA, plain
from greenhouse_sim.report.rows import write_rows

Row = dict[str, Any]


def size_json(heater: str, found: Sequence[Sized], target: Target, winters: Sequence[str]) -> str:
    """``{"schema": 1, "size": {...}}``, one line, with a line end."""
    answer = {
        "schema": SCHEMA,
        "size": {
            "heater": heater,
            "winters": winters,
            "target": {
                "night_wakeups": target.wakeups,
                "hours_below_setpoint": target.cold_h,
                "share": target.share,
                "winters": target.winters(len(winters)),
            },
            "parts": [_part(one) for one in found],
        },
    }
    return json.dumps(plain(answer), allow_nan=False, ensure_ascii=False) + "\n"


def _part(one: Sized) -> Row:
    return {
        "part": one.part.name,
        "unit": one.part.si,
        "now": tried_row(one.now),
        "smallest": tried_row(one.smallest),
        "next_smaller": tried_row(one.next_smaller),
        "next_larger": tried_row(one.next_larger),
        "best": tried_row(one.best),
        "larger_never_worse": one.worse is None,
        "worse": [tried_row(tried) for tried in one.worse or ()],
        "standard": [tried_row(tried) for tried in one.standard],
    }


def tried_row(one: Tried | None) -> Row | None:
    """A size and how it did."""
    if one is None:
        return None
    return {
        "size": one.size,
        "winters_kept": one.kept,
        "enough": one.enough,
        "night_wakeups": one.wakeups,
        "hours_below_setpoint": one.cold_h,
        "hours_below_damage": one.damage_h,
    }


def write_sizes(found: Sequence[Sized], out: Path) -> Path:
    """Write ``size.csv``: a row a part and size."""
    rows: list[Row] = []
    for one in found:
        several = [("now", one.now), *(("standard", tried) for tried in one.standard)]
        if one.smallest is not None:
            several.append(("smallest", one.smallest))
        for what, tried in several:
            row = tried_row(tried) or {}
            rows.append({"part": one.part.name, "what": what, "unit": one.part.si, **row})
    return write_rows(out / "size.csv", rows)
