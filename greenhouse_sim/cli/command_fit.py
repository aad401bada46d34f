"""``greenhouse-sim fit FILE --log LOG.csv``: learn a greenhouse from a thermometer's log."""

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
    from greenhouse_sim.journal.entry import Entry
    from greenhouse_sim.plans.fit import Fit
    from greenhouse_sim.plans.logger import Log
    from greenhouse_sim.report.words import Units
    from greenhouse_sim.scenario import Scenario
    from greenhouse_sim.weather import Weather


class ReadingsChoice(StrEnum):
    """What a reading of the logger stands for; the words of `plans.logger_hours`."""

    spot = "spot"
    means = "means"
    means_after = "means-after"


def fit_command(
    file: ScenarioFile,
    log: Annotated[
        Path,
        typer.Option(
            "--log",
            metavar="CSV",
            help="The logger's record: time, indoor [degF], perhaps outdoor [degF], heat [W] and "
            "loaded [lb]. Loads may stand in the journal instead.",
            show_default=False,
        ),
    ],
    unheated: Annotated[
        bool, typer.Option("--unheated", help="No heater ran while the log was kept.")
    ] = False,
    readings: Annotated[
        ReadingsChoice,
        typer.Option(
            "--readings", help="What a reading stands for: its moment (spot), or the mean of the "
            "step that ends (means) or begins (means-after) at its time.",
        ),
    ] = ReadingsChoice.spot,
    write: Annotated[
        Path | None,
        typer.Option(
            "--write", metavar="FILE", help="Write the scenario with the fitted values.",
            show_default=False,
        ),
    ] = None,
    journal: Annotated[
        Path | None,
        typer.Option(
            "--journal", metavar="FILE", help="The journal with the loads; without this it lies "
            "beside the scenario.", show_default=False,
        ),
    ] = None,
    weather: WeatherFiles = None,
    units: UnitsOption = UnitsChoice.us,
    json: JsonOption = False,
    out: OutOption = None,
) -> None:  # fmt: skip
    """Fit loss, leaks, heat capacity, soil and sun (and the heater) to a thermometer's log."""
    with told_plainly():
        from greenhouse_sim.cli.output import check_out
        from greenhouse_sim.cli.say import notes, weather_notes
        from greenhouse_sim.plans.fit import fit, with_loads
        from greenhouse_sim.plans.logger import read_log
        from greenhouse_sim.report.fit_table import fit_json
        from greenhouse_sim.report.words import Units
        from greenhouse_sim.scenario import read_scenario
        from greenhouse_sim.season.run import read_records

        if out is not None:
            check_out(out)
        scenario = read_scenario(file)
        records = read_records(scenario, list(weather) if weather else None)
        read = read_log(log, records[0].utc_offset_h, readings.value)
        record = _of_that_time(records, read)
        notes(weather_notes([record]))
        if not unheated and read.heat_W is None:
            read = with_loads(read, _entries(scenario, journal))
        typer.echo("Fitting; this takes some seconds ...", err=True)
        found = fit(scenario, record, read, unheated=unheated)
        words = Units(units is UnitsChoice.us)
        if json:
            typer.echo(fit_json(found), nl=False)
        else:
            show_fit(found, words)
        if write is not None:
            _write_scenario(found, file, write)
        if out is not None:
            _write(found, words, out)


def _of_that_time(records: list[Weather], log: Log) -> Weather:
    """The record with the most of the log's hours."""
    from datetime import timedelta

    def shared(record: Weather) -> float:
        hour = timedelta(hours=1)
        first = max(log.start, record.start)
        last = min(log.start + log.hours * hour, record.start + record.hours * hour)
        return (last - first) / hour

    return max(records, key=shared)


def _entries(scenario: Scenario, journal: Path | None) -> list[Entry]:
    from greenhouse_sim.journal.store import Journal, journal_path

    place = journal or journal_path(scenario.path)
    if journal is None and not place.exists():
        return []
    with Journal(place, make=False) as book:
        return book.entries()


def show_fit(found: Fit, units: Units) -> None:
    """The line, the factors, what is left by hour, and what to doubt."""
    from greenhouse_sim.cli.show import console, paragraphs
    from greenhouse_sim.report.fit_table import (
        doubts,
        estimate_table,
        factors,
        first_line,
        heater_fields,
        hour_table,
        loss_line,
    )
    from greenhouse_sim.scenario.write_fitted import fitted_line

    page = console()
    paragraphs(page, [f"{first_line(found, units)}."], style="bold")
    paragraphs(page, [loss_line(found, units)])
    page.print(estimate_table(found))
    page.print(hour_table(found, units))
    paragraphs(page, doubts(found))
    own = [f"{key} = {value:.3f}" for key, value in heater_fields(found).items()]
    told = ["For the scenario, under [greenhouse]:", fitted_line(factors(found))]
    paragraphs(page, told + (["and under [heater]: " + ", ".join(own)] if own else []))


def _write_scenario(found: Fit, file: str, path: Path) -> None:
    from greenhouse_sim.files import written_whole
    from greenhouse_sim.report.fit_table import factors, heater_fields
    from greenhouse_sim.scenario.write_fitted import with_fitted

    text = Path(file).read_text(encoding="utf-8-sig")
    written = with_fitted(text, file, factors(found), heater_fields(found))
    with written_whole(path) as temporary:
        temporary.write_text(written, encoding="utf-8")
    typer.echo(f"Wrote the fitted scenario to {path}.", err=True)


def _write(found: Fit, units: Units, out: Path) -> None:
    """Tables, and the pictures before and after."""
    from greenhouse_sim.report.charts.fit import before_and_after, by_hour, factors
    from greenhouse_sim.report.charts.style import save
    from greenhouse_sim.report.fit_table import write_fit

    written = write_fit(found, out)
    written.append(save(before_and_after(found, units), out / "fit.png"))
    written.append(save(by_hour(found, units), out / "fit_by_hour.png"))
    written.append(save(factors(found), out / "fit_factors.png"))
    typer.echo(f"Wrote {len(written)} files to {out}.", err=True)
