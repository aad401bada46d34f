"""``greenhouse-sim tonight FILE``: what to load tonight, and whether anybody must get up."""

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
from greenhouse_sim.cli.tonight_given import CONTACT, without_collecting

if TYPE_CHECKING:
    from greenhouse_sim.plans.tonight import Tonight
    from greenhouse_sim.report.words import Units

ADDRESS = "GREENHOUSE_SIM_FORECAST_ADDRESS"


def _text(name: str, metavar: str, words: str) -> typer.models.OptionInfo:
    option: typer.models.OptionInfo = typer.Option(
        name, metavar=metavar, help=words, show_default=False
    )
    return option


def tonight_command(
    file: ScenarioFile,
    forecast: Annotated[
        str,
        typer.Option(
            "--forecast", metavar="CSV|SERVICE",
            help="The coming night and day: a CSV with time and t_air [degF] at the least, and "
            "wind, cloud, humidity, ghi where known, at most three hours apart; # issued: "
            "2027-01-10 16:00 on top says when it was made. Or met-norway, which asks that public "
            "service; only the greenhouse's coordinates and height are sent, and "
            "a --contact if there is one.",
        ),
    ],
    now: Annotated[
        str | None,
        _text("--now", "TEMPERATURE", 'The air inside now, such as "48 degF"; without this the '
              "journal's last reading, if it is fresh."),
    ] = None,
    fire: Annotated[
        str | None,
        _text("--fire", "STATE", 'The fire now: "out", "coals", "half", "40 %" of a load, or what '
              'is in the box, such as "25 lb"; without this by the journal\'s loads, or as the '
              "routine would have left it."),
    ] = None,
    store: Annotated[
        str | None,
        _text("--store", "TEMPERATURE", 'Tank, bench or pile now, such as "150 degF"; without this '
              "as the last days would leave it."),
    ] = None,
    recent: Annotated[
        Path | None,
        _text("--recent", "CSV", "The weather of the last days, as the forecast is written; "
              "without this that of the middle winter at this date."),
    ] = None,
    at: Annotated[
        str | None,
        _text("--at", "TIME", 'When it is, such as "2027-01-10 18:00", local standard time; now '
              "without this."),
    ] = None,
    journal: Annotated[
        Path | None,
        _text("--journal", "FILE", "The journal; without this the one beside the scenario, if "
              "there is one."),
    ] = None,
    timeout: Annotated[
        float, typer.Option("--timeout", metavar="SECONDS", min=0.05,
                            help="Longest silence of a service.")
    ] = 20.0,
    address: Annotated[
        str | None,
        typer.Option(
            "--address", metavar="URL", envvar=ADDRESS, show_default=False,
            help="Address of a mirror of the service.",
        ),
    ] = None,
    contact: Annotated[
        str | None,
        typer.Option(
            "--contact", metavar="ADDRESS", envvar=CONTACT, show_default=False,
            help="Your e-mail address or web page, for a service that wants to know who asks; "
            "without this none is sent.",
        ),
    ] = None,
    weather: WeatherFiles = None,
    units: UnitsOption = UnitsChoice.us,
    json: JsonOption = False,
    out: OutOption = None,
) -> None:  # fmt: skip
    """Tonight: when to load, how much, with what air, and whether anybody must get up."""
    with told_plainly(), without_collecting():
        from greenhouse_sim.cli.output import check_out
        from greenhouse_sim.cli.say import notes, weather_notes
        from greenhouse_sim.cli.tonight_given import (
            Service,
            expected,
            journal_of,
            nearest_hour,
            present_moment,
            what_was_noted,
        )
        from greenhouse_sim.plans.absence_terms import check_heater
        from greenhouse_sim.plans.forecast import middle_winter
        from greenhouse_sim.plans.tonight import tonight
        from greenhouse_sim.plans.tonight_checks import check_forecast, check_scale
        from greenhouse_sim.plans.tonight_fire import (
            Present,
            doubtful_air,
            heater_of,
            read_air,
            read_fire,
            read_store,
        )
        from greenhouse_sim.plans.tonight_forecast import read_forecast
        from greenhouse_sim.plans.tonight_journal import air_now
        from greenhouse_sim.report.words import Units
        from greenhouse_sim.scenario import read_scenario
        from greenhouse_sim.season.run import notes as heater_notes
        from greenhouse_sim.season.run import read_winters, ready

        if out is not None:
            check_out(out)
        scenario = read_scenario(file)
        check_heater(scenario)
        heater, kind = heater_of(scenario), scenario.heater.kind
        air_C = None if now is None else read_air(now)
        fuel_kg = None if fire is None else read_fire(fire, heater, kind)
        store_C = None if store is None else read_store(store, heater, kind)
        record = middle_winter(read_winters(scenario, list(weather) if weather else None))
        moment = present_moment(at, record)
        hour = nearest_hour(moment)
        book = journal_of(journal, scenario)
        told = None
        if book is not None:
            told = what_was_noted(
                book, scenario, heater, moment, needed=now is None, clock=at is None
            )
        if air_C is None:
            air_C = air_now(told, book)
        see = Present(air_C, fuel_kg, store_C, by_journal=now is None)
        coming = expected(forecast, record, Service(timeout, address, contact))
        been = None if recent is None else read_forecast(recent, record)
        check_forecast(coming, hour)
        winter = ready(scenario, record)
        hints = [check_scale(one, winter, hour) for one in (coming, been) if one is not None]
        doubt = "" if now is None else doubtful_air(now, air_C)
        notes(text for text in (doubt, *hints) if text)
        notes([*heater_notes(scenario, [kind]), *weather_notes([record])])
        found = tonight(scenario, winter, coming, been, hour, see, told)
        words = Units(units is UnitsChoice.us)
        if json:
            from greenhouse_sim.report.tonight_json import tonight_json

            typer.echo(tonight_json(found), nl=False)
        else:
            show_tonight(found, words)
        if out is not None:
            write_tonight(found, words, out)


def show_tonight(found: Tonight, units: Units) -> None:
    """The line, the tables, and what to mind."""
    from greenhouse_sim.cli.show import console, paragraphs
    from greenhouse_sim.report import tonight_words as words
    from greenhouse_sim.report.tonight_journal import journal_lines, look_first
    from greenhouse_sim.report.tonight_table import step_table, way_table

    page = console()
    paragraphs(page, [words.first_line(found, units)], style="bold")
    alarm = [
        look_first(found, units), words.helpless(found, units), words.if_nobody(found, units)
    ]  # fmt: skip
    if any(alarm):
        paragraphs(page, [text for text in alarm if text])
    paragraphs(page, [words.present_line(found, units), *journal_lines(found, units)])
    todo = step_table(found, units)
    if todo is not None:
        page.print(todo)
    page.print(way_table(found, units))
    paragraphs(page, words.notes(found, units))
    paragraphs(page, words.mind(), style="dim")


def write_tonight(found: Tonight, units: Units, out: Path) -> None:
    """The card, the picture and the tables."""
    from greenhouse_sim.files import written_whole
    from greenhouse_sim.report.charts.style import save
    from greenhouse_sim.report.charts.tonight import tonight_chart
    from greenhouse_sim.report.tonight_card import tonight_card
    from greenhouse_sim.report.tonight_json import write_tonight_tables

    written = write_tonight_tables(found, out)
    with written_whole(out / "tonight.html") as temporary:
        temporary.write_text(tonight_card(found, units), encoding="utf-8")
    written.append(out / "tonight.html")
    written.append(save(tonight_chart(found, units), out / "tonight.png"))
    typer.echo(f"Wrote {len(written)} files to {out}; tonight.html is the card to print.", err=True)
