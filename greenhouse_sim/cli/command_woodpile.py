"""``greenhouse-sim woodpile FILE``: how much fuel to have ready, and when to cut it."""

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
    from datetime import date

    from greenhouse_sim.heater.fuel import Fuel
    from greenhouse_sim.plans.woodpile import Woodpile
    from greenhouse_sim.report.words import Units
    from greenhouse_sim.scenario import Scenario

LEFT_EXAMPLES = {"wood": "2.5 cord", "pellets": "1.5 ton"}


def woodpile_command(
    file: ScenarioFile,
    rack_height: Annotated[
        str | None,
        typer.Option(
            "--rack-height",
            metavar="LENGTH",
            help='How high the wood is stacked, such as "4 ft" (which it is without this).',
            show_default=False,
        ),
    ] = None,
    stick: Annotated[
        str | None,
        typer.Option(
            "--stick",
            metavar="LENGTH",
            help='Length of the sticks, such as "16 in" (which it is without this).',
            show_default=False,
        ),
    ] = None,
    own: Annotated[
        str | None,
        typer.Option(
            "--own",
            metavar="AMOUNT",
            help='Fuel of your own, such as "6 cord"; the rest is bought. Without it all, or '
            'none where the scenario says source = "buy".',
            show_default=False,
        ),
    ] = None,
    left: Annotated[
        str | None,
        typer.Option(
            "--left",
            metavar="AMOUNT",
            help='What is left of the pile on the day of --on, such as "2.5 cord": until when '
            "does it last, and what to order?",
            show_default=False,
        ),
    ] = None,
    on: Annotated[
        str | None,
        typer.Option(
            "--on",
            metavar="DATE",
            help="The day of --left, such as 2027-01-20; without --left what the journal beside "
            "the scenario says is left.",
            show_default=False,
        ),
    ] = None,
    weather: WeatherFiles = None,
    units: UnitsOption = UnitsChoice.us,
    json: JsonOption = False,
    out: OutOption = None,
) -> None:  # fmt: skip
    """Plan the woodpile: how much, for how many winters, cut by when, and the hours of work."""
    with told_plainly():
        from greenhouse_sim.cli.output import check_out
        from greenhouse_sim.cli.work import do_job, read_whole
        from greenhouse_sim.heater.burnt import default_fuel
        from greenhouse_sim.plans.pile import lasts, use
        from greenhouse_sim.plans.stack import rack
        from greenhouse_sim.plans.woodpile import check_fuel, unlimited, woodpile
        from greenhouse_sim.report.woodpile_json import woodpile_json
        from greenhouse_sim.report.words import Units
        from greenhouse_sim.season.run import scenario_fuel

        held = rack(rack_height, stick)
        when = _day(on, left)
        if out is not None:
            check_out(out)
        job, records = read_whole(file, weather)
        check_fuel(job.scenario)
        counted = job.scenario
        job = job._replace(scenario=unlimited(job.scenario))
        fuel = default_fuel(job.scenario.heater.kind, scenario_fuel(job.scenario))
        left_kg = None if left is None else _mass(left, fuel, "--left")
        if left_kg is None and when is not None:
            left_kg = _by_journal(counted, when)
        own_kg = _own(own, job.scenario, fuel)
        result = do_job(job, [job.scenario.heater.kind], traced=True)
        rest = None
        if left_kg is not None and when is not None:
            rest = lasts(use(result.seasons), left_kg, when)
        found = woodpile(job.scenario, result.seasons, records, held, own_kg=own_kg, rest=rest)
        words = Units(units is UnitsChoice.us)
        if json:
            typer.echo(woodpile_json(found, job.scenario), nl=False)
        else:
            show_woodpile(found, job.scenario, words)
        if out is not None:
            write_woodpile(found, job.scenario, words, out)


def _day(on: str | None, left: str | None) -> date | None:
    """The day of ``--on``; the journal answers where --left does not."""
    from datetime import date

    from greenhouse_sim.errors import ScenarioError
    from greenhouse_sim.units import quoted

    if on is None and left is not None:
        raise ScenarioError('--left needs its day; write --left "2.5 cord" --on 2027-01-20')
    if on is None:
        return None
    try:
        return date.fromisoformat(on.strip())
    except ValueError:
        raise ScenarioError(
            f"--on: {quoted(on)} is not a day; write year, month and day as in 2027-01-20"
        ) from None


