"""``greenhouse-sim worth FILE``: the setpoint and the weeks at which heat no longer pays."""

from __future__ import annotations

from pathlib import Path
from typing import TYPE_CHECKING

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
    from greenhouse_sim.plans.worth import Worth
    from greenhouse_sim.report.words import Units
    from greenhouse_sim.scenario import Scenario

SETPOINTS = 9
"""So many setpoints are run, about: for the bar."""


def worth_command(
    file: ScenarioFile,
    weather: WeatherFiles = None,
    units: UnitsOption = UnitsChoice.us,
    json: JsonOption = False,
    out: OutOption = None,
) -> None:
    """Is winter heat worth it: by setpoint, and week by week."""
    with told_plainly():
        from greenhouse_sim.cli.output import check_out
        from greenhouse_sim.cli.say import Progress
        from greenhouse_sim.cli.work import read_job
        from greenhouse_sim.plans.worth import check_worth, worth
        from greenhouse_sim.report.words import Units
        from greenhouse_sim.report.worth_json import worth_json

        if out is not None:
            check_out(out)
        job = read_job(file, weather)
        check_worth(job.scenario)
        with Progress(len(job.winters) * SETPOINTS) as progress:
            found = worth(job.scenario, job.winters, advance=progress.advance)
        if json:
            typer.echo(worth_json(found), nl=False)
        else:
            show_worth(found, job.scenario, Units(units is UnitsChoice.us))
        if out is not None:
            _write(found, job.scenario, out)


def show_worth(found: Worth, scenario: Scenario, units: Units) -> None:
    """The answer, the tables, and what to mind."""
    from greenhouse_sim.cli.show import console, paragraphs
    from greenhouse_sim.report.cautions import cautions
    from greenhouse_sim.report.reading import farm_line
    from greenhouse_sim.report.worth_table import setpoint_table, week_table
    from greenhouse_sim.report.worth_words import edge_line, first_line, notes, weeks_line

    page = console()
    paragraphs(page, [f"{first_line(found, units)}."], style="bold")
    said = [line for line in (edge_line(found), weeks_line(found)) if line]
    if said:
        paragraphs(page, said)
    paragraphs(page, [farm_line(scenario, found.winters, units)])
    page.print(setpoint_table(found, units))
    page.print()
    page.print(week_table(found, units))
    page.print()
    paragraphs(page, notes(found, scenario, units))
    paragraphs(page, cautions(), style="dim")


def _write(found: Worth, scenario: Scenario, out: Path) -> None:
    from greenhouse_sim.report.charts.money_weeks import week_bars
    from greenhouse_sim.report.charts.style import save
    from greenhouse_sim.report.worth_json import write_worth

    typer.echo(f"Writing tables and pictures to {out} ...", err=True)
    written = write_worth(found, out)
    written.append(save(week_bars(found, scenario.site.name), out / "weeks.png"))
    typer.echo(f"Wrote {len(written)} files to {out}.", err=True)
