"""Made winters against a real record: python winters_from_record.py RECORD.csv

RECORD.csv: ten calendar years of hourly temperature at one station as climate offices hand it
out, columns DATE, HourlyDryBulbTemperature and HourlyDewPointTemperature (°F). The generator is
fitted on the first five years only and judged on the last five.

A figure of five years is itself a chance. So each is held against what five years of the *made*
weather give: the made record is cut into stretches as long as the judged one, the same figures
are taken from each, and the judged figure should lie between the 5th and the 95th percentile of
them. About one figure in ten falls outside by luck alone; they are not independent.

The five fitted years are a chance too: another five would give other normals. `with_doubt` fits
anew to stretches of the made weather, as long as the fitted one, and makes weather from
each: the band that a figure of five unseen years should keep to when only five are known.
"""

from __future__ import annotations

import csv
import itertools
import sys
from collections.abc import Iterator
from dataclasses import replace
from pathlib import Path
from typing import NamedTuple

import numpy as np

sys.path.insert(0, str(Path(__file__).parents[2]))

from greenhouse_sim.weather.normals import Normals
from greenhouse_sim.weather.normals_curves import days_of, harmonics
from greenhouse_sim.weather.normals_fit import Measured, fit
from greenhouse_sim.weather.normals_winters import made_weather

Array = np.ndarray
PLACE = (42.78, -84.6, 256.0, -5.0)
FITTED = (np.datetime64("2012-01-01"), np.datetime64("2017-01-01"))
JUDGED = (np.datetime64("2017-01-01"), np.datetime64("2022-01-01"))
COUNT, SEEDS = 150, (1, 2, 3)
REFITS, REFIT_COUNT = 40, 11
COLD_C, BITTER_C = -8.0, -15.0


class Hours(NamedTuple):
    """Whole days of hourly values, shape (days, 24)."""

    first: np.datetime64
    t_out_C: Array
    t_dew_C: Array

    def between(self, begin: np.datetime64, end: np.datetime64) -> Hours:
        """The days from begin to before end."""
        a, b = int((begin - self.first).astype(int)), int((end - self.first).astype(int))
        return Hours(begin, self.t_out_C[a:b], self.t_dew_C[a:b])


def read(path: Path) -> tuple[Hours, int]:
    """The record on every hour, and how many hours were filled from their neighbours."""
    with path.open(encoding="utf-8", newline="") as stream:
        rows = list(csv.DictReader(stream))
    stamps = np.array([row["DATE"].strip() for row in rows], dtype="datetime64[h]")
    first = stamps[0].astype("datetime64[D]")
    last = stamps[-1].astype("datetime64[D]") + 1
    at = (stamps - first.astype("datetime64[h]")).astype(int)
    hours = int((last - first).astype(int)) * 24
    columns, missing = [], 0
    for key in ("HourlyDryBulbTemperature", "HourlyDewPointTemperature"):
        values = np.full(hours, np.nan)
        values[at] = [float(row[key]) if row[key] else np.nan for row in rows]
        known = ~np.isnan(values)
        missing += int((~known).sum()) if not columns else 0
        filled = np.interp(np.arange(hours), np.flatnonzero(known), values[known])
        columns.append(((filled - 32.0) / 1.8).reshape(-1, 24))
    return Hours(first, columns[0], columns[1]), missing


def seasons(hours: Hours, begin: str, days: int) -> Iterator[Array]:
    """The hours of each whole season that begins on a month and day, shape (days, 24)."""
    year = int(str(hours.first)[:4])
    stop = hours.first + len(hours.t_out_C)
    for y in range(year, year + 200):
        start = np.datetime64(f"{y}-{begin}")
        if start < hours.first:
            continue
        if start + days > stop:
            return
        at = int((start - hours.first).astype(int))
        yield hours.t_out_C[at : at + days]


def degree_days(season: Array, base_C: float) -> float:
    """Heating degree-days from daily means."""
    return float(np.clip(base_C - season.mean(axis=1), 0.0, None).sum())


