"""Numbers from the world, each with its unit, its range and its source."""

from greenhouse_sim.tables.read import Row, read_keyed, read_rows, table_names

__all__ = ["Row", "read_keyed", "read_rows", "table_names"]
