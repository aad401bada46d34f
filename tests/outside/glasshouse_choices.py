"""What the record of the measured glasshouse leaves open, asked of its first half alone.

python glasshouse_choices.py GLASSHOUSE.csv

The second half is cut off before anything is built. The first half is halved again: the one half
is fitted and the other foretold, both ways round. Printed for every choice of `glasshouse.Choices`
and for the judgements of its vents: how far the foretold air is off as it stands, and with that
one choice made otherwise.
"""

from __future__ import annotations

import sys
import tempfile
from collections.abc import Iterator
from pathlib import Path
from typing import Any

import numpy as np
import pandas as pd

sys.path.insert(0, str(Path(__file__).parents[1]))

from outside import glasshouse
from outside.glasshouse import (
    Choices,
    Prepared,
    foretold,
    learned,
    prepare,
    rms,
    table,
    weather,
)

OTHERWISE: tuple[dict[str, Any], ...] = (
    {}, {"stack": False}, {"vents_sheltered": False}, {"terrain": "rough"}, {"terrain": "open"},
    {"vents_over_screens": False}, {"cracks_over_screens": False}, {"grows": False},
)  # fmt: skip
VENTS = (("VENT_SHARE", 0.05), ("VENT_SHARE", 0.2), ("WIDEST_DEG", 45.0), ("WIDEST_DEG", 90.0),
         ("FULL_GROWN_D", 25.0), ("FULL_GROWN_D", 50.0), ("LAMP_LIGHT", 0.6))  # fmt: skip
"""Numbers of `glasshouse` that are judgement, and what else they might be."""


def both_ways(ready: Prepared) -> Iterator[tuple[float, float, float]]:
    """Root mean square and mean of what is foretold wrongly, K, and the loss factor."""
    read = ready.data["Tair"].to_numpy()
    earlier = np.arange(len(read)) < len(read) // 2
    for known in (earlier, ~earlier):
        solved = learned(ready, known)
        off = (read - foretold(ready, solved, known))[~known]
        yield rms(off), float(np.nanmean(off)), solved.factors["loss"]


def told(what: str, ready: Prepared) -> None:
    """Print a line."""
    cells = [f"{off:.2f} K ({mean:+.2f}), loss {k:.2f}" for off, mean, k in both_ways(ready)]
    print(f"{what:34s} later from earlier {cells[0]}; earlier from later {cells[1]}", flush=True)


def main(path: Path) -> None:
    """Print every choice."""
    data = table(path)
    data = pd.DataFrame(data.iloc[: len(data) // 2])
    with tempfile.TemporaryDirectory() as folder:
        record = weather(data, Path(folder))
    for changed in OTHERWISE:
        words = ", ".join(f"{key} {value}" for key, value in changed.items())
        told(words or "as it stands", prepare(data, record, Choices()._replace(**changed)))
    ready = prepare(data, record, Choices())
    for name, value in VENTS:
        usual = getattr(glasshouse, name)
        setattr(glasshouse, name, value)
        told(f"{name} {value:g}, not {usual:g}", ready)
        setattr(glasshouse, name, usual)


if __name__ == "__main__":
    main(Path(sys.argv[1]))
