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
from greenhouse_sim.scenario import demo_path, read_scenario
from greenhouse_sim.season.many import WORTH_COMPILING, beside_for
from greenhouse_sim.season.run import simulate

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
    """All that is compiled is there, as in every run of a long study but the first."""
    simulate(read_scenario(demo_path()), engine="compiled")
    beside_for(WORTH_COMPILING)


def peak_bytes() -> int:
    """Peak memory of this process, without that of the process which it was started from."""
    status = Path("/proc/self/status")
    for line in status.read_text(encoding="utf-8").splitlines() if status.exists() else ():
        if line.startswith("VmHWM:"):
            return int(line.split()[1]) * 1024
    return resource.getrusage(resource.RUSAGE_SELF).ru_maxrss * 1024


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
    print(seasons, took, peak_bytes())


if __name__ == "__main__":
    main()
