"""Made-up logs an hour apart, of means and of moments: what each teaches, taken for which.

The truth of a made-up log is its hours' means; the moments between them are those of the smooth
course that has these means (a cubic spline through their running sum).
"""

from __future__ import annotations

from datetime import timedelta
from pathlib import Path
from typing import NamedTuple

import numpy as np
import pytest
from scipy.interpolate import CubicSpline

from greenhouse_sim.plans.fit import Fit, fit
from greenhouse_sim.plans.fit_checks import means_share
from greenhouse_sim.plans.fit_model import bridged
from greenhouse_sim.plans.logger import Log, read_log
from made_up_logs import farm, made, record

FARM, WEATHER = farm(), record()
LOGS = 5


class Taken(NamedTuple):
    """One truth, and its logs as they were taken."""

    truth: dict[str, float]
    means: Fit
    """Means taken for means."""
    means_for_moments: Fit
    moments: Fit
    """Moments taken for moments."""


def written(path: Path, log: Log, values: np.ndarray, stamp_h: int) -> Path:
    """A logger's file, each value stamped so many hours after its hour's beginning."""
    rows = [
        f"{log.start + timedelta(hours=h + stamp_h):%Y-%m-%d %H:%M},{value:.2f}"
        for h, value in enumerate(values)
        if not np.isnan(value)
    ]
    path.write_text("\n".join(["time,indoor [degC]", *rows]) + "\n", encoding="utf-8")
    return path


def moments(means: np.ndarray) -> np.ndarray:
    """The air at each hour's beginning; nan beside an hour that is not known."""
    whole = np.concatenate([[0.0], np.cumsum(bridged(means))])
    air = CubicSpline(np.arange(len(whole)), whole).derivative()(np.arange(len(means)))
    before = np.concatenate([[np.nan], means[:-1]])
    return np.where(np.isnan(means) | np.isnan(before), np.nan, air)


@pytest.fixture(scope="module")
def taken(tmp_path_factory: pytest.TempPathFactory) -> list[Taken]:
    """Five of them, unheated."""
    folder = tmp_path_factory.mktemp("logs")
    found = []
    for seed in range(LOGS):
        log, truth = made(3000 + seed, FARM, WEATHER)
        of_means = written(folder / "means.csv", log, log.indoor_C, 1)
        of_moments = written(folder / "moments.csv", log, moments(log.indoor_C), 0)
        read = (
            read_log(of_means, -6.0, "means"), read_log(of_means, -6.0),
            read_log(of_moments, -6.0),
        )  # fmt: skip
        found.append(Taken(truth, *(fit(FARM, WEATHER, one, unheated=True) for one in read)))
    return found


def hits(taken: list[Taken], how: str) -> dict[str, int]:
    """In how many of the logs the truth of each factor lies in its interval."""
    count: dict[str, int] = {}
    for one in taken:
        for e in getattr(one, how).estimates:
            count[e.name] = count.get(e.name, 0) + (e.low <= one.truth[e.name] <= e.high)
    return count


@pytest.mark.parametrize("how", ["means", "moments"])
def test_the_truth_lies_in_the_interval(taken: list[Taken], how: str) -> None:
    """A 95 % interval misses two or more of five by chance in one of forty-four; the five
    factors together leave room for one miss each here."""
    found = hits(taken, how)
    assert set(found) == {"loss", "leak", "capacity", "soil", "sun"}
    assert min(found.values()) >= LOGS - 1, found


def test_means_taken_for_moments_teach_a_wrong_capacity(taken: list[Taken]) -> None:
    """The lag of half an hour is made up for by twice the capacity: why the option is there."""
    assert hits(taken, "means_for_moments")["capacity"] == 0
    assert hits(taken, "means")["capacity"] >= LOGS - 1


def test_means_taken_for_moments_are_told(taken: list[Taken]) -> None:
    for one in taken:
        (note,) = (n for n in one.means_for_moments.notes if "--readings" in n)
        assert "mean of the hour before their stamp" in note
        assert not any("--readings" in n for n in (*one.means.notes, *one.moments.notes))


def test_means_of_the_hour_after_the_stamp_are_told_apart(tmp_path: Path) -> None:
    """Taken for moments they look like a clock that is an hour behind, too."""
    log, truth = made(3100, FARM, WEATHER)
    path = written(tmp_path / "log.csv", log, log.indoor_C, 0)
    wrong = fit(FARM, WEATHER, read_log(path, -6.0), unheated=True)
    (note,) = (n for n in wrong.notes if "--readings" in n)
    assert "mean of the hour after their stamp" in note
    assert "--readings means-after" in note
    right = fit(FARM, WEATHER, read_log(path, -6.0, "means-after"), unheated=True)
    assert right.clock_h == 0
    assert not any("--readings" in n for n in right.notes)
    for one in right.estimates:
        assert one.low <= truth[one.name] <= one.high, one.name


def test_nothing_is_asked_of_other_steps(taken: list[Taken]) -> None:
    """Means taken for means have no readings of a moment: 0; the others are told by their share."""
    for one in taken:
        assert means_share(one.means.model, one.means.solved) == 0.0
        wrong, right = one.means_for_moments, one.moments
        assert means_share(wrong.model, wrong.solved) > 0.15
        assert abs(means_share(right.model, right.solved)) < 0.1
