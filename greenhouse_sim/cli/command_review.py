"""``greenhouse-sim review FILE``: a winter's plan against its journal, and why they differ."""

from __future__ import annotations

from enum import StrEnum
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

    from greenhouse_sim.journal.entry import Entry
    from greenhouse_sim.plans.review import Review
    from greenhouse_sim.plans.review_journal import Span
    from greenhouse_sim.report.words import Units
    from greenhouse_sim.scenario import Scenario


class NotedBy(StrEnum):
    """How amounts were noted."""

    weight = "weight"
    stack = "stack"


def _text(name: str, metavar: str, words: str) -> typer.models.OptionInfo:
    option: typer.models.OptionInfo = typer.Option(
        name, metavar=metavar, help=words, show_default=False
    )
    return option


def review_command(
    file: ScenarioFile,
    this_winter: Annotated[
        str | None,
        _text("--this-winter", "FILE", "The weather as it was: a record that covers this winter."),
    ] = None,
    wood: Annotated[
        str | None, _text("--wood", "NAME", 'The wood as it was, such as "paper birch".')
    ] = None,
    moisture: Annotated[
        float | None,
        _text("--moisture", "SHARE", "Its water as it was, a share of the whole weight: 0.28."),
    ] = None,
    fitted: Annotated[
        str | None,
        _text("--fitted", "FILE", "A scenario that fit --write has written: the house as it was. "
              "Without this it is FILE's own [greenhouse] fitted, and the plan is without."),
    ] = None,
    noted: Annotated[
        NotedBy | None,
        typer.Option("--noted", help="How amounts were noted: by weight, or by the stack. Without "
                     "this loads are by weight; what was carried in, and full and half loads, by "
                     "the stack.",
                     show_default=False),
    ] = None,
    winter: Annotated[
        str | None,
        _text("--winter", "WINTER", "The winter, such as 2026-27; the journal's last if not "
              "given."),
    ] = None,
    from_day: Annotated[
        str | None, _text("--from", "DATE", "Leave out the days before this one.")
    ] = None,
    to_day: Annotated[
        str | None, _text("--to", "DATE", "Leave out the days after this one.")
    ] = None,
    journal: Annotated[
        Path | None,
        typer.Option("--journal", metavar="FILE", help="The journal; without this it lies beside "
                     "the scenario.", show_default=False),
    ] = None,
    weather: WeatherFiles = None,
    units: UnitsOption = UnitsChoice.us,
    json: JsonOption = False,
    out: OutOption = None,
) -> None:  # fmt: skip
    """Review a winter: plan against journal by month, why they differ, what to change.

    The season is run again with weather, wood, house and habit as they were.
    """
    with told_plainly():
        from greenhouse_sim.cli.output import check_out
        from greenhouse_sim.cli.say import Progress, notes, weather_notes
        from greenhouse_sim.plans.foreseen import Work
        from greenhouse_sim.plans.review import Asked, review, reviewed_span
        from greenhouse_sim.report.words import Units
        from greenhouse_sim.scenario import read_scenario
        from greenhouse_sim.season.run import read_records, read_winters

        if out is not None:
            check_out(out)
        scenario = read_scenario(file)
        place, entries = _entries(scenario, journal)
        other = read_scenario(fitted) if fitted is not None else None
        asked = Asked(str(place), winter, None, wood, moisture, other,
                      None if noted is None else noted.value)  # fmt: skip
        span = _shortened(reviewed_span(scenario, entries, asked), from_day, to_day)
        scenario = _within(scenario, span)
        asked = asked._replace(winter=str(span.first.year))
        if this_winter is not None:
            asked = asked._replace(weather=read_records(scenario, [this_winter])[0])
        past = read_winters(scenario, list(weather) if weather else None)
        notes(weather_notes([*past, *([asked.weather] if asked.weather is not None else [])]))
        with Progress(2 * (len(past) + 1)) as progress:
            work = Work(tell=progress.tell, advance=progress.advance)
            found = review(scenario, entries, past, asked, work)
        line = _weather_line(found, file, this_winter, bool(weather))
        words = Units(units is UnitsChoice.us)
        if json:
            from greenhouse_sim.report.review_json import review_json

            typer.echo(review_json(found, line), nl=False)
        else:
            _show(found, words, line)
        if out is not None:
            _write(found, words, line, out)


