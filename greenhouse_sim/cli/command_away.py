"""``greenhouse-sim away FILE``: how long the greenhouse goes well with nobody there."""

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
    from collections.abc import Sequence

    from greenhouse_sim.cli.work import Job
    from greenhouse_sim.plans.absence import Absence
    from greenhouse_sim.plans.absence_terms import Terms
    from greenhouse_sim.plans.foreseen import Work
    from greenhouse_sim.plans.trip import Span, Trip
    from greenhouse_sim.report.words import Units
    from greenhouse_sim.scenario import Scenario
    from greenhouse_sim.season.many import Task


def away_command(
    file: ScenarioFile,
    first: Annotated[
        str | None,
        typer.Option(
            "--from", metavar="TIME", show_default=False,
            help='Start of a trip to judge, such as "2027-01-10 17:00" (beside the away of the '
            "scenario's routine).",
        ),
    ] = None,
    last: Annotated[
        str | None,
        typer.Option(
            "--to", metavar="TIME", show_default=False,
            help='End of the trip, such as "2027-01-12 18:00".',
        ),
    ] = None,
    forecast: Annotated[
        str | None,
        typer.Option(
            "--forecast", metavar="FILE", show_default=False,
            help="Weather of the coming days (CSV, as weather files are): the trip is judged by it "
            "in place of past winters.",
        ),
    ] = None,
    helper: Annotated[
        str | None,
        typer.Option(
            "--helper", metavar="TIME", show_default=False,
            help='When a helper comes each day, such as "17:00" (which it is without this).',
        ),
    ] = None,
    alarm: Annotated[
        str | None,
        typer.Option(
            "--alarm", metavar="TEMPERATURE", show_default=False,
            help='Low alarm, such as "36 degF"; without this the one that gets you up at night.',
        ),
    ] = None,
    high: Annotated[
        str | None,
        typer.Option(
            "--high-alarm", metavar="TEMPERATURE", show_default=False,
            help='High alarm, such as "95 degF" (which it is without this).',
        ),
    ] = None,
    tank: Annotated[
        str | None,
        typer.Option(
            "--tank", metavar="AMOUNT", show_default=False,
            help='Propane for the back-up at departure, such as "100 gal"; without this it does '
            "not run out.",
        ),
    ] = None,
    page: Annotated[
        bool,
        typer.Option("--page", help="Print the page for whoever sits in, and nothing else."),
    ] = False,
    weather: WeatherFiles = None,
    units: UnitsOption = UnitsChoice.us,
    json: JsonOption = False,
    out: OutOption = None,
) -> None:  # fmt: skip
    """How long until the fire dies and the crop is hurt if nobody comes; trips; a sitter's page."""
    with told_plainly():
        from greenhouse_sim.cli.output import check_out
        from greenhouse_sim.cli.say import Progress, notes
        from greenhouse_sim.cli.work import read_job
        from greenhouse_sim.errors import ScenarioError
        from greenhouse_sim.plans.absence_terms import check_heater
        from greenhouse_sim.plans.foreseen import Work, foreseen, prepared, tasks_of
        from greenhouse_sim.plans.trip import read_span
        from greenhouse_sim.report.away_json import away_json
        from greenhouse_sim.report.sitter_page import sitter_page
        from greenhouse_sim.report.words import Units
        from greenhouse_sim.season.run import notes as heater_notes

        if out is not None:
            check_out(out)
        if json and page:
            raise ScenarioError("--json and --page both want standard output; write one of them")
        span = read_span(first, last)
        job = read_job(file, weather)
        scenario = job.scenario
        check_heater(scenario)
        how = _terms(scenario, helper, alarm, high, tank)
        spans = [*scenario.routine.away, *([span] if span is not None else [])]
        if forecast is not None and not spans:
            raise ScenarioError(
                '--forecast needs a trip; write --from "2027-01-10 17:00" --to "2027-01-12 18:00", '
                "or away in [routine]"
            )
        words = Units(units is UnitsChoice.us)
        notes(heater_notes(scenario, [scenario.heater.kind]))
        with Progress(4 * len(job.winters)) as progress:
            work = Work(tell=progress.tell, advance=progress.advance)
            winters = foreseen(scenario, prepared(scenario, job.winters, work), work)
            tasks = tasks_of(scenario, winters, scenario.heater.kind)
            found = _absence(scenario, winters, tasks, how, work)
            trips = _trips(job, spans, forecast, winters, tasks, work)
        if json:
            typer.echo(away_json(found, trips), nl=False)
        elif page:
            typer.echo(sitter_page(found, scenario, words), nl=False)
        else:
            show_away(found, trips, scenario, words)
        if out is not None:
            write_away(found, trips, scenario, tasks, words, out)


