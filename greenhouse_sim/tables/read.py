"""Read the package's data tables.

Two shapes of table, both CSV with a header line:

- *keyed*: ``key,value,unit,low,high,source,note``, one number a row. Used for
  the defaults and for the heaters (one file a heater under ``heaters/``).
- *rows*: one thing a row (a wood, a cover, a crop), any columns, of which
  ``source`` is always one.
"""

from __future__ import annotations

import csv
import functools
from importlib import resources
from typing import NamedTuple

from greenhouse_sim.errors import TableError


class Row(NamedTuple):
    """One number from the world. ``value`` is a text where the unit is ``text``."""

    key: str
    value: str
    unit: str
    low: str
    high: str
    source: str
    note: str

    @property
    def number(self) -> float:
        """The value as a float, in ``unit``."""
        return float(self.value)


def _lines(name: str) -> list[dict[str, str]]:
    file = resources.files("greenhouse_sim.tables").joinpath(f"{name}.csv")
    try:
        text = file.read_text(encoding="utf-8")
    except (FileNotFoundError, OSError) as problem:
        raise TableError(f"table {name}.csv is missing from the package") from problem
    body = [line for line in text.splitlines() if line.strip() and not line.startswith("#")]
    rows = list(csv.DictReader(body))
    for number, row in enumerate(rows, start=2):
        if None in row or None in row.values():
            raise TableError(f"table {name}.csv, row {number}: wrong number of columns")
        if not (row.get("source") or "").strip():
            raise TableError(f"table {name}.csv, row {number}: no source")
    return rows


@functools.cache
def read_rows(name: str) -> tuple[dict[str, str], ...]:
    """Every row of a table as a mapping from column to text."""
    return tuple(_lines(name))


@functools.cache
def read_keyed(name: str) -> dict[str, Row]:
    """A keyed table as a mapping from key to `Row`."""
    table: dict[str, Row] = {}
    for line in _lines(name):
        row = Row(**{field: line.get(field, "").strip() for field in Row._fields})
        if row.key in table:
            raise TableError(f"table {name}.csv: key {row.key!r} stands twice")
        table[row.key] = row
    return table


@functools.cache
def table_names(folder: str = "") -> tuple[str, ...]:
    """Names of the tables in a folder of the tables, sorted, without ``.csv``."""
    place = resources.files("greenhouse_sim.tables")
    if folder:
        place = place.joinpath(folder)
    prefix = f"{folder}/" if folder else ""
    return tuple(sorted(prefix + f.name[:-4] for f in place.iterdir() if f.name.endswith(".csv")))
