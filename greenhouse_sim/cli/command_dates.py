"""``greenhouse-sim dates FILE``: when to start and stop heating."""

from __future__ import annotations

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


def dates_command(
    file: ScenarioFile,
    weather: WeatherFiles = None,
    units: UnitsOption = UnitsChoice.us,
    json: JsonOption = False,
    out: OutOption = None,
) -> None:
    """Show what a later start, an earlier stop, a rest, and days without fire change."""
    with told_plainly():
        from greenhouse_sim.cli.output import check_out
        from greenhouse_sim.cli.say import Progress
        from greenhouse_sim.cli.show import console, paragraphs
        from greenhouse_sim.cli.work import read_job
        from greenhouse_sim.plans.dates import choices, dates, steps
        from greenhouse_sim.plans.foreseen import Work
        from greenhouse_sim.report.cautions import cautions
        from greenhouse_sim.report.dates_json import dates_json
        from greenhouse_sim.report.dates_table import amount_of, dates_table, first_line, notes
        from greenhouse_sim.report.reading import farm_line
        from greenhouse_sim.report.words import Units

        if out is not None:
            check_out(out)
        job = read_job(file, weather)
        scenario, names = job.scenario, [winter.name for winter in job.winters]
        tried = choices(scenario)
        with Progress(steps(len(names), tried)) as progress:
            work = Work("auto", progress.tell, progress.advance)
            found = dates(scenario, job.winters, tried, work)
        words = Units(units is UnitsChoice.us)
        amount = amount_of(scenario, words)
        if json:
            typer.echo(
                dates_json(scenario.heater.kind, found, names, amount.cords_per_kg), nl=False
            )
        else:
            page = console()
            line = first_line(scenario.heater.kind, found, amount, words)
            paragraphs(page, [f"{line}."], style="bold")
            paragraphs(page, [farm_line(scenario, names, words)])
            page.print(dates_table(found, amount, words, scenario.crop.damage_below))
            paragraphs(page, notes(found, len(names)))
            paragraphs(page, cautions(), style="dim")
        if out is not None:
            from greenhouse_sim.report.charts.dates import date_curves
            from greenhouse_sim.report.charts.style import save
            from greenhouse_sim.report.dates_json import write_dates

            typer.echo(f"Writing tables and pictures to {out} ...", err=True)
            write_dates(found, names, out)
            save(date_curves(found, scenario, amount), out / "dates.png")
            typer.echo(f"Wrote 2 files to {out}.", err=True)
