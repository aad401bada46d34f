"""The table of outside checks in tests/CHECKS.md is what the program gives today."""

from __future__ import annotations

import pytest

from outside.checks import TABLE, Check, last_runs, text
from outside.checks_at_hand import at_hand


@pytest.fixture(scope="module")
def rows() -> list[Check]:
    return at_hand()


def test_the_table_is_made_again(rows: list[Check]) -> None:
    """Remedy: `python tests/outside/checks.py`. Figures agree to three digits."""
    kept = TABLE.read_text(encoding="utf-8").splitlines()
    made = text(rows).splitlines()
    assert len(kept) == len(made)
    for row in rows:
        (line,) = [line for line in kept if line.startswith(f"| {row.check} | {row.source} ")]
        cells = [cell.strip() for cell in line.strip("|").split("|")]
        assert cells[2] == row.published
        assert float(cells[3]) == pytest.approx(row.ours, rel=1e-3)
        assert cells[5] == row.verdict


def test_every_miss_has_a_cause(rows: list[Check]) -> None:
    for row in [*rows, *last_runs()[1]]:
        assert row.inside or row.cause, row.check


def test_what_was_run_with_data_stands_in_the_table() -> None:
    kept = TABLE.read_text(encoding="utf-8")
    day, rows = last_runs()
    assert day in kept
    for row in rows:
        assert f"| {row.check} | {row.source} |" in kept