def _entries(scenario: Scenario, journal: Path | None) -> tuple[Path, list[Entry]]:
    from greenhouse_sim.errors import JournalError
    from greenhouse_sim.journal.store import Journal, journal_path

    place = journal or journal_path(scenario.path)
    if not place.exists():
        raise JournalError(
            f"{place}: there is no journal to review; keep one with log, or name another with "
            "--journal FILE"
        )
    with Journal(place, make=False) as book:
        return place, book.entries()


def _shortened(span: Span, from_day: str | None, to_day: str | None) -> Span:
    """The winter without the days that are to be left out."""
    from greenhouse_sim.errors import JournalError

    first = span.first if from_day is None else _day(from_day, "--from")
    last = span.last if to_day is None else _day(to_day, "--to")
    if not span.first <= first < last <= span.last:
        raise JournalError(
            f"--from {first} --to {last}: is no part of the winter {span.winter}; write days in "
            f"order from {span.first} to {span.last}"
        )
    return span._replace(first=first, last=last)


def _day(text: str, where: str) -> date:
    from datetime import date

    from greenhouse_sim.errors import JournalError
    from greenhouse_sim.units import quoted

    try:
        return date.fromisoformat(text.strip())
    except ValueError:
        raise JournalError(
            f"{where}: {quoted(text)} is not a day; write year, month and day as in 2027-01-20"
        ) from None


def _within(scenario: Scenario, span: Span) -> Scenario:
    """The scenario with its season cut to the days that are reviewed."""
    site = scenario.site
    first, last = ((day.month, day.day) for day in (span.first, span.last))
    if (first, last) == (site.season_start, site.season_end):
        return scenario
    season = {"start": f"{span.first:%m-%d}", "end": f"{span.last:%m-%d}"}
    return scenario.with_(**{"site.season": season})


def _weather_line(found: Review, file: str, this_winter: str | None, others: bool) -> str | None:
    """The scenario's weather with this winter's record among it."""
    import os

    from greenhouse_sim.report.review_toml import weather_toml

    if this_winter is None or found.in_record or others:
        return None
    name = this_winter
    if Path(this_winter).exists():
        name = Path(os.path.relpath(this_winter, Path(file).parent or ".")).as_posix()
    return weather_toml([*found.scenario.site.weather, name])


def _show(found: Review, units: Units, line: str | None) -> None:
    from greenhouse_sim.cli.show import console, paragraphs
    from greenhouse_sim.report.cautions import cautions
    from greenhouse_sim.report.review_table import cause_table, fuel_table, work_table
    from greenhouse_sim.report.review_toml import next_lines, next_text
    from greenhouse_sim.report.review_words import (
        cause_lines,
        first_line,
        next_lines_before,
        nothing_line,
        plan_lines,
        rest_lines,
        silent_lines,
        work_lines,
    )

    page = console()
    paragraphs(page, [f"{first_line(found, units)}."], style="bold")
    silent = silent_lines(found, units)
    if silent:
        paragraphs(page, silent)
    paragraphs(page, plan_lines(found, units))
    page.print(fuel_table(found, units))
    page.print(work_table(found))
    paragraphs(page, work_lines(found))
    page.print(cause_table(found, units))
    paragraphs(page, cause_lines(found, units))
    paragraphs(page, rest_lines(found, units))
    lines = next_lines(found, line, units)
    if lines:
        paragraphs(page, ["For next year, in place of the lines of the same name:"], style="bold")
        page.print(next_text(lines), markup=False, soft_wrap=True)
        paragraphs(page, next_lines_before(found, units))
    else:
        paragraphs(page, [nothing_line(found)])
    paragraphs(page, cautions(), style="dim")


def _write(found: Review, units: Units, line: str | None, out: Path) -> None:
    """Tables, the lines for next year, and the picture."""
    from greenhouse_sim.files import written_whole
    from greenhouse_sim.report.charts.review import review_picture
    from greenhouse_sim.report.charts.style import save
    from greenhouse_sim.report.review_csv import write_review
    from greenhouse_sim.report.review_toml import next_lines, next_text

    written = write_review(found, out)
    text = next_text(next_lines(found, line, units))
    if text:
        written.append(out / "review_next.toml")
        with written_whole(written[-1]) as temporary:
            temporary.write_text(text, encoding="utf-8")
    written.append(save(review_picture(found, units), out / "review.png"))
    typer.echo(f"Wrote {len(written)} files to {out}.", err=True)
