"""A hundred made-up logs: how often the truth lies in the stated interval.

python fit_hundred.py [LOGS] [FIRST SEED]; half of them unheated, half with noted loads. Prints
each factor's share; nine of ten is the least that a 95 % interval may claim here.
"""

from __future__ import annotations

import sys
import time
from pathlib import Path

sys.path.insert(0, str(Path(__file__).parents[1]))

from greenhouse_sim.plans.fit import fit
from made_up_logs import farm, made, record


def main(count: int, first: int) -> None:
    """Fit them and count."""
    scenario, weather = farm(), record()
    for heated in (False, True):
        inside: dict[str, list[bool]] = {}
        clocks = 0
        began = time.monotonic()
        for seed in range(first, first + count // 2):
            log, truth = made(seed, scenario, weather, heated=heated)
            found = fit(scenario, weather, log, unheated=not heated)
            clocks += found.clock_h != 0
            for one in found.estimates:
                inside.setdefault(one.name, []).append(one.low <= truth[one.name] <= one.high)
        took = (time.monotonic() - began) / max(count // 2, 1)
        print(f"{'noted loads' if heated else 'unheated'}: {took:.1f} s a log and fit, "
              f"{clocks} clocks moved")  # fmt: skip
        for name, hits in inside.items():
            print(f"  {name:10s} {sum(hits)} of {len(hits)}")


if __name__ == "__main__":
    given = [int(word) for word in sys.argv[1:]] + [100, 0][len(sys.argv) - 1 :]
    main(*given)
