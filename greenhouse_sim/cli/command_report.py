"""``greenhouse-sim report FILE``: every answer on one page, to read, print and show."""

from __future__ import annotations

import os
from pathlib import Path
from typing import Annotated

import typer

from greenhouse_sim.cli.door import told_plainly
from greenhouse_sim.cli.options import (
    ScenarioFile,
    UnitsChoice,
    UnitsOption,
    WeatherFiles,
)

ENDINGS = (".html", ".htm")


def report_command(
    file: ScenarioFile,
    out: Annotated[
        Path,
        typer.Option(
            "--out",
            metavar="PAGE",
            help="The page to write. It needs no network; for a PDF print it from the browser.",
        ),
    ] = Path("report.html"),
    weather: WeatherFiles = None,
    units: UnitsOption = UnitsChoice.us,
) -> None:
    """Write one page with every answer: heaters, wood, work, nights, absences, costs, sources."""
    with told_plainly():
        _check(out)
        from greenhouse_sim import __version__
        from greenhouse_sim.cli.say import Progress, notes
        from greenhouse_sim.cli.work import read_whole
        from greenhouse_sim.files import written_whole
        from greenhouse_sim.heater.catalogue import burns, heater_table
        from greenhouse_sim.plans.compare import all_heaters
        from greenhouse_sim.plans.foreseen import Work
        from greenhouse_sim.plans.nights import steps
        from greenhouse_sim.report.page.findings import findings
        from greenhouse_sim.report.page.page import page
        from greenhouse_sim.report.words import Units
        from greenhouse_sim.season.run import notes as heater_notes

        job, records = read_whole(file, weather)
        own = heater_table(job.scenario.heater.kind, "[heater] kind")["name"].value
        bought = [name for name in all_heaters() if burns(name) != "none"]
        heaters = list(dict.fromkeys([*bought, own]))
        notes(heater_notes(job.scenario, [own]))
        many = len(job.winters)
        with Progress(many * (len(heaters) + 2) + steps(many, 1, 0)) as progress:
            work = Work("auto", progress.tell, progress.advance)
            words = Units(units is UnitsChoice.us)
            with findings(job.scenario, heaters, job.winters, records, words, work) as found:
                text = page(found, __version__)
        with written_whole(out) as temporary:
            temporary.write_text(text, encoding="utf-8")
        typer.echo(f"Wrote {out} ({len(text.encode()) / 1.0e6:.1f} MB).", err=True)


def _check(out: Path) -> None:
    """Refuse a page that cannot be written, before any work is done."""
    from greenhouse_sim.cli.output import check_out
    from greenhouse_sim.errors import GreenhouseError

    if out.is_dir():
        raise GreenhouseError(f"--out {out}: is a folder; name a file, such as {out}/report.html")
    if out.suffix.lower() not in ENDINGS:
        raise GreenhouseError(
            f"--out {out}: the page is HTML; name it {out.with_suffix('.html').name} (for a PDF "
            "print it from the browser)"
        )
    check_out(out.parent)
    if out.exists() and not os.access(out, os.W_OK):
        raise GreenhouseError(f"--out {out}: cannot be written to; name another file")
