"""The public services that a forecast can be fetched from, read from their table."""

from __future__ import annotations

import functools
from typing import NamedTuple

from greenhouse_sim.tables.read import read_rows


class ForecastService(NamedTuple):
    """A service, and how it wants to be named."""

    name: str
    words: str
    address: str
    attribution: str
    licence: str


@functools.cache
def forecast_services() -> dict[str, ForecastService]:
    """Every service by its name."""
    return {
        row["name"]: ForecastService(
            row["name"], row["words"], row["address"], row["attribution"], row["licence"]
        )
        for row in read_rows("forecast_services")
    }
