"""``greenhouse-sim weather``: get weather, map it, look it over."""

from __future__ import annotations

import typer

from greenhouse_sim.cli.command_weather_check import check_command
from greenhouse_sim.cli.command_weather_fetch import fetch_command
from greenhouse_sim.cli.command_weather_map import map_command
from greenhouse_sim.cli.command_weather_normals import register as register_winters

weather_app = typer.Typer(
    help="Get weather for a place, read the files that people have, look a record over.",
    no_args_is_help=True,
    rich_markup_mode=None,
)
weather_app.command("fetch")(fetch_command)
weather_app.command("map")(map_command)
weather_app.command("check")(check_command)
register_winters(weather_app)
