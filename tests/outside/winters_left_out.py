"""Made winters against years that the fit did not know: python winters_left_out.py RECORD.csv

The record is that of `winters_from_record`, and only its first five years are read. Each of them is
left out in turn, the generator is fitted to the other four, and figures of the year left out are
ranked among those of a hundred single made years. A good generator has ranks spread evenly from 0
to 1 and one figure in ten below 0.05 or above 0.95; what is changed in it is judged here, so that
the record's last five years stay unseen.
"""

from __future__ import annotations

import sys
from dataclasses import replace
from pathlib import Path

import numpy as np

sys.path.insert(0, str(Path(__file__).parent))

from winters_from_record import FITTED, PLACE, Array, Hours, read, spells

from greenhouse_sim.weather.normals_curves import days_of
from greenhouse_sim.weather.normals_fit import Measured, fit
from greenhouse_sim.weather.normals_winters import made_weather

COUNT = 100
SEASONS = {
    "Dec-Feb": (12, 1, 2),
    "Mar-May": (3, 4, 5),
    "Jun-Aug": (6, 7, 8),
    "Sep-Nov": (9, 10, 11),
}
FAR = 0.05


def year_figures(hours: Hours) -> dict[str, float]:
    """Figures of one calendar year that need no other."""
    _, month = days_of(hours.first, len(hours.t_out_C))
    day, wide = hours.t_out_C.mean(axis=1), np.ptp(hours.t_out_C, axis=1)
    found = {}
    for name, months in SEASONS.items():
        here = np.isin(month, months)
        t_out = hours.t_out_C[here]
        found[f"{name} mean daily range"] = float(wide[here].mean())
        found[f"{name} sd of daily range"] = float(wide[here].std())
        found[f"{name} mean daily course"] = float(np.ptp(t_out.mean(axis=0)))
        found[f"{name} step from hour to hour"] = float(np.diff(t_out, axis=1).std())
    runs = spells(np.where(np.isin(month, (12, 1, 2)), day, np.inf))
    found["days below -8 °C"] = float(sum(runs))
    found["spells below -8 °C"] = float(len(runs))
    return found


def without(record: Hours, year: int, years: list[int]) -> Hours:
    """The other years, one after the other."""
    kept = [record.between(*_ends(y)) for y in years if y != year]
    columns = (np.concatenate([one[i] for one in kept]) for i in (1, 2))
    return Hours(kept[0].first, *columns)


def _ends(year: int) -> tuple[np.datetime64, np.datetime64]:
    return np.datetime64(f"{year}-01-01"), np.datetime64(f"{year + 1}-01-01")


def ranks(record: Hours, year: int, years: list[int]) -> dict[str, float]:
    """Share of made years whose figure lies below that of the year left out."""
    normals = fit(Measured("record", "record", PLACE, *without(record, year, years)))
    weather = made_weather(replace(normals, count=COUNT + 1))
    t_out = weather.t_out_C.reshape(-1, 24)
    made = Hours(np.datetime64(weather.start, "D"), t_out, t_out)
    first = int(str(made.first)[:4]) + 1
    many = [year_figures(made.between(*_ends(first + k))) for k in range(COUNT - 1)]
    real = year_figures(record.between(*_ends(year)))
    return {key: _rank(value, np.array([one[key] for one in many])) for key, value in real.items()}


def _rank(value: float, many: Array) -> float:
    return float(0.5 * ((many < value).mean() + (many <= value).mean()))


def main(path: Path) -> None:
    """Print the ranks, and how many are far out."""
    record = read(path)[0].between(*FITTED)
    years = list(range(int(str(FITTED[0])[:4]), int(str(FITTED[1])[:4])))
    found = {year: ranks(record, year, years) for year in years}
    print(f"{'':34}" + "".join(f"{year:>7}" for year in years))
    outside = 0
    for key in found[years[0]]:
        row = [found[year][key] for year in years]
        outside += sum(not FAR <= rank <= 1.0 - FAR for rank in row)
        print(f"{key:34}" + "".join(f"{rank:7.2f}" for rank in row))
    print(f"{outside} of {len(years) * len(found[years[0]])} far out")


if __name__ == "__main__":
    if len(sys.argv) != 2:
        sys.exit("write: python tests/outside/winters_left_out.py RECORD.csv")
    main(Path(sys.argv[1]))
