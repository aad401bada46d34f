"""The glossary: what each key of the ledger means, and in which unit it stands."""

from __future__ import annotations

from typing import NamedTuple

from greenhouse_sim.tables.read import read_rows


class Entry(NamedTuple):
    """One key of the ledger."""

    key: str
    unit: str
    """Of the ledger, the JSON and the CSV tables."""
    meaning: str
    us_unit: str
    """In which reports tell it where the reader's units are US customary."""
    source: str


def glossary() -> dict[str, Entry]:
    """Every key of the ledger, in the ledger's order."""
    rows = read_rows("glossary")
    return {row["key"]: Entry(**{field: row[field] for field in Entry._fields}) for row in rows}
