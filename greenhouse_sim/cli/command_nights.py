"""``greenhouse-sim nights FILE``: what getting up is worth."""

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
    from greenhouse_sim.plans.nights import Nights
    from greenhouse_sim.report.words import Units
    from greenhouse_sim.scenario import Scenario


def nights_command(
    file: ScenarioFile,
    heater: Annotated[
        list[str] | None,
        typer.Option(
            "--heater",
            metavar="NAME",
            help='A heater of the catalogue, such as "pellet stove", run in every winter; give '
            "the option several times for several. Without it the scenario's own in every "
            "winter, and all others that somebody must load in a few of them.",
            show_default=False,
        ),
    ] = None,
    weather: WeatherFiles = None,
    units: UnitsOption = UnitsChoice.us,
    json: JsonOption = False,
    out: OutOption = None,
) -> None:
    """Weigh getting up at night against a cold greenhouse, for each heater."""
    with told_plainly():
        from greenhouse_sim.cli.output import check_out
        from greenhouse_sim.cli.say import Progress
        from greenhouse_sim.cli.work import read_whole
        from greenhouse_sim.heater.catalogue import heater_table
        from greenhouse_sim.plans.foreseen import Work
        from greenhouse_sim.plans.nights import nights, steps, tended
        from greenhouse_sim.report.nights_json import nights_json
        from greenhouse_sim.report.words import Units

        chosen = [heater_table(name, "--heater")["name"].value for name in heater or ()]
        if out is not None:
            check_out(out)
        job, records = read_whole(file, weather)
        others = 0 if chosen else len(tended())
        with Progress(steps(len(job.winters), max(len(chosen), 1), others)) as progress:
            work = Work("auto", progress.tell, progress.advance)
            found = nights(job.scenario, job.winters, records, chosen, work)
        words = Units(units is UnitsChoice.us)
        if json:
            typer.echo(nights_json(found), nl=False)
        else:
            show_nights(found, job.scenario, words)
        if out is not None:
            write_out(found, words, out)


def show_nights(found: Nights, scenario: Scenario, units: Units) -> None:
    """The line, the tables, and what to mind."""
    from greenhouse_sim.cli.show import console, paragraphs
    from greenhouse_sim.report.cautions import cautions
    from greenhouse_sim.report.nights_table import all_table, load_table, own_table
    from greenhouse_sim.report.nights_words import edge_lines, first_line, notes, worth_lines
    from greenhouse_sim.report.reading import farm_line

    page = console()
    paragraphs(page, [f"{first_line(found, units)}."], style="bold")
    paragraphs(page, [farm_line(scenario, found.winters, units)])
    page.print(own_table(found, units, scenario.crop.damage_below))
    paragraphs(page, worth_lines(found, units) + edge_lines(found, units))
    if len(found.heaters) > 1:
        page.print(all_table(found, units))
    page.print(load_table(found, units))
    paragraphs(page, notes(found))
    paragraphs(page, cautions(), style="dim")


def write_out(found: Nights, units: Units, out: Path) -> None:
    """Tables, the calendar, and the picture of what getting up is worth."""
    from greenhouse_sim.report.charts.nights import night_calendar, night_trade
    from greenhouse_sim.report.charts.style import save
    from greenhouse_sim.report.nights_json import write_nights

    typer.echo(f"Writing tables and pictures to {out} ...", err=True)
    written = write_nights(found, out)
    written.append(save(night_calendar(found, units), out / "nights.png"))
    written.append(save(night_trade(found, units), out / "nights_trade.png"))
    typer.echo(f"Wrote {len(written)} files to {out}.", err=True)
