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
    identity: str
    """What it asks of who asks, in words; empty where nothing."""


@functools.cache
def forecast_services() -> dict[str, ForecastService]:
    """Every service by its name."""
    return {
        row["name"]: ForecastService(
            row["name"],
            row["words"],
            row["address"],
            row["attribution"],
            row["licence"],
            row["identity"],
        )
        for row in read_rows("forecast_services")
    }
