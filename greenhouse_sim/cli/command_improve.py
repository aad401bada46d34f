"""``greenhouse-sim improve FILE``: which improvements first, and the cheapest that suffice."""

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
    from greenhouse_sim.plans.improve import Improved
    from greenhouse_sim.plans.package import Found, Targets
    from greenhouse_sim.report.words import Units
    from greenhouse_sim.scenario import Scenario

USUAL = 2.5
"""Seasons run for each measure and winter, about: for the bar."""


def improve_command(
    file: ScenarioFile,
    wakeups: Annotated[
        float | None,
        typer.Option(
            "--wakeups", metavar="TIMES", help="At most so many times up a winter: the cheapest "
            "package that keeps to it is looked for.", show_default=False, min=0.0,
        ),
    ] = None,
    cold_hours: Annotated[
        float | None,
        typer.Option(
            "--cold-hours", metavar="HOURS", help="At most so many hours below setpoint a winter.",
            show_default=False, min=0.0,
        ),
    ] = None,
    budget: Annotated[
        float | None,
        typer.Option(
            "--budget", metavar="DOLLARS", help="At most so much to buy the measures.",
            show_default=False, min=0.0,
        ),
    ] = None,
    every: Annotated[
        bool,
        typer.Option(
            "--every", help="Run every package there is, none ruled out: the exact answer and the "
            "whole trade-off, in minutes.",
        ),
    ] = False,
    weather: WeatherFiles = None,
    units: UnitsOption = UnitsChoice.us,
    json: JsonOption = False,
    out: OutOption = None,
) -> None:  # fmt: skip
    """Try improvements alone, in the best order, and in packages: fuel, nights, cold, cost."""
    with told_plainly():
        from greenhouse_sim.cli.output import check_out
        from greenhouse_sim.cli.say import Progress
        from greenhouse_sim.cli.work import read_job
        from greenhouse_sim.plans.improve import improve
        from greenhouse_sim.plans.package import Targets, search
        from greenhouse_sim.report.improve_json import improve_json
        from greenhouse_sim.report.words import Units

        if out is not None:
            check_out(out)
        job = read_job(file, weather)
        targets = Targets(wakeups, cold_hours, budget)
        _tell_of_the_wait(targets, every)
        with Progress(round(len(job.winters) * 15 * USUAL)) as progress:
            found = improve(job.scenario, job.winters, advance=progress.advance)
            wanted = targets.any or every
            result = search(found, targets, every) if wanted else None
        if json:
            typer.echo(improve_json(found, result), nl=False)
        else:
            show_improve(found, result, job.scenario, Units(units is UnitsChoice.us))
        if out is not None:
            write(found, result, job.scenario, out)


def _tell_of_the_wait(targets: Targets, every: bool) -> None:
    if every:
        typer.echo("Running every package there is: some minutes ...", err=True)
    elif targets.any:
        typer.echo("Looking for the cheapest package: up to a minute ...", err=True)


def show_improve(found: Improved, result: Found | None, scenario: Scenario, units: Units) -> None:
    """The answer, the tables, and what to mind."""
    from greenhouse_sim.cli.show import console, paragraphs
    from greenhouse_sim.plans.improve import front
    from greenhouse_sim.report.cautions import cautions
    from greenhouse_sim.report.improve_table import alone_table, front_table, order_table
    from greenhouse_sim.report.improve_words import (
        crop_line,
        few_line,
        first_line,
        left_out_line,
        not_in_order,
        notes,
        package_lines,
    )
    from greenhouse_sim.report.reading import farm_line

    page = console()
    paragraphs(page, [f"{first_line(found, units)}."], style="bold")
    if result is not None:
        paragraphs(page, package_lines(result, found, units))
    paragraphs(page, [farm_line(scenario, found.winters, units)])
    page.print(alone_table(found, units))
    page.print()
    if found.order:
        page.print(order_table(found, units))
        page.print()
    best = list(result.front) if result else front(found.farm.known(found.places))
    page.print(front_table(found, best, units))
    page.print()
    said = [crop_line(found), not_in_order(found), left_out_line(found), few_line(found)]
    paragraphs(page, [line for line in said if line] + notes(scenario, found))
    paragraphs(page, cautions(), style="dim")


def write(found: Improved, result: Found | None, scenario: Scenario, out: Path) -> None:
    """Tables, and the picture of cost against nights."""
    from greenhouse_sim.plans.improve import front
    from greenhouse_sim.plans.package import possible
    from greenhouse_sim.report.charts.improve import trade_off
    from greenhouse_sim.report.charts.style import save
    from greenhouse_sim.report.improve_json import write_improve

    typer.echo(f"Writing tables and pictures to {out} ...", err=True)
    written = write_improve(found, result, out)
    seen = found.farm.known(found.places)
    whole = result is not None and result.whole
    how = f"{len(seen)} of {possible(found.farm)} packages run" + (
        "." if whole else "; others may lie lower (--every)."
    )
    picture = trade_off(seen, front(seen), found.base_few, scenario.site.name, how)
    written.append(save(picture, out / "improvements.png"))
    typer.echo(f"Wrote {len(written)} files to {out}.", err=True)
