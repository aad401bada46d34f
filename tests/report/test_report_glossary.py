"""The report's glossary is the one glossary of the ledger, word for word."""

from __future__ import annotations

import csv
from types import SimpleNamespace
from typing import Any

import pytest

from greenhouse_sim.report.page.parts import Sheet
from greenhouse_sim.report.page.terms import terms
from greenhouse_sim.report.words import Units
from package_tree import PACKAGE


@pytest.mark.parametrize("us", [True, False])
def test_the_page_and_the_table_are_in_step(us: bool) -> None:
    with (PACKAGE / "tables" / "glossary.csv").open(encoding="utf-8", newline="") as file:
        wanted = [
            (row["key"].replace("_", " "), row["us_unit" if us else "unit"], row["unit"],
             row["meaning"])
            for row in csv.DictReader(file)
        ]  # fmt: skip
    found: Any = SimpleNamespace(units=Units(us))
    sheets = [block for block in terms(found).blocks if isinstance(block, Sheet)]
    shown = [tuple(cell.text for cell in line.cells) for line in sheets[0].lines]
    assert shown == wanted
    assert len(shown) > 40
