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
PDF = ".pdf"


def report_command(
    file: ScenarioFile,
    out: Annotated[
        Path,
        typer.Option(
            "--out",
            metavar="PAGE",
            help="The page to write. It needs no network, and prints from any browser.",
        ),
    ] = Path("report.html"),
    pdf: Annotated[
        Path | None,
        typer.Option(
            "--pdf",
            metavar="FILE",
            help="Also write the page as a PDF: on Letter, with --units si on A4. It takes half a "
            'minute more and needs "pip install greenhouse-sim[pdf]".',
            show_default=False,
        ),
    ] = None,
    weather: WeatherFiles = None,
    units: UnitsOption = UnitsChoice.us,
) -> None:
    """Write one page with every answer: heaters, wood, work, nights, absences, costs, sources."""
    with told_plainly():
        _check(out)
        if pdf is not None:
            _check_pdf(pdf)
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
        with Progress(many * len(heaters) + steps(many, 1, 0)) as progress:
            work = Work("auto", progress.tell, progress.advance)
            words = Units(units is UnitsChoice.us)
            with findings(job.scenario, heaters, job.winters, records, words, work) as found:
                text = page(found, __version__)
        with written_whole(out) as temporary:
            temporary.write_text(text, encoding="utf-8")
        typer.echo(f"Wrote {out} ({len(text.encode()) / 1.0e6:.1f} MB).", err=True)
        if pdf is not None:
            _write_pdf(pdf, text, units)


def _write_pdf(path: Path, text: str, units: UnitsChoice) -> None:
    """The page on the paper of the reader's units, whole or not at all."""
    from greenhouse_sim.files import written_whole
    from greenhouse_sim.report.page.pdf import A4, LETTER
    from greenhouse_sim.report.page.pdf import pdf as on_paper

    typer.echo("Setting the pages of the PDF: about half a minute ...", err=True)
    made = on_paper(text, LETTER if units is UnitsChoice.us else A4)
    with written_whole(path) as temporary:
        temporary.write_bytes(made)
    typer.echo(f"Wrote {path} ({len(made) / 1.0e6:.1f} MB).", err=True)


def _check(out: Path) -> None:
    """Refuse a page that cannot be written, before any work is done."""
    from greenhouse_sim.errors import GreenhouseError

    _check_place("--out", out, "report.html")
    if out.suffix.lower() not in ENDINGS:
        raise GreenhouseError(
            f"--out {out}: the page is HTML; name it {out.with_suffix('.html').name} (for a PDF "
            "there is --pdf, or print the page from a browser)"
        )


def _check_pdf(path: Path) -> None:
    """Refuse a PDF that cannot be made or written, before any work is done."""
    from greenhouse_sim.errors import GreenhouseError
    from greenhouse_sim.report.page.pdf import library

    _check_place("--pdf", path, "report.pdf")
    if path.suffix.lower() != PDF:
        raise GreenhouseError(
            f"--pdf {path}: the file is a PDF; name it {path.with_suffix(PDF).name}"
        )
    library()


def _check_place(option: str, path: Path, name: str) -> None:
    from greenhouse_sim.cli.output import check_out
    from greenhouse_sim.errors import GreenhouseError

    if path.is_dir():
        raise GreenhouseError(f"{option} {path}: is a folder; name a file, such as {path}/{name}")
    check_out(path.parent)
    if path.exists() and not os.access(path, os.W_OK):
        raise GreenhouseError(f"{option} {path}: cannot be written to; name another file")