def spells(day: Array) -> list[int]:
    """Lengths of the runs of days colder than `COLD_C`."""
    cold = np.concatenate([[False], day < COLD_C, [False]]).astype(int)
    edges = np.flatnonzero(np.diff(cold))
    return [int(b - a) for a, b in zip(edges[::2], edges[1::2], strict=True)]


def figures(hours: Hours) -> dict[str, float]:
    """Every figure that is compared, from a record of a few calendar years."""
    of_year, month = days_of(hours.first, len(hours.t_out_C))
    day = hours.t_out_C.mean(axis=1)
    columns = harmonics(of_year, 1)
    wave = np.linalg.lstsq(columns, day, rcond=None)[0]
    columns = harmonics(of_year, 3)
    left = day - columns @ np.linalg.lstsq(columns, day, rcond=None)[0]
    winter = np.isin(month, (12, 1, 2))
    lags = [
        float(np.corrcoef(left[k:][winter[k:]], left[:-k][winter[k:]])[0, 1]) for k in (1, 2, 3)
    ]
    cold_half = list(seasons(hours, "10-01", 212))
    hdd10 = np.array([degree_days(s, 10.0) for s in cold_half])
    hdd18 = np.array([degree_days(s, 55.0 / 3.0) for s in seasons(hours, "07-01", 365)])
    bitter = np.array([(s < BITTER_C).sum() for s in cold_half])
    lowest = np.array([s.min() for s in cold_half])
    runs = [n for s in seasons(hours, "10-01", 212) for n in spells(s.mean(axis=1))] or [0]
    wide = hours.t_out_C.max(axis=1) - hours.t_out_C.min(axis=1)
    return {
        "January mean of daily maxima, °C": float(hours.t_out_C.max(axis=1)[month == 1].mean()),
        "January mean of daily minima, °C": float(hours.t_out_C.min(axis=1)[month == 1].mean()),
        "yearly harmonic, K": float(np.hypot(wave[1], wave[2])),
        "Dec-Feb sd of daily departures, K": float(left[winter].std()),
        "Dec-Feb correlation, 1 day": lags[0],
        "Dec-Feb correlation, 2 days": lags[1],
        "Dec-Feb correlation, 3 days": lags[2],
        "Dec-Feb mean daily range, K": float(wide[winter].mean()),
        "Dec-Feb mean daily course, K": float(np.ptp(hours.t_out_C[winter].mean(axis=0))),
        "sd between Dec-Feb means, K": _spread([s.mean() for s in seasons(hours, "12-01", 90)]),
        "degree-days 10 °C Oct-Apr, mean": float(hdd10.mean()),
        "degree-days 10 °C Oct-Apr, CV": float(hdd10.std(ddof=1) / hdd10.mean()),
        "degree-days 18.3 °C Jul-Jun, least": float(hdd18.min()),
        "degree-days 18.3 °C Jul-Jun, most": float(hdd18.max()),
        "hours below -15 °C a season, least": float(bitter.min()),
        "hours below -15 °C a season, mean": float(bitter.mean()),
        "hours below -15 °C a season, most": float(bitter.max()),
        "season's lowest, coldest season, °C": float(lowest.min()),
        "season's lowest, mildest season, °C": float(lowest.max()),
        "spells below -8 °C a season": len(runs) / len(cold_half),
        "spells below -8 °C, mean days": float(np.mean(runs)),
        "spells below -8 °C, longest": float(max(runs)),
    }


def _spread(values: list[float]) -> float:
    return float(np.std(values, ddof=1))


def made(normals: Normals) -> list[Hours]:
    """Made records of `COUNT` winters each, one a seed."""
    records = []
    for seed in SEEDS:
        weather = made_weather(replace(normals, count=COUNT, seed=seed))
        t_out, dew = weather.t_out_C.reshape(-1, 24), weather.t_dew_C.reshape(-1, 24)
        records.append(Hours(np.datetime64(weather.start, "D"), t_out, dew))
    return records


