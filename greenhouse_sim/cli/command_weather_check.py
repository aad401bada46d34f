"""``greenhouse-sim weather check FILE``: what a weather record holds."""

from __future__ import annotations

from pathlib import Path
from typing import TYPE_CHECKING, Annotated

import typer

from greenhouse_sim.cli.command_weather_place import Elevation, Latitude, Longitude, place_given
from greenhouse_sim.cli.door import told_plainly
from greenhouse_sim.cli.options import JsonOption, OutOption, UnitsChoice, UnitsOption

if TYPE_CHECKING:
    from greenhouse_sim.report.words import Units
    from greenhouse_sim.weather.examine import Findings


def check_command(
    file: Annotated[
        str, typer.Argument(metavar="FILE", help="A weather file, or a bundled sample's name.")
    ],
    mapping: Annotated[
        Path | None,
        typer.Option(
            "--map", metavar="FILE", help="Its mapping, where that is not beside it.",
            show_default=False,
        ),
    ] = None,
    latitude: Latitude = None,
    longitude: Longitude = None,
    elevation: Elevation = None,
    units: UnitsOption = UnitsChoice.us,
    json: JsonOption = False,
    out: OutOption = None,
) -> None:  # fmt: skip
    """Look a weather file over: span, gaps, doubtful hours, design temperatures, cold spells."""
    with told_plainly():
        from greenhouse_sim.cli.output import check_out
        from greenhouse_sim.cli.say import notes
        from greenhouse_sim.report.weather_table import warnings, weather_json
        from greenhouse_sim.report.words import Units
        from greenhouse_sim.weather import find_weather, read_weather
        from greenhouse_sim.weather.examine import examine

        if out is not None:
            check_out(out)
        place = place_given(latitude, longitude, elevation)
        record = read_weather(find_weather(file, Path.cwd()), mapping=mapping, **place)
        found = examine(record)
        notes([*record.notes, *warnings(found)])
        words = Units(units is UnitsChoice.us)
        if json:
            typer.echo(weather_json(found), nl=False)
        else:
            show(found, words)
        if out is not None:
            write(found, words, out)


def show(found: Findings, units: Units) -> None:
    """The line and the tables."""
    from greenhouse_sim.cli.show import console, paragraphs
    from greenhouse_sim.report import weather_table as tables

    page = console()
    paragraphs(page, [f"{tables.first_line(found, units)}."], style="bold")
    page.print(tables.record_table(found, units))
    page.print(tables.months_table(found.months, units))
    if found.spells:
        page.print(tables.spells_table(found, units))
    if found.holes:
        page.print(tables.holes_table(found))
    if found.doubts:
        page.print(tables.doubts_table(found, units))


def write(found: Findings, units: Units, out: Path) -> None:
    """The picture, and the JSON beside it."""
    from greenhouse_sim.files import written_whole
    from greenhouse_sim.report.charts.style import save
    from greenhouse_sim.report.charts.weather_record import weather_record
    from greenhouse_sim.report.weather_table import weather_json

    picture = save(weather_record(found, units), out / "weather.png")
    with written_whole(out / "weather.json") as part:
        part.write_text(weather_json(found), encoding="utf-8")
    typer.echo(f"Wrote {picture} and weather.json beside it.", err=True)
