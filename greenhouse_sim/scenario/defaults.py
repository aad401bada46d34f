"""Values for what a scenario leaves out, from the table of defaults."""

from __future__ import annotations

import functools
from collections.abc import Container, Iterator, Mapping
from typing import Any

from greenhouse_sim.scenario.copies import copy_of
from greenhouse_sim.scenario.lines import Path
from greenhouse_sim.tables import Row, read_keyed

SECTIONS = ("site", "greenhouse", "crop", "heater", "fuel", "routine", "labour", "money")
"""Sections that are always there; [backup] is not."""

Keys = tuple[str, ...]

PARTS: dict[Path, tuple[str, ...]] = {
    ("greenhouse", "cover"): ("roof", "sides", "ends"),
    ("crop", "setpoint"): ("day", "night"),
    ("routine", "up"): ("weekday", "weekend"),
    ("routine", "bed"): ("weekday", "weekend"),
}
"""Keys whose single value stands for all of these parts."""


def fill(
    raw: Mapping[str, Any], besides: Container[str] = ()
) -> tuple[dict[str, Any], dict[Path, Row]]:
    """A scenario's mapping with every default in place, and which keys those are.

    A key of a table that is not there (a north wall) gets no default; a key of
    each row of a list is written ``greenhouse.mass[].in_sun`` in the table.

    Parameters
    ----------
    raw
        The sections and keys as they were written.
    besides
        Sections that are left out here and get no defaults.
    """
    filled = copy_of(dict(raw))
    origins: dict[Path, Row] = {}
    for section in SECTIONS:
        if section not in besides:
            filled.setdefault(section, {})
    if "greenhouse" in filled:
        _lean_to_has_a_wall(filled)
    rows = read_keyed("defaults")
    for (section, table), those in _outer_first().items():
        if section not in besides:
            for node, path in _tables(filled, (), table, rows):
                for key, row in those:
                    _place(node, path, key, row, origins)
    return filled, origins


@functools.cache
def _outer_first() -> dict[tuple[str, Keys], list[tuple[str, Row]]]:
    """Section and keys of each table that has defaults, to its rows; a table before those in it."""
    tables: dict[tuple[str, Keys], list[tuple[str, Row]]] = {}
    for row in sorted(read_keyed("defaults").values(), key=lambda row: row.key.count(".")):
        keys = row.key.split(".")
        tables.setdefault((keys[0], tuple(keys[:-1])), []).append((keys[-1], row))
    return tables


def _lean_to_has_a_wall(filled: dict[str, Any]) -> None:
    house = filled["greenhouse"]
    if isinstance(house, dict) and house.get("shape") == "lean-to":
        house.setdefault("wall", {})


def _tables(
    node: Any, path: Path, keys: Keys, rows: Mapping[str, Row]
) -> Iterator[tuple[dict[str, Any], Path]]:
    """Every table that a dotted key leads to; a table without a default of its own is made."""
    if not isinstance(node, dict):
        return
    if not keys:
        yield node, path
        return
    key, rest = keys[0], keys[1:]
    if key.endswith("[]"):
        items = node.get(key[:-2])
        for number, item in enumerate(items if isinstance(items, (list, tuple)) else ()):
            yield from _tables(item, (*path, key[:-2], number), rest, rows)
        return
    here = (*path, key)
    if ".".join(map(str, here)) not in rows and here != ("greenhouse", "wall"):
        node.setdefault(key, {})
    yield from _tables(node.get(key), here, rest, rows)


def _place(node: dict[str, Any], path: Path, key: str, row: Row, origins: dict[Path, Row]) -> None:
    here = (*path, key)
    if key not in node:
        if key == "absorptance" and node.get("opaque") is True:
            return  # an opaque part states its own colour
        node[key] = default_value(row)
        origins[here] = row
    elif isinstance(node[key], dict):
        for part in PARTS.get(here, ()):
            if part not in node[key]:
                node[key][part] = default_value(row)
                origins[(*here, part)] = row


def default_value(row: Row) -> Any:
    """A default as it would stand in the file."""
    if row.unit == "text":
        return {"true": True, "false": False}.get(row.value, row.value)
    if row.unit in ("1", "dimensionless"):
        number = float(row.value)
        return int(number) if number.is_integer() else number
    return f"{row.value} {row.unit}"
