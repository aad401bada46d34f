"""What the user waits for and what the machine must have: whole processes.

python -m pytest tests/benchmarks -s
"""

from __future__ import annotations

import subprocess
import sys
from pathlib import Path
from typing import Any

import pytest

from winters_at_hand import SAMPLES

COMPARE_S = 3.0
"""What comparing the catalogue over six winters should take, s (a wish, not a limit)."""
MOST_BYTES = 2**30


def program(*arguments: str) -> str:
    """Run the command line as a process of its own."""
    command = [sys.executable, "-m", "greenhouse_sim", *arguments]
    ran = subprocess.run(command, capture_output=True, text=True, check=False)
    assert ran.returncode == 0, ran.stderr
    return ran.stdout


def test_compare_six_winters(benchmark: Any) -> None:
    """All heaters over six sample winters, everything compiled and prepared before."""
    asked = ("compare", "--weather", *SAMPLES)
    shown = program(*asked)
    assert "wood stove, large" in shown
    benchmark.pedantic(program, args=asked, rounds=3, iterations=1)
    took = benchmark.stats.stats.median
    print(f"\ncompare, six winters: {took:.2f} s, {took / COMPARE_S:.2f} of {COMPARE_S:g} s")


def test_help(benchmark: Any) -> None:
    """``--help`` loads the command line and nothing else."""
    assert "compare" in program("--help")
    benchmark.pedantic(program, args=("--help",), rounds=5, iterations=1)
    print(f"\n--help: {benchmark.stats.stats.median:.2f} s")


@pytest.mark.slow
def test_memory_of_ten_thousand_seasons() -> None:
    """10,000 seasons run in chunks and summarised stay under 1 GiB."""
    script = Path(__file__).with_name("ten_thousand.py")
    ran = subprocess.run([sys.executable, str(script)], capture_output=True, text=True, check=False)
    assert ran.returncode == 0, ran.stderr
    seasons, seconds, peak = (float(word) for word in ran.stdout.split()[-3:])
    print(f"\n{seasons:,.0f} seasons in {seconds:.0f} s, peak memory {peak / 2**20:.0f} MiB")
    assert seasons >= 10_000
    assert peak < MOST_BYTES