def winters_apart(records: list[Hours]) -> tuple[float, float]:
    """Spread of Dec-Feb means (K), and of degree-days over their mean, over all made winters."""
    means = [s.mean() for record in records for s in seasons(record, "12-01", 90)]
    cold = [degree_days(s, 10.0) for record in records for s in seasons(record, "10-01", 212)]
    return _spread(means), _spread(cold) / float(np.mean(cold))


def stretches(records: list[Hours], years: int) -> list[dict[str, float]]:
    """The figures of every stretch of so many calendar years of made weather."""
    found = []
    for record in records:
        first = int(str(record.first)[:4]) + 1
        for y in range(first, first + COUNT - years, years):
            begin, end = (np.datetime64(f"{year}-01-01") for year in (y, y + years))
            found.append(figures(record.between(begin, end)))
    return found


def with_doubt(records: list[Hours], years: int) -> list[dict[str, float]]:
    """The figures of stretches made from fits to stretches of made weather."""
    found = []
    for record in records:
        first = int(str(record.first)[:4]) + 1
        for y in range(first, first + COUNT - years, years):
            if len(found) >= 2 * REFITS:
                return found
            begin, end = (np.datetime64(f"{year}-01-01") for year in (y, y + years))
            again = fit(Measured("made", "made", PLACE, *record.between(begin, end)))
            found += _stretches_of(replace(again, count=REFIT_COUNT, seed=y), years)
    return found


def _stretches_of(normals: Normals, years: int) -> list[dict[str, float]]:
    weather = made_weather(normals)
    hours = Hours(
        np.datetime64(weather.start, "D"),
        weather.t_out_C.reshape(-1, 24),
        weather.t_dew_C.reshape(-1, 24),
    )
    first = int(str(hours.first)[:4]) + 1
    cuts = [np.datetime64(f"{first + k * years}-01-01") for k in range(3)]
    return [figures(hours.between(a, b)) for a, b in itertools.pairwise(cuts)]


def compare(title: str, real: dict[str, float], many: list[dict[str, float]]) -> int:
    """Print each figure beside the made ones; return how many lie outside."""
    outside = 0
    print(f"\n{title} ({len(many)} made stretches)")
    print(f"{'':42}{'real':>9}{'made: 5 %':>11}{'median':>9}{'95 %':>9}")
    for key, value in real.items():
        low, middle, high = np.percentile([one[key] for one in many], [5, 50, 95])
        good = low <= value <= high
        outside += not good
        digits = 0 if abs(value) >= 100.0 else 2
        numbers = "".join(f"{v:{w}.{digits}f}" for v, w in
                          ((value, 9), (low, 11), (middle, 9), (high, 9)))  # fmt: skip
        print(f"{key:42}{numbers}  {'' if good else 'outside'}")
    print(f"{outside} of {len(real)} outside")
    return outside


def main(path: Path) -> None:
    """Fit, make, compare."""
    record, missing = read(path)
    print(f"{path.name}: {len(record.t_out_C)} days, {missing} hours filled from their neighbours")
    normals = fit(Measured("record", "record", PLACE, *record.between(*FITTED)))
    print(f"fitted: {normals.variation}")
    records = made(normals)
    plain = replace(normals, variation=replace(normals.variation, season_share=0.0))
    for words, many in (("with", records), ("without", made(plain))):
        apart, cv = winters_apart(many)
        print(
            f"{COUNT * len(SEEDS)} made winters {words} the slow part: sd between Dec-Feb means "
            f"{apart:.2f} K, CV of degree-days 10 °C {cv:.3f}"
        )
    five = stretches(records, 5)
    compare("the fitted years", figures(record.between(*FITTED)), five)
    compare("the judged years", figures(record.between(*JUDGED)), five)
    doubt = with_doubt(records, 5)
    compare("the judged years, the fit in doubt", figures(record.between(*JUDGED)), doubt)
    compare("all ten years", figures(record), stretches(records, 10))


if __name__ == "__main__":
    if len(sys.argv) != 2:
        sys.exit("write: python tests/outside/winters_from_record.py RECORD.csv")
    main(Path(sys.argv[1]))
