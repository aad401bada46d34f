"""``greenhouse-sim faults FILE``: what goes wrong, and what it costs."""

from __future__ import annotations

from pathlib import Path
from typing import TYPE_CHECKING, Annotated, Any

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
    from greenhouse_sim.plans.faults import Faults, Found
    from greenhouse_sim.report.words import Units
    from greenhouse_sim.scenario import Scenario


def _option(name: str, metavar: str, text: str) -> Any:
    return typer.Option(name, metavar=metavar, help=text, show_default=False)


def faults_command(
    file: ScenarioFile,
    cuts: Annotated[
        float | None, _option("--cuts", "COUNT", "Power cuts a year; 1.4 without this.")
    ] = None,
    cut_length: Annotated[
        str | None, _option("--cut-length", "TIME", 'How long each is, such as "12 h"; 4 h.')
    ] = None,
    missed: Annotated[
        float | None, _option("--missed", "SHARE", "Share of rounds that fall out; 0.03.")
    ] = None,
    wet: Annotated[
        float | None, _option("--wet", "SHARE", "Water in wet wood, of its whole weight; 0.35.")
    ] = None,
    blocked: Annotated[
        int | None, _option("--blocked", "DAYS", "Days that the chimney is blocked; 1.")
    ] = None,
    tank: Annotated[
        str | None,
        _option("--tank", "AMOUNT", 'Propane of the back-up at the start, such as "250 gal".'),
    ] = None,
    seed: Annotated[
        int, typer.Option("--seed", metavar="NUMBER", min=0, help="Of what is drawn.")
    ] = 1,
    weather: WeatherFiles = None,
    units: UnitsOption = UnitsChoice.us,
    json: JsonOption = False,
    out: OutOption = None,
) -> None:
    """Show what power cuts, missed rounds, wet wood and a blocked chimney cost."""
    with told_plainly():
        from greenhouse_sim.cli.output import check_out
        from greenhouse_sim.cli.say import Progress
        from greenhouse_sim.cli.work import read_job
        from greenhouse_sim.plans.faults import faults, steps
        from greenhouse_sim.plans.foreseen import Work
        from greenhouse_sim.report.faults_json import faults_json
        from greenhouse_sim.report.words import Units

        given = _given(cuts, cut_length, missed, wet, blocked, seed)
        if out is not None:
            check_out(out)
        job = read_job(file, weather)
        scenario = job.scenario
        tank_J = _tank_J(scenario, tank)
        with Progress(steps(scenario, len(job.winters))) as progress:
            work = Work("auto", progress.tell, progress.advance)
            found = faults(scenario, job.winters, given, tank_J, work)
        words = Units(units is UnitsChoice.us)
        if json:
            typer.echo(faults_json(scenario.heater.kind, found), nl=False)
        else:
            show_faults(found, scenario, words)
        if out is not None:
            write_out(found, scenario, words, out)


def _given(
    cuts: float | None, cut_length: str | None, missed: float | None, wet: float | None,
    blocked: int | None, seed: int,
) -> Faults:  # fmt: skip
    from greenhouse_sim.plans.faults import usual
    from greenhouse_sim.units import to_si

    found = usual()._replace(seed=seed)
    if cuts is not None:
        found = found._replace(cuts_year=_within("--cuts", cuts, 0.0, 200.0, "1.4"))
    if cut_length is not None:
        hours = to_si(cut_length, "h", "--cut-length", "12 h")
        found = found._replace(cut_h=_within("--cut-length", hours, 1.0, 720.0, '"12 h"', " h"))
    if missed is not None:
        found = found._replace(missed=_within("--missed", missed, 0.0, 1.0, "0.03"))
    if wet is not None:
        found = found._replace(wet=_within("--wet", wet, 0.05, 0.6, "0.35"))
    if blocked is not None:
        days = _within("--blocked", blocked, 1.0, 14.0, "1", " days")
        found = found._replace(blocked_days=round(days))
    return found


def _within(
    option: str, value: float, low: float, high: float, example: str, unit: str = ""
) -> float:
    from greenhouse_sim.errors import ScenarioError

    if not low <= value <= high:
        raise ScenarioError(
            f"{option}: {value:g}{unit} is out of range; write {low:g} to {high:g}{unit}, "
            f"such as {example}"
        )
    return value


def _tank_J(scenario: Scenario, tank: str | None) -> float:
    from greenhouse_sim.errors import ScenarioError
    from greenhouse_sim.plans.absence_terms import tank_j

    if tank is None:
        return float("inf")
    if scenario.backup is None:
        raise ScenarioError(
            '--tank: the scenario has no back-up; write [backup] kind = "propane heater" into it'
        )
    return tank_j(scenario, tank)


def show_faults(found: Found, scenario: Scenario, units: Units) -> None:
    """The line, the table, and what to mind."""
    from greenhouse_sim.cli.show import console, paragraphs
    from greenhouse_sim.report.cautions import cautions
    from greenhouse_sim.report.faults_table import faults_table, first_line, notes, tank_lines
    from greenhouse_sim.report.reading import farm_line

    page = console()
    paragraphs(page, [f"{first_line(scenario.heater.kind, found)}."], style="bold")
    paragraphs(page, [farm_line(scenario, found.winters, units)])
    backup = scenario.backup.kind if scenario.backup else None
    page.print(faults_table(found, units, scenario.crop.damage_below, backup))
    paragraphs(page, tank_lines(found) + notes(found, scenario))
    paragraphs(page, cautions(), style="dim")


def write_out(found: Found, scenario: Scenario, units: Units, out: Path) -> None:
    """The table and the bars."""
    from greenhouse_sim.report.charts.faults import fault_bars
    from greenhouse_sim.report.charts.style import save
    from greenhouse_sim.report.faults_json import write_faults

    typer.echo(f"Writing tables and pictures to {out} ...", err=True)
    write_faults(found, out)
    bars = fault_bars(scenario.heater.kind, found, scenario.crop.damage_below, units)
    save(bars, out / "faults.png")
    typer.echo(f"Wrote 2 files to {out}.", err=True)
