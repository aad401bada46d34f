"""``greenhouse-sim compare [FILE]``: heaters side by side."""

from __future__ import annotations

from collections.abc import Sequence
from typing import TYPE_CHECKING, Annotated

import typer

from greenhouse_sim.cli.door import told_plainly
from greenhouse_sim.cli.options import (
    HeaterNames,
    JsonOption,
    OutOption,
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


def compare_command(
    file: Annotated[
        str | None,
        typer.Argument(
            metavar="[FILE]",
            help="The scenario, a TOML file; without it the bundled demo farm.",
            show_default=False,
        ),
    ] = None,
    heater: HeaterNames = None,
    weather: WeatherFiles = None,
    uncertain: UncertainOption = None,
    units: UnitsOption = UnitsChoice.us,
    json: JsonOption = False,
    out: OutOption = None,
) -> None:
    """Compare heaters in the same greenhouse over the same winters."""
    with told_plainly():
        from greenhouse_sim.cli.output import check_out, write_compare
        from greenhouse_sim.cli.uncertainty import draw, json_part, write_uncertain
        from greenhouse_sim.cli.work import do_job, read_job
        from greenhouse_sim.report.json_text import json_text
        from greenhouse_sim.report.words import Units
        from greenhouse_sim.scenario import demo_path

        chosen = _chosen(heater)
        if out is not None:
            check_out(out)
        job = read_job(demo_path() if file is None else file, weather)
        result = do_job(job, chosen, traced=False)
        drawn = draw(job, result.heaters, uncertain) if uncertain is not None else []
        words = Units(units is UnitsChoice.us)
        if json:
            typer.echo(json_text(result, **json_part(drawn)), nl=False)
        else:
            show_compare(result, job.scenario, words, drawn)
        if out is not None:
            write_compare(result, job, words, out)
            if drawn:
                write_uncertain(drawn, words, out)


def _chosen(names: list[str] | None) -> list[str]:
    """Names of the catalogue for what was asked; refuses an unknown one with the nearest."""
    from greenhouse_sim.heater.catalogue import heater_table
    from greenhouse_sim.plans.compare import all_heaters

    if not names:
        return list(all_heaters())
    return list(dict.fromkeys(heater_table(name, "--heater")["name"].value for name in names))


def show_compare(
    result: Comparison, scenario: Scenario, units: Units, drawn: Sequence[Uncertain] = ()
) -> None:
    """The line of the scenario's own heater, the table, and what to mind."""
    from greenhouse_sim.cli.show import console, paragraphs
    from greenhouse_sim.cli.uncertainty import show_uncertain
    from greenhouse_sim.report.cautions import cautions
    from greenhouse_sim.report.compare_table import compare_table
    from greenhouse_sim.report.hardest import hardest_lines
    from greenhouse_sim.report.line import one_line
    from greenhouse_sim.report.reading import compare_notes, farm_line

    page = console()
    own = scenario.heater.kind
    first = own if own in result.heaters else result.heaters[0]
    rows = [season.ledger for season in result.of(first)]
    backup = scenario.backup.kind if scenario.backup else None
    paragraphs(page, [f"{first}: {one_line(rows, units, backup)}."], style="bold")
    paragraphs(page, [farm_line(scenario, result.winters, units)])
    damage = scenario.crop.damage_below
    page.print(compare_table(result, units, damage, page.width))
    page.print()
    if drawn:
        show_uncertain(page, result, drawn, units, damage)
    paragraphs(page, hardest_lines(rows, units) + compare_notes(units, damage))
    paragraphs(page, cautions(), style="dim")
