"""No number without a row: every row of every table has a source, a unit and a range."""

from __future__ import annotations

import csv
import math
from pathlib import Path

import pytest

from greenhouse_sim.units import registry
from package_tree import PACKAGE

FILES = sorted((PACKAGE / "tables").rglob("*.csv"))
KEYED = ["key", "value", "unit", "low", "high", "source", "note"]
WORDS = ("text", "none")


def lines(path: Path) -> tuple[list[str], list[list[str]]]:
    """Header and rows of a table."""
    text = path.read_text(encoding="utf-8")
    body = [line for line in text.splitlines() if line.strip() and not line.startswith("#")]
    header, *rows = csv.reader(body, strict=True)
    return header, rows


def short(path: Path) -> str:
    """A table's name for a message."""
    return path.relative_to(PACKAGE / "tables").as_posix()


def test_there_are_tables() -> None:
    assert len(FILES) > 20


@pytest.mark.parametrize("path", FILES, ids=short)
def test_every_row_is_whole_and_has_a_source(path: Path) -> None:
    header, rows = lines(path)
    assert "source" in header
    assert rows
    wrong = []
    for row in rows:
        if len(row) != len(header):
            wrong.append(f"{row[0]}: {len(row)} columns, not {len(header)}")
        elif not row[header.index("source")].strip():
            wrong.append(f"{row[0]}: no source")
    assert not wrong, f"{short(path)}: " + "; ".join(wrong)
    names = [row[0] for row in rows]
    assert len(set(names)) == len(names), f"{short(path)}: a name stands twice"


@pytest.mark.parametrize(
    "path", [path for path in FILES if lines(path)[0][:2] == KEYED[:2]], ids=short
)
def test_every_keyed_row_has_unit_and_range(path: Path) -> None:
    header, rows = lines(path)
    assert header == KEYED
    wrong = []
    for key, value, unit, low, high, *_ in rows:
        if unit in WORDS or value == "none":
            continue
        try:
            registry().parse_units(unit)
            least, number, most = float(low), float(value), float(high)
        except Exception as problem:
            wrong.append(f"{key}: {problem}")
            continue
        if not (least <= number <= most and all(map(math.isfinite, (least, number, most)))):
            wrong.append(f"{key}: {low} <= {value} <= {high} does not hold")
    assert not wrong, f"{short(path)}: " + "; ".join(wrong)


@pytest.mark.parametrize("path", [path for path in FILES if lines(path)[0][0] == "name"], ids=short)
def test_low_is_not_over_high(path: Path) -> None:
    header, rows = lines(path)
    pairs = [(a, b) for a, b in (("low", "high"), ("gross_low", "gross_high")) if a in header]
    wrong = [
        row[0]
        for row in rows
        for a, b in pairs
        if row[header.index(a)] and not float(row[header.index(a)]) <= float(row[header.index(b)])
    ]
    assert not wrong, f"{short(path)}: {wrong}"