def _by_journal(scenario: Scenario, on: date) -> float:
    """What the journal beside the scenario says is left on a day, kg."""
    from greenhouse_sim.errors import ScenarioError
    from greenhouse_sim.journal.store import Journal, journal_path
    from greenhouse_sim.plans.journal_review import left_now

    path = journal_path(scenario.path)
    left = None
    if path.exists():
        with Journal(path, make=False) as book:
            left = left_now(book.entries(), scenario, on)
    if left is None:
        raise ScenarioError(
            f"--on: {path} does not say what is left of the pile; count it "
            '(greenhouse-sim log FILE --pile "8 cord") or write --left "2.5 cord" beside --on'
        )
    return left.kg


def _mass(text: str, fuel: Fuel, where: str) -> float:
    """An amount of fuel, kg: by the stack or by weight for wood, by weight for pellets."""
    from greenhouse_sim.errors import ScenarioError
    from greenhouse_sim.units import quoted, to_si

    if fuel.kind not in LEFT_EXAMPLES:
        raise ScenarioError(
            f"{where}: a heap of {fuel.name} is built once and not drawn from; leave {where} out"
        )
    example = LEFT_EXAMPLES[fuel.kind]
    try:
        kg = to_si(text, "kg", where, example)
    except ScenarioError:
        if not fuel.stacked_kg_m3:
            raise
        kg = to_si(text, "m^3", where, example) * fuel.stacked_kg_m3
    if kg < 0.0:
        raise ScenarioError(f'{where}: {quoted(text)} is below 0; write one such as "{example}"')
    return kg


def _own(text: str | None, scenario: Scenario, fuel: Fuel) -> float | None:
    if text is not None:
        return _mass(text, fuel, "--own")
    return 0.0 if scenario.fuel.source == "buy" and fuel.kind == "wood" else None


def show_woodpile(found: Woodpile, scenario: Scenario, units: Units) -> None:
    """The line, the tables, and what to mind."""
    from greenhouse_sim.cli.show import console, paragraphs
    from greenhouse_sim.report.cautions import cautions
    from greenhouse_sim.report.labour_table import labour_table
    from greenhouse_sim.report.reading import farm_line
    from greenhouse_sim.report.woodpile_table import (
        left_table,
        ready_table,
        rest_lines,
        wet_table,
        woods_table,
    )
    from greenhouse_sim.report.woodpile_words import (
        first_line,
        notes,
        rule_line,
        winters_line,
        work_line,
    )

    page = console()
    paragraphs(page, [f"{first_line(found, units)}."], style="bold")
    paragraphs(page, [farm_line(scenario, [one.winter for one in found.seasons], units)])
    if found.rest is not None:
        paragraphs(page, rest_lines(found, units), style="bold")
    if found.ready:
        page.print(ready_table(found, units))
        page.print(left_table(found, units))
        paragraphs(page, [rule_line(found)])
    if found.ready and found.kind == "wood":
        page.print(woods_table(found, units))
        page.print(wet_table(found, units))
    page.print(labour_table(found.work))
    paragraphs(page, [work_line(found)])
    few = winters_line(found)
    paragraphs(page, ([few] if few else []) + notes(found, units))
    paragraphs(page, cautions(), style="dim")


def write_woodpile(found: Woodpile, scenario: Scenario, units: Units, out: Path) -> None:
    """Tables, and the picture of the pile through the winter."""
    from greenhouse_sim.report.charts.pile import pile_left
    from greenhouse_sim.report.charts.style import save
    from greenhouse_sim.report.woodpile_json import write_woodpile_tables

    typer.echo(f"Writing tables and pictures to {out} ...", err=True)
    written = write_woodpile_tables(found, scenario, out)
    picture = pile_left(found, units)
    if picture is not None:
        written.append(save(picture, out / "woodpile.png"))
    typer.echo(f"Wrote {len(written)} files to {out}.", err=True)
