"""The catalogue of heaters: one data table a heater, read by name.

Adding a heater is adding a file to ``tables/heaters``. A row a heater has no use for
(a tank for a stove) is left out, and reads as nothing.
"""

from __future__ import annotations

import difflib
import functools
import math
from collections.abc import Mapping
from typing import NamedTuple

from greenhouse_sim.errors import ScenarioError, TableError
from greenhouse_sim.heater.numbers import LAWS
from greenhouse_sim.tables.read import Row, read_keyed, table_names
from greenhouse_sim.units import from_si

FIXED = ("name", "law", "fuel")
"""Keys that make a heater what it is: a scenario cannot override them."""
TEMPERATURES = ("coil_above", "fire_below", "fire_above", "store_limit", "store_start")

NOTHING = {"store_start": 10.0, "store_limit": 1.0e6}
"""What a missing row reads as, where that is not 0."""

MOST_KEPT = 256
"""Names whose heater is kept as it was found: every season asks for its own again."""

Overrides = Mapping[str, float | str]


class Choice(NamedTuple):
    """A heater of the catalogue with a scenario's own values over it."""

    name: str
    table: dict[str, Row]
    overrides: Overrides

    def text(self, key: str) -> str:
        """A text of the table, or the scenario's own."""
        return str(self.overrides.get(key, self.table[key].value))

    def number(self, key: str, unit: str = "1") -> float:
        """A number in ``unit`` (SI); 0 (or `NOTHING`) for a row that the heater does not have."""
        row = self.table.get(key)
        if row is None:
            return NOTHING.get(key, 0.0)
        own = self.overrides.get(key)
        return _number(row.value if own is None else own, row.unit, unit)


@functools.lru_cache(maxsize=4096)
def _number(value: float | str, unit: str, si: str) -> float:
    """A number of ``unit`` in ``si``; every season asks for its heater's anew."""
    return float(value) * (1.0 if unit == si else from_si(1.0, unit, si))


@functools.cache
def _files() -> dict[str, str]:
    """Heater name to table name."""
    return {read_keyed(file)["name"].value: file for file in table_names("heaters")}


def heater_names() -> tuple[str, ...]:
    """Names of the catalogue, sorted, as a scenario writes them ("wood stove, large")."""
    return tuple(sorted(_files()))


@functools.lru_cache(maxsize=MOST_KEPT)
def heater_table(name: str, where: str = "[heater] kind") -> dict[str, Row]:
    """The rows of one heater, by key.

    Raises
    ------
    ScenarioError
        No heater has this name; the message gives the nearest.
    """
    wanted = " ".join(name.lower().split())
    if wanted in _files():
        return read_keyed(_files()[wanted])
    near = difflib.get_close_matches(wanted, heater_names(), n=3, cutoff=0.5)
    shown = near or list(heater_names())
    raise ScenarioError(
        f"{where}: no heater is called {name!r}; write "
        + " or ".join(f'"{known}"' for known in shown)
    )


def choose(name: str, overrides: Overrides | None = None, where: str = "[heater]") -> Choice:
    """A heater with a scenario's overrides, each checked.

    Parameters
    ----------
    name
        A name of the catalogue.
    overrides
        Key of the heater's table to a value in the unit of its row (a text for a text row).
    where
        The section to name in a message.

    Raises
    ------
    ScenarioError
        An unknown heater or key, or a value that cannot be.
    """
    table = heater_table(name, f"{where} kind")
    own = dict(overrides or {})
    for key, value in own.items():
        _check_override(table, key, value, where)
    choice = Choice(table["name"].value, table, own)
    _check_whole(choice, where)
    return choice


def _check_override(table: dict[str, Row], key: str, value: float | str, where: str) -> None:
    known = [name for name in table if name not in FIXED]
    if key not in known:
        near = difflib.get_close_matches(key, known, n=1, cutoff=0.4)
        hint = f"did you mean {near[0]}?" if near else "its keys are " + ", ".join(known)
        raise ScenarioError(f"{where}: {table['name'].value} has no key {key!r}; {hint}")
    row = table[key]
    example = f"{row.value} {row.unit}".removesuffix(" 1").removesuffix(" text")
    if row.unit == "text":
        if not isinstance(value, str):
            raise ScenarioError(
                f'{where} {key}: {value!r} is not a text; write one such as "{row.value}"'
            )
        return
    if not isinstance(value, int | float) or not math.isfinite(value):
        raise ScenarioError(
            f'{where} {key}: {value!r} is not a number; write one such as "{example}"'
        )
    if key not in TEMPERATURES and value < 0.0:
        raise ScenarioError(f'{where} {key}: {value:g} is below 0; write one such as "{example}"')
    share = row.unit == "1" and not key.startswith("efficiency")
    if share and value > 1.0:
        raise ScenarioError(
            f"{where} {key}: {value:g} is over 1; write a share such as {row.value}"
        )


def _check_whole(choice: Choice, where: str) -> None:
    """Values that must fit together."""
    most, least = choice.number("output_max", "W"), choice.number("output_min", "W")
    if "output_max" in choice.table and most <= 0.0:
        raise ScenarioError(f"{where} output_max: a heater that gives nothing; write its output")
    if least > most and "output_max" in choice.table:
        raise ScenarioError(
            f"{where} output_min: {least:g} W is above output_max, {most:g} W; write both"
        )
    if choice.number("fire_below", "degC") > choice.number("fire_above", "degC"):
        raise ScenarioError(f"{where} fire_below: above fire_above; write the lower temperature")
    if choice.number("store_limit", "degC") < choice.number("fire_above", "degC"):
        raise ScenarioError(f"{where} store_limit: below fire_above; write the higher temperature")


def burns(name: str) -> str:
    """Kind of fuel a heater burns: wood, pellets, propane, electricity, compost or none."""
    return heater_table(name)["fuel"].value


class Smoke(NamedTuple):
    """Particulates for each kilogram of *oven-dry* fuel, g/kg, with its band."""

    value: float
    low: float
    high: float


def emission_g_per_kg(name: str) -> Smoke:
    """Fine particulates of a heater, g for each kg of oven-dry fuel; the band is wide."""
    row = heater_table(name)["particulates"]
    return Smoke(row.number, float(row.low), float(row.high))


class Labour(NamedTuple):
    """Minutes of work, and the share of the burning time that somebody must stay by."""

    load_min: float
    light_min: float
    night_min: float
    ash_min_kg: float
    watch_share: float
    build_min: float
    """Once a season: building the pile."""


def labour(name: str, overrides: Overrides | None = None) -> Labour:
    """The work that a heater asks for."""
    choice = choose(name, overrides)
    keys = ("load_time", "light_time", "night_time")
    minutes = [choice.number(key, "minute") for key in keys]
    return Labour(
        minutes[0],
        minutes[1],
        minutes[2],
        choice.number("ash_time", "minute/kg"),
        choice.number("watch_share"),
        choice.number("build_time", "minute"),
    )


def law_of(choice: Choice) -> str:
    """The burn law of a heater, checked against the kernel's."""
    law = choice.text("law")
    if law not in LAWS:
        raise TableError(f"heater {choice.name}: law {law!r} is unknown; write one of {list(LAWS)}")
    return law
