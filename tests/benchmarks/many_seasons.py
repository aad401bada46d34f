"""A study of so many seasons in one process, parts written as they come: seconds, peak bytes."""

from __future__ import annotations

import resource
import sys
import tempfile
import time
from pathlib import Path

from greenhouse_sim.plans.design_of_study import Design
from greenhouse_sim.plans.study import read_study
from greenhouse_sim.plans.study_part import Runner
from greenhouse_sim.scenario import demo_path
from greenhouse_sim.season.many import WORTH_COMPILING, beside_for, engine_for

STUDY = """
scenario = "farm.toml"
heaters = ["wood stove, large", "outdoor boiler"]
draws = {draws}
[draw]
fuel.moisture = {{ from = 0.15, to = 0.35 }}
routine.margin = {{ from = 1.0, to = 1.5 }}
"""
"""Six seasons a draw: two heaters, the demo farm's three winters."""
PER_DRAW = 6


def write(folder: Path, seasons: int) -> Path:
    """A study of so many seasons (to a multiple of six)."""
    (folder / "farm.toml").write_text(demo_path().read_text(encoding="utf-8"), encoding="utf-8")
    file = folder / "study.toml"
    file.write_text(STUDY.format(draws=max(seasons // PER_DRAW, 1)), encoding="utf-8")
    return file


def ready_for_many() -> None:
    """Both loops compiled or loaded, as they are in every run of a long study but the first."""
    engine_for("compiled")
    beside_for(WORTH_COMPILING)


def main() -> None:
    """Run and print: seasons, seconds, peak bytes."""
    with tempfile.TemporaryDirectory() as place:
        design = Design(read_study(write(Path(place), int(sys.argv[1]))))
        runner = Runner(design, "compiled", workers=1)
        seasons = 0
        ready_for_many()
        began = time.perf_counter()
        for part in design.parts():
            seasons += len(runner.columns(part)["point"])
        took = time.perf_counter() - began
    peak = resource.getrusage(resource.RUSAGE_SELF).ru_maxrss * 1024
    print(seasons, took, peak)


if __name__ == "__main__":
    main()
