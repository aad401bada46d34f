"""The public services that weather can be fetched from, read from their table."""

from __future__ import annotations

import difflib
import functools
from typing import NamedTuple

from greenhouse_sim.errors import WeatherError
from greenhouse_sim.tables.read import read_rows


class Service(NamedTuple):
    """A service, its years, and how it wants to be named."""

    name: str
    words: str
    address: str
    """Base address; another one may be given for a mirror."""
    first_year: int | None
    """None where it gives one typical year."""
    last_year: int | None
    """None where it goes on."""
    attribution: str
    licence: str


@functools.cache
def services() -> dict[str, Service]:
    """Every service by its name."""

    def year(text: str) -> int | None:
        return int(text) if text else None

    return {
        row["name"]: Service(
            row["name"], row["words"], row["address"], year(row["first_year"]),
            year(row["last_year"]), row["attribution"], row["licence"],
        )
        for row in read_rows("weather_services")
    }  # fmt: skip


def service_named(name: str) -> Service:
    """A service by its name.

    Raises
    ------
    WeatherError
        None has it.
    """
    found = services().get(name)
    if found is None:
        near = difflib.get_close_matches(name, services(), n=1, cutoff=0.4)
        raise WeatherError(
            f"service {name[:40]!r} is unknown; write {near[0] if near else 'one'} "
            f"(known: {', '.join(services())})"
        )
    return found
