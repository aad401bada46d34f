"""The humidity of a measured glasshouse from its measured air: python glasshouse_humidity.py CSV

The compartment of `glasshouse.py` (cucumber, August to December, two screens, vents), with the
kernel's own vapour. The measured air is given, so that nothing but water is in question: what
crop and floor give off and where it goes. The vapour's numbers are those of the tables. How much
air the vents let through is not known: it is as `glasshouse.py` learns it from the temperatures of
the record's first half, and the humidity, which that fit does not see, is a witness for it. Cracks
and vents have one factor there, so the hours with the vents shut say whether it is right for both.

Printed: mean relative humidity, measured and ours, by night and in the sun, with vents shut and
open, and by the hour of the day.
"""

from __future__ import annotations

import sys
import tempfile
from collections.abc import Iterator
from pathlib import Path
from typing import NamedTuple

import numpy as np
import pandas as pd

sys.path.insert(0, str(Path(__file__).parents[1]))

from greenhouse_sim.plans.fit_run import drive_of, house_of
from greenhouse_sim.season import vapour
from outside.glasshouse import Choices, learned, model, prepare, table, weather

Array = np.ndarray
SHUT = 1.0
"""Vents are shut where both together stand under this, %."""
DARK_W, SUNNY_W = 5.0, 100.0
FROM = pd.Timestamp("2018-09-15")
"""The young crop of the first month shades little of the floor."""


class Mean(NamedTuple):
    """Relative humidity over some hours, %."""

    what: str
    hours: int
    measured: float
    ours: float


def humidity(path: Path) -> tuple[pd.DataFrame, Array]:
    """The record, and our relative humidity of each hour, %."""
    data = table(path)
    with tempfile.TemporaryDirectory() as folder:
        ready = prepare(data, weather(data, Path(folder)), Choices())
    built = model(ready)
    factors = learned(ready, np.arange(len(data)) < len(data) // 2).factors
    house, drive = house_of(built, factors, 0.0), drive_of(built.drive, factors)
    moisture = built.moisture
    air = data["Tair"].interpolate(limit_direction="both").to_numpy(dtype=float)
    out = np.zeros((len(air), 3))
    vapour.walk(
        moisture.vapour, house, drive.t_out, drive.loss_w_k, drive.sky_w, drive.leak_wind,
        drive.sun_latent_w, moisture.outdoor, air, np.zeros_like(air), out,
    )  # fmt: skip
    return data, 100.0 * out[:, 1]


def means(data: pd.DataFrame, ours: Array) -> Iterator[Mean]:
    """By vents and light."""
    known = (data["RHair"].notna() & (data.index >= FROM)).to_numpy()
    shut = ((data["VentLee"] + data["Ventwind"]) < SHUT).to_numpy()
    sun = data["Iglob"].to_numpy()
    for vents, when in (("shut", shut), ("open", ~shut)):
        for light, lit in (("dark", sun < DARK_W), ("sun", sun > SUNNY_W)):
            these = known & when & lit
            measured = float(data["RHair"].to_numpy()[these].mean())
            what = f"vents {vents}, {light}"
            yield Mean(what, int(these.sum()), measured, float(ours[these].mean()))


def main(path: Path) -> None:
    """Print both tables."""
    data, ours = humidity(path)
    for one in means(data, ours):
        print(
            f"{one.what:18} {one.hours:5} h  measured {one.measured:5.1f} %  ours {one.ours:5.1f}"
        )
    late = data.index >= FROM
    both = pd.DataFrame({"measured": data["RHair"], "ours": ours})[late]
    for hour, row in both.groupby(both.index.hour).mean()[::3].iterrows():
        print(f"{hour:3} h  measured {row['measured']:5.1f} %  ours {row['ours']:5.1f} %")


if __name__ == "__main__":
    main(Path(sys.argv[1]))
