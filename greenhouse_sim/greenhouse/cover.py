"""What a cover, a panel or a curtain of the cover table does to heat and light."""

from __future__ import annotations

import functools
from typing import NamedTuple

from greenhouse_sim.errors import ScenarioError
from greenhouse_sim.greenhouse.table import named_row
from greenhouse_sim.tables.read import read_rows


class Cover(NamedTuple):
    """One row of the cover table, SI."""

    name: str
    kind: str
    """"cover", "opaque" or "curtain"."""
    u_value: float
    """W/m²K with both films, the outer one at ``reference_wind``; 0 for a curtain."""
    r_value: float
    """Resistance that a closed curtain adds, m²K/W; 0 for other kinds."""
    reference_wind: float
    """Wind at eave height that ``u_value`` holds, m/s."""
    layers: int
    solar_direct: float
    solar_diffuse: float
    longwave_dry: float
    """Share of thermal radiation let through with a dry inner face."""
    longwave_wet: float
    """The same with condensate on the inner face (`film`)."""


@functools.cache
def cover(name: str) -> Cover:
    """The cover, panel or curtain of this name.

    Raises
    ------
    ScenarioError
        The table has no such row.
    """
    row = named_row("covers", name, "[greenhouse] cover")
    return Cover(
        name,
        row["kind"],
        float(row["u_value"] or 0.0),
        float(row["r_value"] or 0.0),
        float(row["reference_wind"]),
        int(row["layers"]),
        float(row["solar_direct"]),
        float(row["solar_diffuse"]),
        float(row["longwave_dry"]),
        float(row["longwave_wet"]),
    )


def curtain(name: str) -> Cover:
    """The curtain of this name.

    Raises
    ------
    ScenarioError
        No such row, or one that is no curtain.
    """
    found = cover(name)
    if found.kind != "curtain":
        known = ", ".join(cover_names("curtain"))
        raise ScenarioError(
            f"[greenhouse] night_curtain: {name!r} is not a curtain; write one of {known}"
        )
    return found


def cover_names(kind: str) -> tuple[str, ...]:
    """Names of the rows of one kind ("cover", "opaque", "curtain")."""
    return tuple(row["name"] for row in read_rows("covers") if row["kind"] == kind)