def _terms(
    scenario: Scenario, helper: str | None, alarm: str | None, high: str | None, tank: str | None
) -> Terms:
    import math

    from greenhouse_sim.plans.absence_terms import tank_j, terms
    from greenhouse_sim.units import to_si

    return terms(
        scenario,
        helper_hour=None if helper is None else _clock(helper),
        alarm=None if alarm is None else to_si(alarm, "degC", "--alarm", "36 degF"),
        high=None if high is None else to_si(high, "degC", "--high-alarm", "95 degF"),
        tank_j=math.inf if tank is None else tank_j(scenario, tank),
    )


def _clock(text: str) -> float:
    from greenhouse_sim.errors import ScenarioError
    from greenhouse_sim.scenario.clock import Clock

    try:
        return Clock(example="17:00").read(text, False) % 24.0
    except ValueError as problem:
        raise ScenarioError(f"--helper: {problem}") from None


def _absence(
    scenario: Scenario, winters: tuple, tasks: list[Task], how: Terms, work: Work
) -> Absence:
    from greenhouse_sim.plans.absence import absence

    found = absence(scenario, winters, tasks, how, engine=work.engine, tell=work.tell)
    for _ in winters:
        work.step()
    return found


def _trips(
    job: Job,
    spans: Sequence[Span],
    forecast: str | None,
    winters: tuple,
    tasks: list[Task],
    work: Work,
) -> list[Trip]:
    """Each trip judged by past winters, or by the forecast laid into the middle one."""
    from greenhouse_sim.plans.forecast import middle_winter, with_forecast
    from greenhouse_sim.plans.foreseen import Work, foreseen, prepared, tasks_of
    from greenhouse_sim.plans.trip import judge
    from greenhouse_sim.season.run import read_records

    scenario = job.scenario
    if forecast is None:
        return [judge(scenario, winters, tasks, span, work=work) for span in spans]
    (record,) = read_records(scenario, [forecast])
    alone = Work(work.engine, work.tell)
    trips = []
    for span in spans:
        laid = with_forecast(middle_winter(job.winters), record, span)
        coming = foreseen(scenario, prepared(scenario, [laid]), alone)
        own = tasks_of(scenario, coming, scenario.heater.kind)
        trips.append(judge(scenario, coming, own, span, forecast=record.name, work=alone))
    return trips


def show_away(found: Absence, trips: Sequence[Trip], scenario: Scenario, units: Units) -> None:
    """The line, the tables, and what to mind."""
    from greenhouse_sim.cli.show import console, paragraphs
    from greenhouse_sim.report import away_table as table
    from greenhouse_sim.report.away_words import (
        away_cautions,
        first_line,
        notes,
        trip_line,
        winters_line,
    )
    from greenhouse_sim.report.cautions import cautions
    from greenhouse_sim.report.reading import farm_line

    page = console()
    paragraphs(page, [f"{first_line(found, units)}."], style="bold")
    names = [winter.weather.name for winter in found.winters]
    paragraphs(page, [farm_line(scenario, names, units)])
    for trip in trips:
        paragraphs(page, [trip_line(trip, units)], style="bold")
        page.print(table.night_table(trip, units))
        if len(trip.outcomes) <= table.MOST_WINTERS:
            page.print(table.trip_table(trip, units))
    page.print(table.week_table(found, units))
    page.print(table.help_table(found, units))
    page.print(table.fuel_table(found, units))
    page.print(table.alarm_table(found, units))
    page.print(table.heat_table(found, units))
    few = winters_line(found)
    paragraphs(page, ([few] if few else []) + notes(found, units))
    paragraphs(page, (*away_cautions(), *cautions()), style="dim")


def write_away(
    found: Absence,
    trips: Sequence[Trip],
    scenario: Scenario,
    tasks: list[Task],
    units: Units,
    out: Path,
) -> None:
    """Tables, pictures, and the page for whoever sits in."""
    from greenhouse_sim.files import written_whole
    from greenhouse_sim.plans.coast import coast
    from greenhouse_sim.report.away_json import write_away_tables
    from greenhouse_sim.report.charts.away_calendar import away_calendar
    from greenhouse_sim.report.charts.away_chance import away_chance
    from greenhouse_sim.report.charts.away_coast import away_coast
    from greenhouse_sim.report.charts.style import save
    from greenhouse_sim.report.sitter_page import sitter_page
    from greenhouse_sim.season.many import engine_for, engine_name

    typer.echo(f"Writing tables and pictures to {out} ...", err=True)
    written = write_away_tables(found, trips, out)
    with written_whole(out / "sitter.md") as temporary:
        temporary.write_text(sitter_page(found, scenario, units), encoding="utf-8")
    written.append(out / "sitter.md")
    curves = coast(found, tasks, engine_for(engine_name("auto", len(tasks))))
    pictures = {
        "away-calendar.png": away_calendar(found),
        "away-chance.png": away_chance(found),
    }
    if curves is not None:
        damage = scenario.crop.damage_below
        pictures["coast-down.png"] = away_coast(curves, found.heater, damage, units)
    written += [save(figure, out / name) for name, figure in pictures.items()]
    typer.echo(f"Wrote {len(written)} files to {out}.", err=True)
