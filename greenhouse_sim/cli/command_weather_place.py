"""Options for a place, which the weather commands share."""

from __future__ import annotations

from typing import Annotated

import typer

Latitude = Annotated[
    float | None,
    typer.Option("--latitude", metavar="DEGREES", help="North positive.", show_default=False),
]
Longitude = Annotated[
    float | None,
    typer.Option(
        "--longitude", metavar="DEGREES", help="East positive, west negative: -96.8.",
        show_default=False,
    ),
]  # fmt: skip
Elevation = Annotated[
    str | None,
    typer.Option(
        "--elevation", metavar="HEIGHT", help='Above the sea, such as "860 ft".',
        show_default=False,
    ),
]  # fmt: skip


def place_given(
    latitude: float | None, longitude: float | None, elevation: str | None
) -> dict[str, float | None]:
    """The place as `read_weather` takes it.

    Raises
    ------
    ScenarioError
        A height without a unit.
    """
    from greenhouse_sim.units import to_si

    height = None if elevation is None else to_si(elevation, "m", "--elevation", "860 ft")
    return {"latitude": latitude, "longitude": longitude, "elevation_m": height}
