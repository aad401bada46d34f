"""``greenhouse-sim second FILE``: a second heater for the deep cold."""

from __future__ import annotations

from typing import Annotated

import typer

from greenhouse_sim.cli.door import told_plainly
from greenhouse_sim.cli.options import (
    JsonOption,
    OutOption,
    UnitsChoice,
    UnitsOption,
    WeatherFiles,
)


def second_command(
    file: Annotated[
        str,
        typer.Argument(metavar="FILE", help="The scenario, a TOML file; its heater is the first."),
    ],
    heater: Annotated[
        str,
        typer.Option(
            "--heater", metavar="NAME",
            help='The second heater, one of the catalogue, such as "wood stove, large".',
        ),
    ],
    below: Annotated[
        str,
        typer.Option(
            "--below", metavar="TEMPERATURE",
            help='Air inside that the second heater holds, such as "38 degF".',
        ),
    ] = "38 degF",
    weather: WeatherFiles = None,
    units: UnitsOption = UnitsChoice.us,
    json: JsonOption = False,
    out: OutOption = None,
) -> None:  # fmt: skip
    """Try a second heater beside the scenario's: a stove for the deep cold over a compost pile."""
    with told_plainly():
        from greenhouse_sim.cli.output import check_out
        from greenhouse_sim.cli.say import Progress
        from greenhouse_sim.cli.show import console, paragraphs
        from greenhouse_sim.cli.work import read_job
        from greenhouse_sim.plans.foreseen import Work
        from greenhouse_sim.plans.second import steps, two
        from greenhouse_sim.report.cautions import cautions
        from greenhouse_sim.report.reading import farm_line
        from greenhouse_sim.report.second_table import (
            first_line,
            notes,
            second_json,
            second_table,
            write_second,
        )
        from greenhouse_sim.report.words import Units
        from greenhouse_sim.units import to_si

        below_C = to_si(below, "degC", "--below", "38 degF")
        if out is not None:
            check_out(out)
        job = read_job(file, weather)
        with Progress(steps(len(job.winters))) as progress:
            work = Work("auto", progress.tell, progress.advance)
            found = two(job.scenario, job.winters, heater, below_C, work)
        words = Units(units is UnitsChoice.us)
        if json:
            typer.echo(second_json(found), nl=False)
        else:
            page = console()
            paragraphs(page, [f"{first_line(found, words)}."], style="bold")
            paragraphs(page, [farm_line(job.scenario, found.winters, words)])
            page.print(second_table(found, job.scenario, words))
            paragraphs(page, notes(found, words))
            paragraphs(page, cautions(), style="dim")
        if out is not None:
            typer.echo(f"Wrote {write_second(found, out)}.", err=True)
