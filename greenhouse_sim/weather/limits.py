"""What weather can be: the limits table, read once."""

from __future__ import annotations

import functools
from typing import NamedTuple

from greenhouse_sim.tables.read import read_keyed, read_rows


class Limit(NamedTuple):
    """The possible values of one quantity, in its unit."""

    words: str
    unit: str
    low: float
    high: float


@functools.cache
def limits() -> dict[str, Limit]:
    """The limits table as a mapping from quantity to `Limit`."""
    return {
        row["key"]: Limit(row["words"], row["unit"], float(row["lowest"]), float(row["highest"]))
        for row in read_rows("weather_limits")
    }


def number(key: str) -> float:
    """A number of the weather table, in the table's unit."""
    return read_keyed("weather")[key].number
