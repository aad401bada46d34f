"""``greenhouse-sim weather map FILE``: how to read somebody's CSV, guessed and asked."""

from __future__ import annotations

from dataclasses import replace
from pathlib import Path
from typing import TYPE_CHECKING, Annotated

import typer

from greenhouse_sim.cli.command_weather_place import Elevation, Latitude, Longitude, place_given
from greenhouse_sim.cli.door import told_plainly

if TYPE_CHECKING:
    from greenhouse_sim.weather.mapping import Column, Mapping

LEAVE_OUT = "-"


def map_command(
    file: Annotated[Path, typer.Argument(metavar="FILE", help="The CSV.")],
    target: Annotated[
        Path | None,
        typer.Option(
            "--map", metavar="FILE", help="Where to write; NAME.map.toml beside NAME.csv if left.",
            show_default=False,
        ),
    ] = None,
    latitude: Latitude = None,
    longitude: Longitude = None,
    elevation: Elevation = None,
    clock: Annotated[
        str | None,
        typer.Option(
            "--clock", metavar="CLOCK", show_default=False,
            help='"standard time", "UTC", or a time zone with daylight saving: America/Detroit.',
        ),
    ] = None,
    utc_offset: Annotated[
        float | None,
        typer.Option(
            "--utc-offset", metavar="HOURS", show_default=False,
            help="Local standard time less universal time, such as -5.",
        ),
    ] = None,
    yes: Annotated[bool, typer.Option("--yes", "-y", help="Ask nothing: take the guess.")] = False,
) -> None:  # fmt: skip
    """Guess columns, units and clock of a CSV, ask where it is unsure, write the mapping."""
    with told_plainly():
        from greenhouse_sim.cli.say import notes
        from greenhouse_sim.errors import WeatherError
        from greenhouse_sim.files import written_whole
        from greenhouse_sim.weather import read_weather
        from greenhouse_sim.weather.clock import zone_named
        from greenhouse_sim.weather.files import read_text
        from greenhouse_sim.weather.guess import guess
        from greenhouse_sim.weather.mapping import (
            STANDARD,
            UNIVERSAL,
            mapping_path,
            mapping_text,
            read_mapping,
        )

        where = target or mapping_path(file)
        if where.exists():
            raise WeatherError(f"{where}: is there already; change it, or remove it first")
        place = place_given(latitude, longitude, elevation)
        if clock is not None and clock not in (STANDARD, UNIVERSAL):
            zone_named(clock, "--clock")
        found = guess(read_text(file), file, latitude)
        notes(found.doubts)
        mapping = replace(
            found.mapping,
            site=file.stem,
            latitude=place["latitude"],
            longitude=place["longitude"],
            elevation_m=place["elevation_m"],
            utc_offset_h=utc_offset,
            clock=clock or found.mapping.clock,
        )
        if not yes:
            mapping = _asked(mapping)
        if not mapping.clock:
            raise WeatherError(
                f"{file}: its clock goes back an hour in autumn; name its time zone, such as "
                "--clock America/Detroit"
            )
        text = mapping_text(mapping, file.name)
        read_mapping(text, where)
        with written_whole(where) as part:
            part.write_text(text, encoding="utf-8")
        typer.echo(f"Wrote {where}.")
        if mapping.latitude is None or mapping.longitude is None:
            typer.echo("Add latitude and longitude under [place], or give them with the site.")
            return
        notes(read_weather(file, mapping=where).notes)
        typer.echo(f"The file reads well. Look it over: greenhouse-sim weather check {file}")


def _asked(mapping: Mapping) -> Mapping:
    """The mapping after the questions."""
    from greenhouse_sim.weather.mapping import STANDARD, UNIVERSAL

    typer.echo("Press Enter for what stands in brackets.")
    columns = {}
    for key, column in mapping.columns.items():
        answer = _unit(key, column)
        if answer is not None:
            columns[key] = answer
    clock = _clock(mapping.clock)
    latitude = _degrees("Latitude, north positive", mapping.latitude)
    longitude = _degrees("Longitude, east positive (west is negative)", mapping.longitude)
    offset = mapping.utc_offset_h
    if clock in (STANDARD, UNIVERSAL):
        words = "Standard time less universal time, hours (winter, no daylight saving)"
        offset = _degrees(words, round(longitude / 15.0) if offset is None else offset)
    return replace(
        mapping,
        columns=columns,
        clock=clock,
        latitude=latitude,
        longitude=longitude,
        elevation_m=_height(mapping.elevation_m),
        utc_offset_h=offset,
    )


def _unit(key: str, column: Column) -> Column | None:
    """The column with its unit as answered, or None where it is to be left out."""
    import numpy as np

    from greenhouse_sim.errors import WeatherError
    from greenhouse_sim.weather.columns import to_si
    from greenhouse_sim.weather.mapping import DAILY

    while True:
        asked = f'{key} from "{column.column}", unit ({LEAVE_OUT} leaves it out)'
        unit = str(typer.prompt(asked, default=column.unit)).strip()
        if unit == LEAVE_OUT:
            return None
        try:
            to_si(np.zeros(1), DAILY.get(key, key), unit, "answer")
        except WeatherError as problem:
            typer.echo(str(problem), err=True)
            continue
        return column._replace(unit=unit)


def _clock(guessed: str) -> str:
    from greenhouse_sim.errors import WeatherError
    from greenhouse_sim.weather.clock import zone_named
    from greenhouse_sim.weather.mapping import STANDARD, UNIVERSAL

    while True:
        asked = f"Clock: {STANDARD}, {UNIVERSAL}, or a time zone with daylight saving"
        answer = str(typer.prompt(asked, default=guessed or None)).strip()
        if answer in (STANDARD, UNIVERSAL):
            return answer
        try:
            return zone_named(answer, "answer").key
        except WeatherError as problem:
            typer.echo(str(problem), err=True)


def _degrees(words: str, known: float | None) -> float:
    return float(typer.prompt(words, default=known, type=float))


def _height(known: float | None) -> float:
    from greenhouse_sim.errors import ScenarioError
    from greenhouse_sim.units import to_si

    while True:
        answer = typer.prompt("Height above the sea", default=f"{known or 0.0:g} m")
        try:
            return to_si(str(answer), "m", "answer", "860 ft")
        except ScenarioError as problem:
            typer.echo(str(problem), err=True)
