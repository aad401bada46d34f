"""``greenhouse-sim costs FILE``: what heaters cost, and what would change the decision."""

from __future__ import annotations

from pathlib import Path
from typing import TYPE_CHECKING

import typer

from greenhouse_sim.cli.door import told_plainly
from greenhouse_sim.cli.options import (
    HeaterNames,
    JsonOption,
    OutOption,
    ScenarioFile,
    UnitsChoice,
    UnitsOption,
    WeatherFiles,
)

if TYPE_CHECKING:
    from greenhouse_sim.plans.compare import Comparison
    from greenhouse_sim.plans.money import Money
    from greenhouse_sim.plans.switch import Switch, WinterBest
    from greenhouse_sim.report.words import Units
    from greenhouse_sim.scenario import Scenario


def costs_command(
    file: ScenarioFile,
    heater: HeaterNames = None,
    weather: WeatherFiles = None,
    units: UnitsOption = UnitsChoice.us,
    json: JsonOption = False,
    out: OutOption = None,
) -> None:
    """Compare what heaters cost: to buy, a year, over the years; what changes the decision."""
    with told_plainly():
        from greenhouse_sim.cli.output import check_out
        from greenhouse_sim.cli.work import do_job, read_job
        from greenhouse_sim.plans.money import check_baseline, money
        from greenhouse_sim.plans.switch import (
            price_switches,
            purchase_switch,
            run_switches,
            winters_best,
        )
        from greenhouse_sim.report.money_json import money_json
        from greenhouse_sim.report.words import Units

        if out is not None:
            check_out(out)
        job = read_job(file, weather)
        names = _names(heater, job.scenario)
        check_baseline(job.scenario, names)
        result = do_job(job, names, traced=False)
        found = money(job.scenario, result)
        bought = purchase_switch(found)
        switches = [
            *price_switches(found),
            *([bought] if bought else []),
            *run_switches(job.scenario, found, result.seasons),
        ]
        winters = winters_best(job.scenario, found, result.seasons)
        if json:
            typer.echo(money_json(found, switches, winters), nl=False)
        else:
            words = Units(units is UnitsChoice.us)
            show_costs(found, result, switches, winters, job.scenario, words)
        if out is not None:
            write_costs(found, switches, job.scenario, out)


def _names(named: list[str] | None, scenario: Scenario) -> list[str]:
    """The heaters to compare: those named, else all but the ideal one."""
    from greenhouse_sim.heater.catalogue import burns, heater_table
    from greenhouse_sim.plans.compare import all_heaters

    if not named:
        return [name for name in all_heaters() if burns(name) != "none"]
    return list(dict.fromkeys(heater_table(name, "--heater")["name"].value for name in named))


def show_costs(
    found: Money,
    result: Comparison,
    switches: list[Switch],
    winters: list[WinterBest],
    scenario: Scenario,
    units: Units,
) -> None:
    """The answer, the tables, and what to mind."""
    from greenhouse_sim.cli.show import console, paragraphs
    from greenhouse_sim.report.cautions import cautions
    from greenhouse_sim.report.money_table import costs_table, switch_table
    from greenhouse_sim.report.money_words import (
        first_line,
        lost_line,
        notes,
        switch_line,
        unpriced,
        winter_line,
    )
    from greenhouse_sim.report.reading import farm_line

    page = console()
    paragraphs(page, [f"{first_line(found)}."], style="bold")
    paragraphs(page, [farm_line(scenario, result.winters, units)])
    said = [line for line in (lost_line(found), *unpriced(found)) if line]
    if said:
        paragraphs(page, said)
    page.print(costs_table(found))
    page.print()
    if found.fit:
        if switches:
            page.print(switch_table(switches, found.fit[0].heater))
            page.print()
        paragraphs(page, [switch_line(found, switches), winter_line(winters)])
    paragraphs(page, notes(found, scenario))
    paragraphs(page, cautions(), style="dim")


def write_costs(found: Money, switches: list[Switch], scenario: Scenario, out: Path) -> None:
    """Tables with every line and its source, and the picture."""
    from greenhouse_sim.report.charts.money import cost_bars
    from greenhouse_sim.report.charts.style import save
    from greenhouse_sim.report.money_json import write_money

    typer.echo(f"Writing tables and pictures to {out} ...", err=True)
    written = write_money(found, switches, out)
    if found.fit:
        written.append(save(cost_bars(found, scenario.site.name), out / "costs.png"))
    typer.echo(f"Wrote {len(written)} files to {out}.", err=True)
