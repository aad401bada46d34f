"""What `run` and `compare` have in common: from a scenario file to seasons."""

from __future__ import annotations

from collections.abc import Sequence
from pathlib import Path
from typing import TYPE_CHECKING, NamedTuple

from greenhouse_sim.cli.say import Progress, notes, weather_notes

if TYPE_CHECKING:
    from greenhouse_sim.plans.compare import Comparison
    from greenhouse_sim.scenario import Scenario
    from greenhouse_sim.weather import Weather


class Job(NamedTuple):
    """A scenario with its winters, read and checked."""

    scenario: Scenario
    winters: list[Weather]


def read_job(file: str | Path, weather: Sequence[str] | None) -> Job:
    """Read a scenario and its winters (or those of ``weather``)."""
    from greenhouse_sim.scenario import read_scenario
    from greenhouse_sim.season.run import read_winters

    scenario = read_scenario(file)
    winters = read_winters(scenario, list(weather) if weather else None)
    notes(weather_notes(winters))
    return Job(scenario, winters)


def read_whole(file: str | Path, weather: Sequence[str] | None) -> tuple[Job, list[Weather]]:
    """The scenario, its winters, and the whole records that they are cut from, read once."""
    from greenhouse_sim.scenario import read_scenario
    from greenhouse_sim.season.run import read_records
    from greenhouse_sim.weather import winters

    scenario = read_scenario(file)
    records = read_records(scenario, list(weather) if weather else None)
    site = scenario.site
    cut = [one for record in records for one in winters(record, site.season_start, site.season_end)]
    notes(weather_notes(cut))
    return Job(scenario, cut), records


def do_job(job: Job, heaters: Sequence[str], traced: bool) -> Comparison:
    """Run the heaters through the winters, with notes on them and a bar where it takes long."""
    from greenhouse_sim.season.run import notes as heater_notes

    notes(heater_notes(job.scenario, heaters))
    return quietly(job, heaters, traced)


def quietly(job: Job, heaters: Sequence[str], traced: bool) -> Comparison:
    """As `do_job`, without the notes."""
    from greenhouse_sim.plans.compare import compare

    with Progress(len(job.winters) * (len(heaters) + 2)) as progress:
        return compare(
            job.scenario,
            heaters,
            job.winters,
            traced=traced,
            tell=progress.tell,
            advance=progress.advance,
        )
