"""``greenhouse-sim weather winters``: make many winters from a table of monthly normals."""

from __future__ import annotations

from collections.abc import Callable
from pathlib import Path
from typing import TYPE_CHECKING, Annotated

import typer

from greenhouse_sim.cli.door import told_plainly
from greenhouse_sim.cli.options import JsonOption, UnitsChoice, UnitsOption

if TYPE_CHECKING:
    from greenhouse_sim.weather.normals import Normals
    from greenhouse_sim.weather.weather import Weather

FITTED = "normals.toml"


def register(app: typer.Typer) -> None:
    """Add the command to the weather group."""
    app.command("winters")(winters_command)


def winters_command(
    normals: Annotated[
        str | None,
        typer.Argument(
            metavar="NORMALS", help="A table of monthly normals, a TOML file.", show_default=False
        ),
    ] = None,
    fit: Annotated[
        str | None,
        typer.Option(
            "--fit",
            metavar="RECORD",
            help="Take the normals from a weather file instead, better of ten years than of one; "
            f"with --out they are written as {FITTED}.",
            show_default=False,
        ),
    ] = None,
    count: Annotated[
        int | None,
        typer.Option("--count", help="How many winters (the file's, else 30).", show_default=False),
    ] = None,
    seed: Annotated[
        int | None,
        typer.Option("--seed", help="Another seed, other winters.", show_default=False),
    ] = None,
    units: UnitsOption = UnitsChoice.us,
    json: JsonOption = False,
    out: Annotated[
        Path | None,
        typer.Option(
            "--out",
            metavar="DIR",
            help="Write each winter into this folder as a CSV that the program reads.",
            show_default=False,
        ),
    ] = None,
) -> None:
    """Make many winters from monthly normals, each with its cold spells."""
    with told_plainly():
        from greenhouse_sim.cli.output import check_out
        from greenhouse_sim.cli.say import Progress
        from greenhouse_sim.weather.normals_winters import made_weather

        if out is not None:
            check_out(out)
        table = _normals(normals, fit, count, seed)
        with Progress(table.count * (1 if out is None else 2)) as progress:
            record = made_weather(table, progress.advance)
            _show(record, units is UnitsChoice.us, json)
            if out is not None:
                _write(record, table, fit, out, progress.advance)


def _normals(file: str | None, fit: str | None, count: int | None, seed: int | None) -> Normals:
    from dataclasses import replace

    from greenhouse_sim.errors import WeatherError
    from greenhouse_sim.weather.normals_file import MOST_WINTERS

    if (file is None) == (fit is None):
        raise WeatherError(
            "weather winters: name either a table of normals or, with --fit, a weather record: "
            "greenhouse-sim weather winters normals.toml --out winters"
        )
    if count is not None and not 1 <= count <= MOST_WINTERS:
        raise WeatherError(
            f"--count {count}: makes from 1 to {MOST_WINTERS} winters; write --count 30 "
            "(for more, run again with another --seed)"
        )
    if seed is not None and seed < 0:
        raise WeatherError(f"--seed {seed}: is below zero; write a whole number such as --seed 2")
    table = _from_record(fit) if fit is not None else _from_file(str(file))
    return replace(
        table,
        count=table.count if count is None else count,
        seed=table.seed if seed is None else seed,
    )


def _from_file(name: str) -> Normals:
    from greenhouse_sim.weather.files import read_text
    from greenhouse_sim.weather.normals_file import read_normals

    return read_normals(read_text(Path(name)), Path(name))


def _from_record(name: str) -> Normals:
    from dataclasses import replace

    from greenhouse_sim.weather.find import find_weather
    from greenhouse_sim.weather.normals_fit import fit, measured
    from greenhouse_sim.weather.read import read_weather

    record = read_weather(find_weather(name, Path.cwd()))
    table = fit(measured(record))
    return replace(table, notes=(*record.notes, *table.notes))


def _show(record: Weather, us: bool, json: bool) -> None:
    from greenhouse_sim.cli.say import notes
    from greenhouse_sim.report.made_winters import made_json, months_table, winters_lines
    from greenhouse_sim.report.words import Units
    from greenhouse_sim.weather.normals_summary import each_winter, months_of

    winters, months = each_winter(record), months_of(record)
    notes(record.notes)
    if json:
        typer.echo(made_json(record.site, winters, months, record.notes), nl=False)
        return
    from greenhouse_sim.cli.show import console, paragraphs

    page = console()
    first, *others = winters_lines(record.site, winters, Units(us))
    paragraphs(page, [first], style="bold")
    page.print(months_table(months, Units(us)))
    paragraphs(page, others)


def _write(
    record: Weather, table: Normals, fit: str | None, out: Path, advance: Callable[[int], None]
) -> None:
    from greenhouse_sim.files import written_whole
    from greenhouse_sim.weather.normals_csv import write_winters
    from greenhouse_sim.weather.normals_text import normals_toml

    written = 0
    if fit is not None:
        with written_whole(out / FITTED) as part:
            part.write_text(normals_toml(table, fit), encoding="utf-8", newline="\n")
        written += 1
    for _ in write_winters(record, out):
        written += 1
        advance(1)
    typer.echo(f"Wrote {written} files to {out}.", err=True)
