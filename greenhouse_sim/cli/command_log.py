"""``greenhouse-sim log FILE``: the winter's journal."""

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
    from datetime import date, datetime

    from greenhouse_sim.heater.fuel import Fuel
    from greenhouse_sim.journal.entry import Entry
    from greenhouse_sim.journal.store import Journal
    from greenhouse_sim.plans.journal_review import SoFar
    from greenhouse_sim.report.words import Units
    from greenhouse_sim.scenario import Scenario

SHARES = {"full": 1.0, "half": 0.5}
"""Loads in words, as shares of what the heater holds."""


def _text(name: str, metavar: str, words: str) -> typer.models.OptionInfo:
    option: typer.models.OptionInfo = typer.Option(
        name, metavar=metavar, help=words, show_default=False
    )
    return option


def log_command(
    file: ScenarioFile,
    load: Annotated[
        str | None,
        _text("--load", "AMOUNT", 'Note a load: "40 lb", "18 kg", or "full" or "half" a charge.'),
    ] = None,
    visit: Annotated[
        bool, typer.Option("--visit", help="Note a look at the fire without a load.")
    ] = False,
    carried: Annotated[
        str | None, _text("--carried", "AMOUNT", 'Note fuel carried in, such as "0.25 cord".')
    ] = None,
    pile: Annotated[
        str | None, _text("--pile", "AMOUNT", 'Note what is left of the pile, such as "4 cord".')
    ] = None,
    indoor: Annotated[
        str | None, _text("--indoor", "TEMPERATURE", 'Note the air inside, such as "48 degF".')
    ] = None,
    outdoor: Annotated[
        str | None, _text("--outdoor", "TEMPERATURE", 'Note the air outside, such as "12 degF".')
    ] = None,
    cut_until: Annotated[
        str | None,
        _text("--cut-until", "TIME", "Note a power cut from --at to this time."),
    ] = None,
    at: Annotated[
        str | None,
        _text("--at", "TIME", 'When it was: "2026-12-01 21:30", local standard time; now if not '
              "given."),
    ] = None,
    woken: Annotated[bool, typer.Option("--woken", help="Somebody got up for it.")] = False,
    minutes: Annotated[
        float | None,
        typer.Option("--minutes", help="Minutes of work it took.", show_default=False),
    ] = None,
    note: Annotated[str, typer.Option("--note", help="A few words.", show_default=False)] = "",
    remove: Annotated[
        int | None,
        typer.Option("--remove", metavar="NUMBER", help="Take an entry out again.",
                     show_default=False),
    ] = None,
    listed: Annotated[
        bool, typer.Option("--list", help="List this season's entries.")
    ] = False,
    import_file: Annotated[
        Path | None,
        typer.Option("--import", metavar="CSV", help="Take in the entries of a CSV file.",
                     show_default=False),
    ] = None,
    export_file: Annotated[
        Path | None,
        typer.Option("--export", metavar="CSV", help="Write all entries into a CSV file.",
                     show_default=False),
    ] = None,
    journal: Annotated[
        Path | None,
        typer.Option("--journal", metavar="FILE", help="The journal; without this it lies beside "
                     "the scenario.", show_default=False),
    ] = None,
    on: Annotated[
        str | None, _text("--on", "DATE", "Tell how it stood on that evening; today if not given.")
    ] = None,
    weather: WeatherFiles = None,
    units: UnitsOption = UnitsChoice.us,
    json: JsonOption = False,
    out: OutOption = None,
) -> None:  # fmt: skip
    """Keep the winter's journal, or show it: fuel against plan, the pile's last day, nights up.

    With something to note it is kept and said so. With nothing to note the winter so far is told.
    """
    with told_plainly():
        from greenhouse_sim.cli.output import check_out
        from greenhouse_sim.heater.burnt import default_fuel
        from greenhouse_sim.journal.store import Journal, journal_path
        from greenhouse_sim.report.words import Units
        from greenhouse_sim.scenario import read_scenario
        from greenhouse_sim.season.run import scenario_fuel

        if out is not None:
            check_out(out)
        scenario = read_scenario(file)
        fuel = default_fuel(scenario.heater.kind, scenario_fuel(scenario))
        told = {"load": load, "carried": carried, "pile": pile, "indoor": indoor,
                "outdoor": outdoor, "cut_until": cut_until}  # fmt: skip
        entry = _entry(scenario, fuel, told, visit, at, woken, minutes, note)
        makes = entry is not None or import_file is not None
        with Journal(journal or journal_path(scenario.path), make=makes) as book:
            changed = _change(book, entry, import_file, remove, fuel)
            if export_file is not None:
                _export(book, export_file)
            if (changed or export_file is not None) and not (json or listed or out or on):
                return
            entries = book.entries()
        words = Units(units is UnitsChoice.us)
        found = _so_far(file, scenario, entries, _day(on), weather)
        if json:
            from greenhouse_sim.report.journal_table import journal_json

            typer.echo(journal_json(found), nl=False)
        else:
            _show(found, words, listed)
        if out is not None:
            _write(found, words, out)


