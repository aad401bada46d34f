"""Options that commands share."""

from __future__ import annotations

from enum import StrEnum
from pathlib import Path
from typing import Annotated

import typer


class UnitsChoice(StrEnum):
    """Units of the answer."""

    us = "us"
    si = "si"


ScenarioFile = Annotated[str, typer.Argument(metavar="FILE", help="The scenario, a TOML file.")]
HeaterNames = Annotated[
    list[str] | None,
    typer.Option(
        "--heater",
        metavar="NAME",
        help='A heater of the catalogue, such as "pellet stove"; give the option several '
        "times for several. All heaters where none is named.",
        show_default=False,
    ),
]
WeatherFiles = Annotated[
    list[str] | None,
    typer.Option(
        "--weather",
        metavar="FILE...",
        help="Weather files in place of the scenario's: several after one option, or the option "
        "several times. The names of the bundled samples will do.",
        show_default=False,
    ),
]
UnitsOption = Annotated[UnitsChoice, typer.Option("--units", help="Units of the answer.")]
JsonOption = Annotated[
    bool, typer.Option("--json", help="Results as JSON, and nothing else, on standard output.")
]
OutOption = Annotated[
    Path | None,
    typer.Option(
        "--out",
        metavar="DIR",
        help="Also write tables (CSV) and pictures (PNG) into this folder.",
        show_default=False,
    ),
]
