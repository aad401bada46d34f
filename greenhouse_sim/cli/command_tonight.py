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

if TYPE_CHECKING:
    from datetime import datetime

    from greenhouse_sim.plans.tonight import Tonight
    from greenhouse_sim.report.words import Units
    from greenhouse_sim.weather import Weather


def tonight_command(
    file: ScenarioFile,
    forecast: Annotated[
        Path,
        typer.Option(
            "--forecast", metavar="CSV",
            help="The coming night and day: time and t_air [degF] at the least, and wind, cloud, "
            "humidity, ghi where known, at most three hours apart; # issued: 2027-01-10 16:00 on "
            "top says when it was made.",
        ),
    ],
    now: Annotated[
        str,
        typer.Option("--now", metavar="TEMPERATURE", help='The air inside now, such as "48 degF".'),
    ],
    fire: Annotated[
        str | None,
        typer.Option(
            "--fire", metavar="STATE", show_default=False,
            help='The fire now: "out", "coals", "half", "40 %" of a load, or what is in the box, '
            'such as "25 lb"; without this as the routine would have left it.',
        ),
    ] = None,
    store: Annotated[
        str | None,
        typer.Option(
            "--store", metavar="TEMPERATURE", show_default=False,
            help='Tank, bench or pile now, such as "150 degF"; without this as the last days would '
            "leave it.",
        ),
    ] = None,
    recent: Annotated[
        Path | None,
        typer.Option(
            "--recent", metavar="CSV", show_default=False,
            help="The weather of the last days, as the forecast is written; without this that of "
            "the middle winter at this date.",
        ),
    ] = None,
    at: Annotated[
        str | None,
        typer.Option(
            "--at", metavar="TIME", show_default=False,
            help='When it is, such as "2027-01-10 18:00", local standard time; now without this.',
        ),
    ] = None,
    weather: WeatherFiles = None,
    units: UnitsOption = UnitsChoice.us,
    json: JsonOption = False,
    out: OutOption = None,
) -> None:  # fmt: skip
    """Tonight: when to load, how much, with what air, and whether anybody must get up."""
    with told_plainly():
        from greenhouse_sim.cli.output import check_out
        from greenhouse_sim.cli.say import notes, weather_notes
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
        from greenhouse_sim.report.words import Units
        from greenhouse_sim.scenario import read_scenario
        from greenhouse_sim.season.run import notes as heater_notes
        from greenhouse_sim.season.run import read_winters, ready

        if out is not None:
            check_out(out)
        scenario = read_scenario(file)
        check_heater(scenario)
        heater, kind = heater_of(scenario), scenario.heater.kind
        air_C = read_air(now)
        see = Present(
            air_C,
            None if fire is None else read_fire(fire, heater, kind),
            None if store is None else read_store(store, heater, kind),
        )
        record = middle_winter(read_winters(scenario, list(weather) if weather else None))
        moment = _moment(at, record)
        expected = read_forecast(forecast, record)
        been = None if recent is None else read_forecast(recent, record)
        check_forecast(expected, moment)
        winter = ready(scenario, record)
        hints = [check_scale(one, winter, moment) for one in (expected, been) if one is not None]
        notes(text for text in (doubtful_air(now, air_C), *hints) if text)
        notes([*heater_notes(scenario, [kind]), *weather_notes([record])])
        found = tonight(scenario, winter, expected, been, moment, see)
        words = Units(units is UnitsChoice.us)
        if json:
            from greenhouse_sim.report.tonight_json import tonight_json

            typer.echo(tonight_json(found), nl=False)
        else:
            show_tonight(found, words)
        if out is not None:
            write_tonight(found, words, out)


def _moment(text: str | None, place: Weather) -> datetime:
    """The present in the farm's standard time, at the nearest full hour."""
    from datetime import UTC, datetime, timedelta

    from greenhouse_sim.journal.texts import moment

    if text is None:
        here = datetime.now(UTC).replace(tzinfo=None) + timedelta(hours=place.utc_offset_h)
    else:
        here = moment(text, "--at")
    return (here + timedelta(minutes=30)).replace(minute=0, second=0, microsecond=0)


def show_tonight(found: Tonight, units: Units) -> None:
    """The line, the tables, and what to mind."""
    from greenhouse_sim.cli.show import console, paragraphs
    from greenhouse_sim.report import tonight_words as words
    from greenhouse_sim.report.tonight_table import step_table, way_table

    page = console()
    paragraphs(page, [words.first_line(found, units)], style="bold")
    alarm = [text for text in (words.helpless(found, units), words.if_nobody(found, units)) if text]
    if alarm:
        paragraphs(page, alarm)
    paragraphs(page, [words.present_line(found, units)])
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
