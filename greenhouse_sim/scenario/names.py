"""The names that a scenario may use: rows of the package's tables."""

from __future__ import annotations

import functools

from greenhouse_sim.errors import TableError
from greenhouse_sim.scenario.kinds import Name
from greenhouse_sim.tables import Row, read_keyed, read_rows, table_names


def rows(table: str) -> tuple[str, ...]:
    """The ``name`` column of a table of rows."""
    try:
        return tuple(row["name"] for row in read_rows(table))
    except KeyError as problem:
        raise TableError(f"table {table}.csv has no column name") from problem


def rows_of_kind(table: str, *kinds: str) -> tuple[str, ...]:
    """The names of those rows whose column ``kind`` is one of ``kinds``."""
    fit = tuple(row["name"] for row in read_rows(table) if row.get("kind") in kinds)
    if not fit:
        raise TableError(f"table {table}.csv has no row of kind {' or '.join(kinds)}")
    return fit


@functools.cache
def species() -> tuple[str, ...]:
    """Woods, and the solid fuels that are bought by weight (pellets, wood chips)."""
    return (*rows("woods"), *other_fuels())


@functools.cache
def other_fuels() -> tuple[str, ...]:
    """The solid fuels that are bought by weight instead of by the cord."""
    return rows_of_kind("fuels", "pellets", "chips")


@functools.cache
def heater_tables() -> dict[str, str]:
    """The heaters of the catalogue: name to the table that describes it."""
    tables: dict[str, str] = {}
    for table in table_names("heaters"):
        row = read_keyed(table).get("name")
        if row is None:
            raise TableError(f"table {table}.csv has no row name")
        tables[row.value] = table
    if not tables:
        raise TableError("the catalogue of heaters is missing from the package")
    return tables


def heaters() -> tuple[str, ...]:
    """Names of the heaters of the catalogue."""
    return tuple(heater_tables())


def catalogue(kind: str) -> dict[str, Row]:
    """Everything that the catalogue says of a heater, but its name."""
    table = read_keyed(heater_tables()[kind])
    return {key: row for key, row in table.items() if key != "name"}


def row_of(table: str, word: str, example: str, none: str | None = None) -> Name:
    """A kind of value: the name of a row of a table."""
    return Name(known=functools.partial(rows, table), word=word, example=example, none=none)


HEATER = Name(known=heaters, word="heater", example="wood stove, large")
SPECIES = Name(known=species, word="species or fuel", example="red oak")
COVER = Name(
    known=functools.partial(rows_of_kind, "covers", "cover", "opaque"),
    word="cover",
    example="double poly inflated",
)
CURTAIN = Name(
    known=functools.partial(rows_of_kind, "covers", "curtain"),
    word="cover fit for a night curtain",
    example="thermal curtain",
)
