"""``greenhouse-sim heat FILE``: where the heat goes."""

from __future__ import annotations

from pathlib import Path
from typing import TYPE_CHECKING, Annotated

import typer

from greenhouse_sim.cli.door import told_plainly
from greenhouse_sim.cli.options import (
    JsonOption,
    OutOption,
    ScenarioFile,
    UnitsChoice,
    UnitsOption,
    WeatherFiles,
)

if TYPE_CHECKING:
    from greenhouse_sim.plans.compare import Comparison
    from greenhouse_sim.plans.heat import Heat
    from greenhouse_sim.report.words import Units
    from greenhouse_sim.scenario import Scenario

OPTION = "--design-temperature"
COLDEST_C = -90.0
"""No place on Earth is colder; what lies below is a slip of the pen."""
EXAMPLE = "-22 degF"


def heat_command(
    file: ScenarioFile,
    design_temperature: Annotated[
        str | None,
        typer.Option(
            OPTION,
            metavar="TEMPERATURE",
            help=f'Outdoor temperature of the design night, such as "{EXAMPLE}"; without it the '
            "one that 99 % of the weather's hours exceed.",
            show_default=False,
        ),
    ] = None,
    weather: WeatherFiles = None,
    units: UnitsOption = UnitsChoice.us,
    json: JsonOption = False,
    out: OutOption = None,
) -> None:
    """Show where the heat goes: the design loss by part, and each winter's need by path."""
    with told_plainly():
        from greenhouse_sim.cli.output import check_out
        from greenhouse_sim.cli.work import do_job, read_job
        from greenhouse_sim.plans.heat import heat
        from greenhouse_sim.report.heat_table import heat_json
        from greenhouse_sim.report.words import Units
        from greenhouse_sim.season.run import read_records

        cold_C = None if design_temperature is None else _temperature(design_temperature)
        if out is not None:
            check_out(out)
        job = read_job(file, weather)
        records = read_records(job.scenario, list(weather) if weather else None)
        result = do_job(job, ["ideal"], traced=True)
        found = heat(job.scenario, result.seasons, records, cold_C)
        words = Units(units is UnitsChoice.us)
        if json:
            typer.echo(heat_json(found), nl=False)
        else:
            show_heat(found, result, job.scenario, words)
        if out is not None:
            write_heat(found, words, out)


def _temperature(text: str) -> float:
    from greenhouse_sim.errors import ScenarioError
    from greenhouse_sim.units import quoted, to_si

    celsius = to_si(text, "degC", OPTION, EXAMPLE)
    if celsius < COLDEST_C:
        raise ScenarioError(
            f'{OPTION}: {quoted(text)} is colder than any place; write one such as "{EXAMPLE}"'
        )
    return celsius


def show_heat(found: Heat, result: Comparison, scenario: Scenario, units: Units) -> None:
    """The line, the tables, and what to mind."""
    from greenhouse_sim.cli.show import console, paragraphs
    from greenhouse_sim.report.cautions import cautions
    from greenhouse_sim.report.heat_table import (
        design_table,
        first_line,
        heat_notes,
        heater_table,
        need_table,
    )
    from greenhouse_sim.report.reading import farm_line
    from greenhouse_sim.report.season_tables import balance_table

    page = console()
    paragraphs(page, [f"{first_line(found.design, units)}."], style="bold")
    paragraphs(page, [farm_line(scenario, result.winters, units)])
    page.print(design_table(found.design, units))
    page.print(need_table(found.winters, units))
    page.print(balance_table([season.ledger for season in result.seasons], units))
    page.print(heater_table(found, units))
    paragraphs(page, heat_notes(found, units))
    paragraphs(page, cautions(), style="dim")


def write_heat(found: Heat, units: Units, out: Path) -> None:
    """Tables and the picture of gains and losses."""
    from greenhouse_sim.report.charts.heat import heat_paths
    from greenhouse_sim.report.charts.style import save
    from greenhouse_sim.report.heat_table import write_heat_tables

    typer.echo(f"Writing tables and pictures to {out} ...", err=True)
    written = write_heat_tables(found, out)
    written.append(save(heat_paths(found.winters, units), out / "heat.png"))
    typer.echo(f"Wrote {len(written)} files to {out}.", err=True)
