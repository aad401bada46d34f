"""How long the plans take as whole processes over thirty winters.

python -m pytest tests/benchmarks/test_bench_plans.py -s
"""

from __future__ import annotations

import resource
import subprocess
import sys
import time
from pathlib import Path
from typing import NamedTuple

import numpy as np
import pandas as pd
import pytest

from greenhouse_sim.plans.measures import measures
from greenhouse_sim.scenario import demo_path, read_scenario
from winters_at_hand import SAMPLES

WINTERS, MEASURES = 30, 14
PLAN_S, IMPROVE_S, REPORT_S = 4.0, 6.0, 8.0
"""What a whole process should take on two free cores, s (wishes, not limits)."""
PAGE_BYTES = 2_000_000
ROUNDS = 3
COLDEST_K = -2.0
"""The samples again and again, each a little colder, down to this."""
pytestmark = pytest.mark.slow


class Took(NamedTuple):
    """The quickest of several processes."""

    wall_s: float
    cpu_s: float

    def told(self, what: str, goal_s: float) -> str:
        """A line of print."""
        return (
            f"\n{what}: {self.wall_s:.1f} s, {self.wall_s / goal_s:.2f} of {goal_s:g} s "
            f"({self.cpu_s:.1f} s of processor time)"
        )


@pytest.fixture(scope="module")
def farm(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """The demo farm in thirty winters."""
    folder = tmp_path_factory.mktemp("thirty")
    names = [_colder(folder, number) for number in range(WINTERS)]
    text = demo_path().read_text(encoding="utf-8")
    start = text.index("weather = [")
    stop = text.index("]", start) + 1
    listed = ", ".join(f'"{name}"' for name in names)
    file = folder / "farm.toml"
    file.write_text(f"{text[:start]}weather = [{listed}]{text[stop:]}", encoding="utf-8")
    return file


def _colder(folder: Path, number: int) -> str:
    """A sample winter with its air moved."""
    sample = Path(__file__).parents[2] / "weather_samples" / SAMPLES[number % len(SAMPLES)]
    lines = sample.read_text(encoding="utf-8").splitlines(keepends=True)
    head = next(n for n, line in enumerate(lines) if not line.startswith("#"))
    table = pd.read_csv(sample, skiprows=head)
    table[["t_air [degC]", "t_dew [degC]"]] += np.linspace(COLDEST_K, 0.0, WINTERS)[number]
    text = "".join(lines[:head]) + table.to_csv(index=False, float_format="%.3f")
    (folder / f"winter_{number:02d}.csv").write_text(text, encoding="utf-8")
    return f"winter_{number:02d}.csv"


def took(*arguments: str) -> Took:
    """The quickest of `ROUNDS` processes, after one that compiles and prepares."""
    command = [sys.executable, "-m", "greenhouse_sim", *arguments]
    walls, cpus = [], []
    for _ in range(1 + ROUNDS):
        began, before = time.perf_counter(), resource.getrusage(resource.RUSAGE_CHILDREN)
        ran = subprocess.run(command, capture_output=True, text=True, check=False)
        after = resource.getrusage(resource.RUSAGE_CHILDREN)
        assert ran.returncode == 0, ran.stderr
        walls.append(time.perf_counter() - began)
        cpus.append(after.ru_utime + after.ru_stime - before.ru_utime - before.ru_stime)
    return Took(min(walls[1:]), min(cpus[1:]))


@pytest.mark.parametrize("plan", ["woodpile", "nights", "away"])
def test_a_plan_over_thirty_winters(farm: Path, plan: str) -> None:
    """Wood, nights and absences of the farm's own heater."""
    print(took(plan, str(farm), "--json").told(plan, PLAN_S))


def test_improve_with_fourteen_measures_in_thirty_winters(farm: Path) -> None:
    """Every measure alone in all winters, and the best order."""
    assert len(measures(read_scenario(farm))[0]) == MEASURES
    print(took("improve", str(farm), "--json").told("improve, 14 measures", IMPROVE_S))


def test_report_of_thirty_winters(farm: Path) -> None:
    """The whole page, every heater of the catalogue on it."""
    page = farm.with_name("page.html")
    print(took("report", str(farm), "--out", str(page)).told("report, all heaters", REPORT_S))
    size = page.stat().st_size
    print(f"page: {size / 1e6:.2f} MB of {PAGE_BYTES / 1e6:g} MB")
    assert size < PAGE_BYTES
