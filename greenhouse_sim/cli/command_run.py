"""``greenhouse-sim run FILE``: one heater, every winter."""

from __future__ import annotations

from collections.abc import Sequence
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
from greenhouse_sim.cli.uncertainty import UncertainOption

if TYPE_CHECKING:
    from greenhouse_sim.plans.compare import Comparison
    from greenhouse_sim.plans.uncertain import Uncertain
    from greenhouse_sim.report.words import Units
    from greenhouse_sim.scenario import Scenario


def run_command(
    file: ScenarioFile,
    weather: WeatherFiles = None,
    uncertain: UncertainOption = None,
    units: UnitsOption = UnitsChoice.us,
    json: JsonOption = False,
    out: OutOption = None,
) -> None:
    """Run the scenario's heater through its winters."""
    with told_plainly():
        from greenhouse_sim.cli.output import check_out, write_run
        from greenhouse_sim.cli.uncertainty import draw, json_part, write_uncertain
        from greenhouse_sim.cli.work import do_job, read_job
        from greenhouse_sim.report.json_text import json_text
        from greenhouse_sim.report.words import Units

        if out is not None:
            check_out(out)
        job = read_job(file, weather)
        result = do_job(job, [job.scenario.heater.kind], traced=out is not None)
        drawn = draw(job, result.heaters, uncertain) if uncertain is not None else []
        words = Units(units is UnitsChoice.us)
        if json:
            typer.echo(json_text(result, **json_part(drawn)), nl=False)
        else:
            show_run(result, job.scenario, words, drawn)
        if out is not None:
            write_run(result, job.scenario, words, out)
            if drawn:
                write_uncertain(drawn, words, out)


def show_run(
    result: Comparison, scenario: Scenario, units: Units, drawn: Sequence[Uncertain] = ()
) -> None:
    """The line, the tables, and what to mind."""
    from greenhouse_sim.cli.show import console, paragraphs
    from greenhouse_sim.cli.uncertainty import show_uncertain
    from greenhouse_sim.report.cautions import cautions
    from greenhouse_sim.report.hardest import hardest_lines
    from greenhouse_sim.report.line import one_line
    from greenhouse_sim.report.reading import farm_line, run_notes
    from greenhouse_sim.report.season_tables import (
        balance_table,
        cause_table,
        month_table,
        season_table,
    )

    page = console()
    rows = [season.ledger for season in result.seasons]
    backup = scenario.backup.kind if scenario.backup else None
    paragraphs(page, [f"{rows[0]['heater']}: {one_line(rows, units, backup)}."], style="bold")
    paragraphs(page, [farm_line(scenario, result.winters, units)])
    page.print(season_table(rows, units, scenario.crop.damage_below))
    if any(row["hours_below_setpoint"] > 0.0 for row in rows):
        page.print(cause_table(rows))
    months = month_table(rows, units)
    if months is not None:
        page.print(months)
    page.print(balance_table(rows, units))
    if drawn:
        show_uncertain(page, result, drawn, units, scenario.crop.damage_below)
    paragraphs(page, hardest_lines(rows, units) + run_notes(units))
    paragraphs(page, cautions(), style="dim")
