"""How long a grower by the door waits for tonight: a whole process, winters prepared before.

python -m pytest tests/benchmarks/test_bench_tonight.py -s
"""

from __future__ import annotations

import os
import subprocess
import sys
import time
from pathlib import Path

from greenhouse_sim.scenario import demo_path

WISH_S = 1.5
RUNS = 5
NIGHT = "# issued: 2027-01-12 16:00\ntime,t_air [degF]\n" + "".join(
    f"2027-01-{12 + hour // 24} {hour % 24:02d}:00,{20 - abs(30 - hour) // -2 - 24}\n"
    for hour in range(16, 46, 3)
)


def test_tonight(tmp_path: Path) -> None:
    """Least of some runs: time on the wall, and the processor's own, which others do not share."""
    file = tmp_path / "coming.csv"
    file.write_text(NIGHT, encoding="utf-8")
    asked = [sys.executable, "-m", "greenhouse_sim", "tonight", str(demo_path()), "--forecast",
             str(file), "--now", "48 degF", "--at", "2027-01-12 21:00"]  # fmt: skip
    walls, cpus = [], []
    for _ in range(RUNS + 1):
        begun, before = time.monotonic(), os.times()
        ran = subprocess.run(asked, capture_output=True, text=True, check=False)
        after = os.times()
        assert ran.returncode == 0, ran.stderr
        walls.append(time.monotonic() - begun)
        cpus.append(after[2] + after[3] - before[2] - before[3])
    wall, cpu = min(walls[1:]), min(cpus[1:])
    print(f"\ntonight: {wall:.2f} s, {cpu:.2f} s of processor, {wall / WISH_S:.2f} of {WISH_S:g} s")