def _entry(
    scenario: Scenario,
    fuel: Fuel,
    told: dict[str, str | None],
    visit: bool,
    at: str | None,
    woken: bool,
    minutes: float | None,
    note: str,
) -> Entry | None:
    """What the options say was done; None where they say nothing."""
    from greenhouse_sim.errors import JournalError
    from greenhouse_sim.journal.entry import CARRIED, CUT, LOAD, PILE, READING, VISIT, Entry, check
    from greenhouse_sim.journal.texts import fuel_kg, moment
    from greenhouse_sim.units import to_si

    kinds = {
        LOAD: told["load"] is not None, VISIT: visit, CARRIED: told["carried"] is not None,
        PILE: told["pile"] is not None, CUT: told["cut_until"] is not None,
    }  # fmt: skip
    chosen = [kind for kind, given in kinds.items() if given]
    temperatures = {
        name: None if told[name] is None else to_si(told[name] or "", "degC", f"--{name}")
        for name in ("indoor", "outdoor")
    }
    if len(chosen) > 1:
        raise JournalError(f"{' and '.join(chosen)} at once; note one thing a time")
    if not chosen and all(value is None for value in temperatures.values()):
        if at is not None or woken or minutes is not None or note:
            raise JournalError(
                '--at, --woken, --minutes and --note tell more of an entry; add --load "40 lb", '
                '--visit, --carried, --pile, --indoor "48 degF" or --cut-until'
            )
        return None
    kind = chosen[0] if chosen else READING
    amount = told.get(kind)
    if kind == LOAD and (amount or "").strip().lower() in SHARES:
        kg = SHARES[(amount or "").strip().lower()] * _charge_kg(scenario)
        note = " ".join((str(amount), note)).strip()
    else:
        kg = fuel_kg(amount, fuel.stacked_kg_m3, f"--{kind}") if amount is not None else None  # type: ignore[assignment]
    until = told["cut_until"]
    return check(
        Entry(
            _now() if at is None else moment(at, "--at"),
            kind,
            kg,
            temperatures["indoor"],
            temperatures["outdoor"],
            minutes,
            woken,
            None if until is None else moment(until, "--cut-until"),
            note,
        ),
        "the entry",
    )


def _charge_kg(scenario: Scenario) -> float:
    """What the heater holds, kg."""
    from greenhouse_sim.errors import JournalError
    from greenhouse_sim.heater.heater import heater_numbers
    from greenhouse_sim.season.run import scenario_fuel

    own = scenario.heater
    held = heater_numbers(own.kind, own.count, own.overrides, scenario_fuel(scenario))
    if held.charge_kg <= 0.0:
        raise JournalError(f"--load: {own.kind} holds no charge; write an amount")
    return held.charge_kg


def _now() -> datetime:
    """This minute in standard time: a computer's summer clock is an hour ahead of it."""
    import time
    from datetime import datetime, timedelta

    ahead = timedelta(hours=1) if time.localtime().tm_isdst > 0 else timedelta()
    return datetime.now() - ahead


