"""Made-up logs: how often the truth lies in the stated interval.

python fit_hundred.py [LOGS OF EACH KIND] [FIRST SEED]; unheated, with noted loads, and held at a
temperature by noted heat. Prints each factor's share; nine of ten is the least that a 95 % interval
may claim here.
"""

from __future__ import annotations

import sys
import time
from pathlib import Path

sys.path.insert(0, str(Path(__file__).parents[1]))

from greenhouse_sim.plans.fit import fit
from made_up_logs import farm, made, record

KINDS = {"unheated": {}, "noted loads": {"heated": True}, "noted heat": {"held": True}}


def main(count: int, first: int) -> None:
    """Fit them and count."""
    scenario, weather = farm(), record()
    for kind, how in KINDS.items():
        inside: dict[str, list[bool]] = {}
        clocks = 0
        began = time.monotonic()
        for seed in range(first, first + count):
            log, truth = made(seed, scenario, weather, **how)
            found = fit(scenario, weather, log, unheated=not how)
            clocks += found.clock_h != 0
            for one in found.estimates:
                inside.setdefault(one.name, []).append(one.low <= truth[one.name] <= one.high)
        took = (time.monotonic() - began) / max(count, 1)
        print(f"{kind}: {took:.1f} s a log and fit, {clocks} clocks moved")
        for name, hits in inside.items():
            print(f"  {name:10s} {sum(hits)} of {len(hits)}", flush=True)


if __name__ == "__main__":
    given = [int(word) for word in sys.argv[1:]] + [50, 0][len(sys.argv) - 1 :]
    main(*given)
