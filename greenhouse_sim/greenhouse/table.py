"""Look up single numbers of the envelope and soil tables."""

from __future__ import annotations

import functools
from collections.abc import Mapping

from greenhouse_sim.errors import ScenarioError
from greenhouse_sim.tables.read import read_keyed, read_rows


@functools.cache
def envelope(key: str) -> float:
    """A number of the envelope table, in the unit that its row states."""
    return read_keyed("envelope")[key].number


@functools.cache
def soil(key: str) -> float:
    """A number of the soil table, in the unit that its row states."""
    return read_keyed("soil")[key].number


def named_row(table: str, name: str, what: str) -> Mapping[str, str]:
    """The row of a table with this name.

    Raises
    ------
    ScenarioError
        No row has the name; the message lists those that exist.
    """
    rows = {row["name"]: row for row in read_rows(table)}
    if name not in rows:
        raise ScenarioError(f"{what}: {name!r} is not known; write one of {', '.join(rows)}")
    return rows[name]