def _day(on: str | None) -> date:
    from datetime import date

    from greenhouse_sim.errors import JournalError
    from greenhouse_sim.units import quoted

    if on is None:
        return date.today()
    try:
        return date.fromisoformat(on.strip())
    except ValueError:
        raise JournalError(
            f"--on: {quoted(on)} is not a day; write year, month and day as in 2027-01-20"
        ) from None


def _change(
    book: Journal, entry: Entry | None, import_file: Path | None, remove: int | None, fuel: Fuel
) -> bool:
    """Add, take in and take out; say each once it is kept. True where anything was asked."""
    from greenhouse_sim.journal.texts import read_csv

    if entry is not None:
        (number,) = book.add([entry])
        said = f"Kept as entry {number}" if number else "Stood in the journal already"
        typer.echo(f"{said}: {entry.kind} at {entry.at:%Y-%m-%d %H:%M}, {book.path}")
    if import_file is not None:
        numbers = book.add(read_csv(import_file, fuel.stacked_kg_m3), str(import_file))
        new = sum(1 for number in numbers if number)
        old = len(numbers) - new
        typer.echo(f"Took in {new} entries" + (f"; {old} stood there already" if old else ""))
    if remove is not None:
        gone = book.remove(remove)
        typer.echo(f"Took out entry {remove}: {gone.kind} at {gone.at:%Y-%m-%d %H:%M}")
    return entry is not None or import_file is not None or remove is not None


def _export(book: Journal, path: Path) -> None:
    from greenhouse_sim.files import written_whole
    from greenhouse_sim.journal.texts import to_csv

    entries = book.entries()
    with written_whole(path) as temporary:
        temporary.write_text(to_csv(entries), encoding="utf-8", newline="")
    typer.echo(f"Wrote {len(entries)} entries to {path}.", err=True)


def _so_far(
    file: str, scenario: Scenario, entries: list[Entry], on: date, weather: list[str] | None
) -> SoFar:
    """The winter so far, against the winters of the weather files where there is a pile."""
    from greenhouse_sim.cli.work import do_job, read_job
    from greenhouse_sim.heater.catalogue import burns
    from greenhouse_sim.plans.journal_review import PILED, so_far
    from greenhouse_sim.plans.woodpile import unlimited

    if burns(scenario.heater.kind) not in PILED:
        return so_far(scenario, entries, on)
    job = read_job(file, weather)
    job = job._replace(scenario=unlimited(job.scenario))
    seasons = do_job(job, [scenario.heater.kind], traced=True).seasons
    return so_far(scenario, entries, on, seasons)


def _show(found: SoFar, units: Units, listed: bool) -> None:
    from greenhouse_sim.cli.show import console, paragraphs
    from greenhouse_sim.report.cautions import cautions
    from greenhouse_sim.report.journal_table import (
        first_line,
        list_table,
        plan_lines,
        so_far_table,
        work_line,
    )

    page = console()
    paragraphs(page, [f"{first_line(found, units)}."], style="bold")
    paragraphs(page, plan_lines(found, units))
    page.print(so_far_table(found, units))
    paragraphs(page, work_line(found))
    if listed:
        page.print(list_table(found.entries, units))
    paragraphs(page, cautions(), style="dim")


def _write(found: SoFar, units: Units, out: Path) -> None:
    """The season's entries as CSV, and the picture."""
    from greenhouse_sim.files import written_whole
    from greenhouse_sim.journal.texts import to_csv
    from greenhouse_sim.report.charts.journal import fuel_so_far
    from greenhouse_sim.report.charts.style import save

    written = [out / "journal.csv"]
    with written_whole(written[0]) as temporary:
        temporary.write_text(to_csv(found.entries), encoding="utf-8", newline="")
    picture = fuel_so_far(found, units)
    if picture is not None:
        written.append(save(picture, out / "journal.png"))
    typer.echo(f"Wrote {len(written)} files to {out}.", err=True)
