"""Very many seasons: how fast on one core and two, how much memory, where the time goes.

python -m pytest tests/benchmarks/test_bench_study.py -s

STUDY_SEASONS is how many seasons a million is projected from (20,000 where not set).
"""

from __future__ import annotations

import cProfile
import os
import pstats
import subprocess
import sys
import time
from importlib.util import find_spec
from pathlib import Path

import numpy as np
import pandas as pd
import pytest
from many_seasons import PER_DRAW, ready_for_many, write

from greenhouse_sim.plans.design_of_study import Design
from greenhouse_sim.plans.study import read_study
from greenhouse_sim.plans.study_out import Results, study_key
from greenhouse_sim.plans.study_part import Runner
from greenhouse_sim.plans.study_run import run_study
from greenhouse_sim.scenario import demo_path
from winters_at_hand import SAMPLES

SEASONS = int(os.environ.get("STUDY_SEASONS", "20000"))
FEW = 1000
FLAT = 1.10
"""What memory may grow by from `FEW` seasons to all."""
COMPARE_S = 1.5
"""What comparing 240 seasons should take as a whole process, s (a wish, not a limit)."""
WINTERS = 30
needs_arrow = pytest.mark.skipif(find_spec("pyarrow") is None, reason="needs pyarrow")


@needs_arrow
@pytest.mark.parametrize("workers", [1, 2])
def test_seasons_per_second(tmp_path: Path, workers: int) -> None:
    """A study from its file to its parts on disk, workers' start included."""
    study = read_study(write(tmp_path, SEASONS))
    results = Results(tmp_path / "r.parquet", Design(study), study_key(study))
    results.open()
    ready_for_many()
    began = time.perf_counter()
    came: list[tuple[float, int]] = []

    def advance(seasons: int) -> None:
        came.append((time.perf_counter() - began, seasons))

    ran = run_study(results, workers=workers, advance=advance)
    took = time.perf_counter() - began
    # a part from each worker: from then on all are at work
    start_s, first = came[workers - 1][0], sum(seasons for _, seasons in came[:workers])
    rate = (ran - first) / (came[-1][0] - start_s)
    size = sum(path.stat().st_size for path in results.folder.glob("part-*"))
    print(
        f"\n{workers} core(s): {ran:,} seasons in {took:.1f} s, {ran / took:,.0f} seasons/s; first "
        f"parts after {start_s:.1f} s, from then on {rate:,.0f} seasons/s; a million: "
        f"{(took + (1e6 - ran) / rate) / 60.0:.0f} min, {size / ran * 1e6 / 2**20:,.0f} MiB on disk"
    )
    assert ran == SEASONS // PER_DRAW * PER_DRAW


def test_memory_is_flat() -> None:
    """Peak memory of one process at a thousand seasons and at all."""
    peaks = []
    for seasons in (FEW, SEASONS):
        script = Path(__file__).with_name("many_seasons.py")
        command = [sys.executable, str(script), str(seasons)]
        ran = subprocess.run(command, capture_output=True, text=True, check=False)
        assert ran.returncode == 0, ran.stderr
        count, seconds, peak = (float(word) for word in ran.stdout.split()[-3:])
        print(f"\n{count:,.0f} seasons, {seconds:.1f} s, peak memory {peak / 2**20:.0f} MiB")
        peaks.append(peak)
    assert peaks[1] < FLAT * peaks[0]


def test_compare_240_seasons_as_a_process(tmp_path: Path) -> None:
    """Eight heaters over thirty winters: the samples again and again, each a little colder."""
    files = [_colder(tmp_path, number) for number in range(WINTERS)]
    farm = tmp_path / "farm.toml"
    farm.write_text(demo_path().read_text(encoding="utf-8"), encoding="utf-8")
    heaters = [
        "wood stove, large", "wood stove, medium", "wood stove, small", "pellet stove",
        "outdoor boiler", "propane heater", "electric heater", "gasification boiler",
    ]  # fmt: skip
    command = [sys.executable, "-m", "greenhouse_sim", "compare", str(farm), "--weather", *files]
    command += [word for name in heaters for word in ("--heater", name)]
    took = []
    for _ in range(4):
        began = time.perf_counter()
        ran = subprocess.run(command, capture_output=True, text=True, check=False)
        took.append(time.perf_counter() - began)
        assert ran.returncode == 0, ran.stderr
    print(
        f"\ncompare, {WINTERS * len(heaters)} seasons: first {took[0]:.1f} s (preparing), then "
        f"{min(took[1:]):.2f} s, {min(took[1:]) / COMPARE_S:.1f} of {COMPARE_S:g} s"
    )


def _colder(folder: Path, number: int) -> str:
    """A sample winter with the air moved by up to two kelvin."""
    sample = Path(__file__).parents[2] / "weather_samples" / SAMPLES[number % len(SAMPLES)]
    lines = sample.read_text(encoding="utf-8").splitlines(keepends=True)
    head = next(n for n, line in enumerate(lines) if not line.startswith("#"))
    table = pd.read_csv(sample, skiprows=head)
    table[["t_air [degC]", "t_dew [degC]"]] += np.linspace(-2.0, 0.0, WINTERS)[number]
    file = folder / f"winter_{number:02d}.csv"
    text = "".join(lines[:head]) + table.to_csv(index=False, float_format="%.3f")
    file.write_text(text, encoding="utf-8")
    return str(file)


def test_where_the_time_goes(tmp_path: Path) -> None:
    """Shares of one core's time, by the function they are spent in."""
    design = Design(read_study(write(tmp_path, FEW)))
    runner = Runner(design, "compiled", workers=1)
    parts = list(design.parts())
    ready_for_many()
    runner.columns(parts[0])
    profile = cProfile.Profile()
    profile.enable()
    rows = sum(len(runner.columns(part)["point"]) for part in parts)
    profile.disable()
    stats = pstats.Stats(profile).get_stats_profile()
    print(f"\n{rows} seasons in {stats.total_tt:.2f} s under the profiler")
    wanted = ("season", "run_some", "run_many", "close_books", "ended", "make_ledgers",
              "task", "calendar", "expecting", "scenario", "point")  # fmt: skip
    for name in wanted:
        if name in stats.func_profiles:
            one = stats.func_profiles[name]
            own, all_s = one.tottime / stats.total_tt, one.cumtime / stats.total_tt
            print(f"  {name:12s} {all_s:6.1%} with what it calls, {own:6.1%} itself")
    assert rows > 0
