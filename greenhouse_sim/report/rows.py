"""Rows with the same keys as a CSV file."""

from __future__ import annotations

import csv
from collections.abc import Mapping, Sequence
from pathlib import Path
from typing import Any

from greenhouse_sim.files import written_whole
from greenhouse_sim.report.json_text import plain


def write_rows(path: Path, rows: Sequence[Mapping[str, Any]]) -> Path:
    """Write a table, whole or not at all; a mapping within a row becomes columns of its own."""
    lines = [flat(row) for row in rows]
    heads = list(dict.fromkeys(key for line in lines for key in line))
    with written_whole(path) as temporary, temporary.open("w", encoding="utf-8", newline="") as f:
        table = csv.DictWriter(f, heads, lineterminator="\n")
        table.writeheader()
        table.writerows(lines)
    return path


def flat(row: Mapping[str, Any]) -> dict[str, Any]:
    """A row without mappings: ``{"a": {"b": 1}}`` becomes ``{"a_b": 1}``."""
    line: dict[str, Any] = {}
    for key, value in plain(row).items():
        if isinstance(value, Mapping):
            line |= {f"{key}_{part}": one for part, one in value.items()}
        else:
            line[key] = value
    return line
