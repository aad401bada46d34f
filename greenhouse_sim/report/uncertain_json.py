"""Draws and rankings of unknowns as JSON, and every draw as a table."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from pathlib import Path
from typing import Any

import numpy as np

from greenhouse_sim.plans.uncertain import SEED, Ranking, Uncertain
from greenhouse_sim.plans.unknowns import WINTER, Unknown
from greenhouse_sim.report.json_text import plain
from greenhouse_sim.report.rows import write_rows
from greenhouse_sim.season.ledger import numeric_keys

PERCENTILES = {"low": 10.0, "median": 50.0, "high": 90.0}


def uncertain_answer(found: Sequence[Uncertain]) -> dict[str, Any]:
    """What ``--json`` holds beside seasons and their summary.

    For each heater: ``unknowns`` with their ranges, ``draws`` (how many seasons ``results`` is of),
    ``results`` with median, 10th and 90th percentile of every numeric key of the ledger, and
    ``ranking``: for ``fuel`` and ``hours_below_setpoint`` the indices of each unknown, ``within``
    being the total index of what a winter leaves.
    """
    return {"seed": SEED, "heaters": [plain(_heater(one)) for one in found]}


def _heater(found: Uncertain) -> dict[str, Any]:
    return {
        "heater": found.heater,
        "draws": len(found.rows),
        "unknowns": [_unknown(one) for one in found.unknowns],
        "results": {key: _spread(found, key) for key in numeric_keys(found.rows[0])},
        "ranking": {
            name: None if one is None else _ranking(found, one)
            for name, one in found.ranking.items()
        },
    }


def _unknown(one: Unknown) -> dict[str, Any]:
    about = {"key": one.key, "name": one.name, "source": one.source}
    if one.key == WINTER:
        return about | {"winters": one.high}
    return about | {
        "low": one.low, "likely": one.likely, "high": one.high, "factor": one.factor
    }  # fmt: skip


def _spread(found: Uncertain, key: str) -> dict[str, float | None]:
    values = [row[key] for row in found.rows]
    if any(value is None for value in values):
        return dict.fromkeys(PERCENTILES)
    cuts = np.percentile(np.asarray(values, dtype=float), list(PERCENTILES.values()))
    return dict(zip(PERCENTILES, map(float, cuts), strict=True))


def _ranking(found: Uncertain, one: Ranking) -> list[dict[str, Any]]:
    rows = []
    for i, unknown in enumerate(found.unknowns):
        row: dict[str, Any] = {"key": unknown.key}
        for name in ("first", "total", "within"):
            part = getattr(one.indices, name)
            row[name] = {"value": part.value[i], "low": part.low[i], "high": part.high[i]}
        row["largest_in"] = one.indices.on_top[i]
        row["low_to_high"] = None if unknown.key == WINTER else one.effect[i]
        rows.append(row)
    return rows


def write_draws(found: Uncertain, path: Path) -> Path:
    """Every draw as a row: the unknowns' values, then the ledger."""
    rows: list[Mapping[str, Any]] = []
    for values, row in zip(found.values, found.rows, strict=True):
        drawn = {
            one.key: value
            for one, value in zip(found.unknowns, values, strict=True)
            if one.key != WINTER
        }
        rows.append({**drawn, **row})
    return write_rows(path, rows)
