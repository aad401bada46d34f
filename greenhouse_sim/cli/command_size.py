"""``greenhouse-sim size FILE``: the smallest size that keeps a promise."""

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

    from greenhouse_sim.plans.sizing import Sized, Target
    from greenhouse_sim.report.words import Units
    from greenhouse_sim.scenario import Scenario

SHARE_EXAMPLE = "9/10"


def size_command(
    file: ScenarioFile,
    wakeups: Annotated[
        float | None,
        typer.Option(
            "--wakeups", metavar="COUNT", help="No more times up at night in a winter than this.",
            show_default=False,
        ),
    ] = None,
    cold_hours: Annotated[
        float | None,
        typer.Option(
            "--cold-hours", metavar="HOURS",
            help="No more hours below setpoint in a winter than this.", show_default=False,
        ),
    ] = None,
    share: Annotated[
        str,
        typer.Option("--in", metavar="SHARE", help='Winters that must keep it, such as "9/10".'),
    ] = SHARE_EXAMPLE,
    weather: WeatherFiles = None,
    units: UnitsOption = UnitsChoice.us,
    json: JsonOption = False,
    out: OutOption = None,
) -> None:  # fmt: skip
    """Find the smallest firebox, hopper, tank, bench or pile, and how many, that keep a promise."""
    with told_plainly():
        from greenhouse_sim.cli.output import check_out
        from greenhouse_sim.cli.say import Progress
        from greenhouse_sim.cli.work import read_job
        from greenhouse_sim.plans.foreseen import Work, foreseen, prepared
        from greenhouse_sim.plans.parts import parts_of
        from greenhouse_sim.plans.sizing import sizes, trials
        from greenhouse_sim.report.size_json import size_json
        from greenhouse_sim.report.words import Units

        target = _target(wakeups, cold_hours, share)
        if out is not None:
            check_out(out)
        job = read_job(file, weather)
        kind, many = job.scenario.heater.kind, len(job.winters)
        parts = parts_of(kind)
        with Progress(many * (2 + sum(trials(part) + 1 for part in parts))) as progress:
            work = Work("auto", progress.tell, progress.advance)
            winters = foreseen(job.scenario, prepared(job.scenario, job.winters, work), work)
            found = sizes(job.scenario, winters, parts, target, work)
        words = Units(units is UnitsChoice.us)
        names = [one.weather.name for one in winters]
        if json:
            typer.echo(size_json(kind, found, target, names), nl=False)
        else:
            show_sizes(found, target, job.scenario, names, words)
        if out is not None:
            write_out(found, target, kind, many, words, out)


def _target(wakeups: float | None, cold_h: float | None, share: str) -> Target:
    """What was asked for; refuses a promise about nothing or below nothing."""
    from greenhouse_sim.errors import ScenarioError
    from greenhouse_sim.plans.sizing import Target

    if wakeups is None and cold_h is None:
        raise ScenarioError(
            "no target: write --wakeups 5 (times up in a winter), --cold-hours 10 (hours below "
            "setpoint), or both"
        )
    for option, value in (("--wakeups", wakeups), ("--cold-hours", cold_h)):
        if value is not None and not 0.0 <= value < 9000.0:
            raise ScenarioError(f"{option}: {value:g} is not a count of a winter; write one from 0")
    return Target(wakeups, cold_h, _share(share))


def _share(text: str) -> float:
    """ "9/10", "0.9" or "90 %"."""
    from greenhouse_sim.errors import ScenarioError
    from greenhouse_sim.units import quoted

    try:
        top, _, bottom = text.strip().partition("/")
        if text.strip().endswith("%"):
            value = float(text.strip()[:-1]) / 100.0
        else:
            value = float(top) / float(bottom or 1.0)
    except (ValueError, ZeroDivisionError):
        value = 0.0
    if not 0.0 < value <= 1.0:
        raise ScenarioError(
            f'--in: {quoted(text)} is not a share of winters; write one such as "{SHARE_EXAMPLE}"'
        )
    return value


def show_sizes(
    found: Sequence[Sized], target: Target, scenario: Scenario, names: list[str], units: Units
) -> None:
    """The target, the answer for each part, the tables, and what to mind."""
    from greenhouse_sim.cli.show import console, paragraphs
    from greenhouse_sim.report.cautions import cautions
    from greenhouse_sim.report.reading import farm_line
    from greenhouse_sim.report.size_table import size_table
    from greenhouse_sim.report.size_words import notes, part_line, steady_line, target_words

    page, many = console(), len(names)
    head = f"{scenario.heater.kind}: {target_words(target, many)}"
    paragraphs(page, [f"{head}:", *(part_line(one, many, units) for one in found)], style="bold")
    paragraphs(page, [farm_line(scenario, names, units)])
    for one in found:
        page.print(size_table(one, target, many, units))
    never_up = scenario.routine.gets_up_below is None
    broken = [line for one in found if (line := steady_line(one, units))]
    paragraphs(page, broken + notes(found, target, many, never_up))
    paragraphs(page, cautions(), style="dim")


def write_out(
    found: Sequence[Sized], target: Target, kind: str, winters: int, units: Units, out: Path
) -> None:
    """The table and the picture of sizes."""
    from greenhouse_sim.report.charts.size import size_curves
    from greenhouse_sim.report.charts.style import save
    from greenhouse_sim.report.size_json import write_sizes

    typer.echo(f"Writing tables and pictures to {out} ...", err=True)
    written = [write_sizes(found, out)]
    written.append(save(size_curves(kind, found, target, winters, units), out / "size.png"))
    typer.echo(f"Wrote {len(written)} files to {out}.", err=True)
