"""The ``--uncertain`` option of `run` and `compare`."""

from __future__ import annotations

from collections.abc import Sequence
from pathlib import Path
from typing import TYPE_CHECKING, Annotated, Any

import typer

if TYPE_CHECKING:
    from greenhouse_sim.cli.work import Job
    from greenhouse_sim.plans.compare import Comparison
    from greenhouse_sim.plans.uncertain import Uncertain
    from greenhouse_sim.report.words import Units

UncertainOption = Annotated[
    int | None,
    typer.Option(
        "--uncertain",
        metavar="[DRAWS]",
        help="Also draw what a grower seldom knows (leaks, wood moisture, efficiency ...) from "
        "its range, and rank what moves fuel and cold hours most. 64 draws where none are named.",
        show_default=False,
    ),
]


def draw(job: Job, heaters: Sequence[str], asked: int) -> list[Uncertain]:
    """The heaters with the unknowns drawn; those of the first (or the scenario's own) ranked."""
    from greenhouse_sim.cli.say import Progress
    from greenhouse_sim.plans.uncertain import draws_of, seasons_of, uncertain
    from greenhouse_sim.plans.unknowns import unknowns

    draws = draws_of(asked)
    own = job.scenario.heater.kind
    ranked = own if own in heaters else heaters[0]
    count = {kind: len(unknowns(job.scenario, kind, len(job.winters))) for kind in heaters}
    steps = sum(seasons_of(count[kind], draws, kind == ranked) for kind in heaters)
    with Progress(steps) as progress:
        return uncertain(
            job.scenario, job.winters, heaters, draws=draws, ranked=[ranked],
            tell=progress.tell, advance=progress.advance,
        )  # fmt: skip


def show_uncertain(
    page: Any, plain: Comparison, found: Sequence[Uncertain], units: Units, damage_C: float
) -> None:
    """The spread of every heater, the ranking of one, and how to read them."""
    from greenhouse_sim.cli.show import paragraphs
    from greenhouse_sim.report.uncertain_table import (
        measure_lines,
        ranking_table,
        spread_table,
        uncertain_notes,
    )

    page.print(spread_table(plain, found, units, damage_C))
    for one in found:
        if one.ranking:
            page.print(ranking_table(one, units))
            paragraphs(page, measure_lines(one, units))
    paragraphs(page, uncertain_notes())


def json_part(found: Sequence[Uncertain]) -> dict[str, Any]:
    """What ``--json`` holds beside seasons and summary; nothing where nothing was drawn."""
    if not found:
        return {}
    from greenhouse_sim.report.uncertain_json import uncertain_answer

    return {"uncertain": uncertain_answer(found)}


def write_uncertain(found: Sequence[Uncertain], units: Units, out: Path) -> None:
    """Every draw as CSV, and the ranking as a picture."""
    from greenhouse_sim.report.charts.style import save
    from greenhouse_sim.report.charts.uncertain import unknown_bars
    from greenhouse_sim.report.uncertain_json import write_draws
    from greenhouse_sim.report.words import slug

    for one in found:
        write_draws(one, out / f"draws-{slug(one.heater)}.csv")
        if one.ranking:
            save(unknown_bars(one, units), out / f"unknowns-{slug(one.heater)}.png")
