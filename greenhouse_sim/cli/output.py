"""Write the files of ``--out``."""

from __future__ import annotations

import os
from pathlib import Path
from typing import TYPE_CHECKING

import typer

from greenhouse_sim.errors import GreenhouseError

if TYPE_CHECKING:
    from greenhouse_sim.cli.work import Job
    from greenhouse_sim.plans.compare import Comparison
    from greenhouse_sim.report.words import Units
    from greenhouse_sim.scenario import Scenario


def check_out(out: Path) -> None:
    """Refuse a folder that cannot be written to, before any work is done."""
    if out.exists() and not out.is_dir():
        raise GreenhouseError(f"--out {out}: is a file; name a folder")
    place = out.absolute()
    while not place.exists():
        place = place.parent
    if not place.is_dir():
        raise GreenhouseError(f"--out {out}: {place} is a file; name another folder")
    if not os.access(place, os.W_OK | os.X_OK):
        raise GreenhouseError(f"--out {out}: {place} cannot be written to; name another folder")


def write_run(result: Comparison, scenario: Scenario, units: Units, out: Path) -> None:
    """Tables and pictures of one heater's winters."""
    from greenhouse_sim.report.csvs import write_tables, write_traces
    from greenhouse_sim.report.pictures import heater_pictures, pictured, winter_pictures

    _began(out)
    written = write_tables(result, units, out) + write_traces(result, units, out)
    written += winter_pictures(pictured(result.seasons), scenario, units, out)
    written += heater_pictures(result.seasons, scenario, units, out)
    _ended(written, out)


def write_compare(result: Comparison, job: Job, units: Units, out: Path) -> None:
    """Tables and bars of all heaters; pictures of the scenario's own in the middle winter."""
    from greenhouse_sim.cli.work import quietly
    from greenhouse_sim.report.csvs import write_tables
    from greenhouse_sim.report.pictures import (
        comparison_picture,
        heater_pictures,
        middle,
        winter_pictures,
    )

    _began(out)
    written = write_tables(result, units, out)
    written.append(comparison_picture(result, job.scenario, units, out))
    own = quietly(job, [job.scenario.heater.kind], traced=True).seasons
    written += winter_pictures([middle(own)], job.scenario, units, out)
    written += heater_pictures(own, job.scenario, units, out)
    _ended(written, out)


def _began(out: Path) -> None:
    typer.echo(f"Writing tables and pictures to {out} ...", err=True)


def _ended(written: list[Path], out: Path) -> None:
    typer.echo(f"Wrote {len(written)} files to {out}.", err=True)
