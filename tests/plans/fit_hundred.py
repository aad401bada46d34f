"""Made-up logs: how often the truth lies in the stated interval.

python fit_hundred.py [LOGS OF EACH KIND] [FIRST SEED] [KIND ...]; kinds as in `made_up_logs.KINDS`:
unheated, with noted loads, held at a temperature by noted heat (at one, at two by the clock, by a
heater too small for cold nights), by noted heat that asks nobody, and with noted loads of a fire
that is tended by need (that holds the air, and that is too small). Prints each factor's share,
and the mean and spread of its error in stated standard deviations (0 and 1 where all is right);
nine of ten is the least that a 95 % interval may claim here.
"""

from __future__ import annotations

import sys
import time
from pathlib import Path

import numpy as np

sys.path.insert(0, str(Path(__file__).parents[1]))

from greenhouse_sim.plans.fit import NORMAL_95, fit
from made_up_logs import KINDS, farm, made, record


def main(count: int, first: int, *kinds: str) -> None:
    """Fit them and count."""
    weather = record()
    for kind in kinds or KINDS:
        how, scenario = KINDS[kind], farm(kind)
        inside: dict[str, list[bool]] = {}
        off: dict[str, list[float]] = {}
        clocks = 0
        began = time.process_time()
        for seed in range(first, first + count):
            log, truth = made(seed, scenario, weather, **how)
            found = fit(scenario, weather, log, unheated=kind == "unheated")
            clocks += found.clock_h != 0
            for one in found.estimates:
                inside.setdefault(one.name, []).append(one.low <= truth[one.name] <= one.high)
                spread = np.log(one.high / one.low) / (2.0 * NORMAL_95)
                off.setdefault(one.name, []).append(np.log(one.value / truth[one.name]) / spread)
        took = (time.process_time() - began) / max(count, 1)
        print(f"{kind}: {took:.1f} s of CPU for a log and its fit, {clocks} clocks moved")
        for name, hits in inside.items():
            print(f"  {name:10s} {sum(hits)} of {len(hits)}, off {np.mean(off[name]):+.2f} "
                  f"± {np.std(off[name]):.2f}", flush=True)  # fmt: skip


if __name__ == "__main__":
    given = [int(word) for word in sys.argv[1:3]] + [50, 0][len(sys.argv[1:3]) :]
    main(*given, *sys.argv[3:])
