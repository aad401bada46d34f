"""What a grower must hear beside any number of ours."""

from __future__ import annotations

from greenhouse_sim.tables.read import read_rows


def cautions() -> tuple[str, ...]:
    """Short sentences on fire, smoke, carbon monoxide, clearances, chimney, pressure, codes."""
    return tuple(row["text"] for row in read_rows("cautions"))
