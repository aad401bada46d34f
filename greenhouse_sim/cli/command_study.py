"""``greenhouse-sim study STUDY.toml --out results.parquet``: very many seasons."""

from __future__ import annotations

import sys
import time
from pathlib import Path
from typing import TYPE_CHECKING, Annotated

import typer

from greenhouse_sim.cli.door import told_plainly
from greenhouse_sim.cli.options import JsonOption, UnitsChoice, UnitsOption
from greenhouse_sim.cli.say import Progress

if TYPE_CHECKING:
    from greenhouse_sim.plans.study import Study
    from greenhouse_sim.plans.study_out import Results
    from greenhouse_sim.report.words import Units

EVERY_S = 10.0
"""Where there is no terminal for a bar, a line so often."""


def study_command(
    file: Annotated[
        str,
        typer.Argument(metavar="STUDY", help="The study, a TOML file: what is varied on a farm."),
    ],
    out: Annotated[
        Path,
        typer.Option(
            "--out",
            metavar="FOLDER",
            help="Where the results go, such as results.parquet: a folder of Parquet files that "
            "readers take as one table. Where it holds a part of this study, the rest is run.",
            show_default=False,
        ),
    ],
    scheduler: Annotated[
        str | None,
        typer.Option(
            "--scheduler",
            metavar="ADDRESS",
            help="Run on the workers of a dask.distributed scheduler, such as "
            "tcp://10.0.0.5:8786, instead of this machine's cores.",
            show_default=False,
        ),
    ] = None,
    units: UnitsOption = UnitsChoice.us,
    json: JsonOption = False,
) -> None:
    """Run every combination (or draws) of what a study varies, into one table."""
    with told_plainly():
        from greenhouse_sim.plans.design_of_study import Design
        from greenhouse_sim.plans.study import read_study
        from greenhouse_sim.plans.study_columns import arrow
        from greenhouse_sim.plans.study_out import Results, study_key
        from greenhouse_sim.plans.study_run import run_study
        from greenhouse_sim.report.words import Units

        arrow()
        study = read_study(file)
        results = Results(out, Design(study), study_key(study))
        results.open()
        left = sum(results.design.seasons_of(part) for part in results.missing())
        _say_begin(results, left)
        with Counter(left) as counter:
            run_study(results, scheduler=scheduler, tell=counter.tell, advance=counter.advance)
        if json:
            typer.echo(_json(results), nl=False)
        else:
            _show(study, results, Units(units is UnitsChoice.us))


class Counter(Progress):
    """A bar on a terminal; elsewhere a line now and then, with the time left."""

    def __init__(self, total: int) -> None:
        super().__init__(total)
        self._first = self._told = time.monotonic()

    def __enter__(self) -> Counter:
        """Start to count time."""
        self._first = self._told = time.monotonic()
        super().__enter__()
        return self

    def advance(self, steps: int) -> None:
        """Count seasons."""
        super().advance(steps)
        now = time.monotonic()
        if sys.stderr.isatty() or now - self._told < EVERY_S:
            return
        self._told = now
        left_s = (self.total - self.done) * (now - self._first) / self.done
        self.tell(f"{self.done:,} of {self.total:,} seasons, about {_span(left_s)} left")


def _span(seconds: float) -> str:
    """A time in words: "40 s", "12 min", "3.4 h"."""
    if seconds < 90.0:
        return f"{seconds:.0f} s"
    return f"{seconds / 60.0:.0f} min" if seconds < 5400.0 else f"{seconds / 3600.0:.1f} h"


def _say_begin(results: Results, left: int) -> None:
    design = results.design
    line = f"{design.points:,} farms, {design.seasons:,} seasons in {design.part_count():,} parts"
    if left < design.seasons:
        line += f"; {design.seasons - left:,} seasons are there already"
    typer.echo(f"{line}.", err=True)


def _show(study: Study, results: Results, units: Units) -> None:
    from greenhouse_sim.cli.show import console, paragraphs
    from greenhouse_sim.report.cautions import cautions
    from greenhouse_sim.report.study_table import by_heater, study_table

    page = console()
    damage = study.places[0].scenario({}).crop.damage_below
    page.print(study_table(by_heater(results.folder), units, damage))
    paragraphs(
        page,
        [
            f"{results.folder} is one table of {results.design.seasons:,} rows, a season each, in "
            f'the units of the JSON; pandas.read_parquet("{results.folder}") reads it.'
        ],
    )
    paragraphs(page, cautions(), style="dim")


def _json(results: Results) -> str:
    import json

    design = results.design
    answer = {
        "schema": 1,
        "study": design.study.file,
        "out": str(results.folder),
        "farms": design.points,
        "seasons": design.seasons,
        "parts": design.part_count(),
    }
    return json.dumps(answer, ensure_ascii=False) + "\n"
