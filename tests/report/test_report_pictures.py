"""Pictures: they exist, they are PNG, there is something on them."""

from __future__ import annotations

from collections.abc import Callable
from pathlib import Path

import numpy as np
import pytest

from greenhouse_sim.plans.compare import Comparison
from greenhouse_sim.report.charts.style import save
from greenhouse_sim.report.charts.wakeups import ALL_DAY, COLD, NIGHT, UP, drawn_hours, night_cells
from greenhouse_sim.report.charts.week import sleeping, worst_week
from greenhouse_sim.report.hours import by_day, days_of, hours
from greenhouse_sim.report.pictures import (
    comparison_picture,
    heater_pictures,
    pictured,
    winter_pictures,
)
from greenhouse_sim.report.words import Units
from greenhouse_sim.scenario import demo_path, read_scenario
from greenhouse_sim.season.run import Season

Make = Callable[..., Season]


def check_picture(path: Path) -> None:
    """A PNG with ink on it, and no more than half of it ink."""
    from matplotlib.image import imread

    assert path.read_bytes().startswith(b"\x89PNG\r\n\x1a\n")
    pixels = imread(path)[:, :, :3]
    inked = float(np.mean(np.any(pixels < 0.9, axis=2)))
    assert 0.01 < inked < 0.6


def test_every_picture_is_drawn(season_of: Make, tmp_path: Path) -> None:
    scenario = read_scenario(demo_path())
    seasons = [season_of(winter=f"w {n}/", fuel_kg=8000.0 + 900 * n) for n in range(2)]
    written = winter_pictures(seasons[:1], scenario, Units(True), tmp_path)
    written += heater_pictures(seasons, scenario, Units(False), tmp_path)
    both = (*seasons, season_of("pellet stove", "w 0/", "pellets", damage_h=9))
    written.append(comparison_picture(Comparison(both), scenario, Units(True), tmp_path))
    assert sorted(path.name for path in tmp_path.iterdir()) == sorted(p.name for p in written)
    assert len(written) == 6
    for path in written:
        check_picture(path)


def test_a_heater_without_fuel_or_wakeups_is_drawn(season_of: Make, tmp_path: Path) -> None:
    scenario = read_scenario(demo_path())
    season = season_of("electric heater", fuel="electricity", ups=0)
    assert len(heater_pictures([season], scenario, Units(True), tmp_path)) == 1
    assert len(winter_pictures([season], scenario, Units(True), tmp_path)) == 3


def test_many_winters_are_drawn_as_three(season_of: Make) -> None:
    seasons = [season_of(winter=f"w{n}") for n in range(5)]
    for n, season in enumerate(seasons):
        object.__setattr__(season, "ledger", dict(season.ledger) | {"heat_need_kWh": 5.0 - n})
    assert [season.winter for season in pictured(seasons)] == ["w4", "w2", "w0"]


def test_worst_week_holds_the_cold_hours(season_of: Make) -> None:
    seen = hours(season_of(), "out_C", "setpoint_C", "air_C")
    week = worst_week(seen)
    assert len(week.times) == 168
    assert week.when(0).hour == 0
    assert (week["air_C"] < 0.0).sum() == (seen["air_C"] < 0.0).sum() == 14


def test_days_have_the_low_high_and_mean_of_their_hours() -> None:
    # from 22:00 on: two hours of the first day, a whole one, one of the third; by hand
    times = np.datetime64("2025-12-30T22:00", "s") + np.arange(27) * np.timedelta64(3600, "s")
    values = np.concatenate([[1.0, 4.0], np.arange(24.0), [-7.0]])
    dates, firsts = days_of(times)
    assert [str(day)[:10] for day in dates] == ["2025-12-30", "2025-12-31", "2026-01-01"]
    days = by_day(values, firsts)
    assert days.low.tolist() == [1.0, 0.0, -7.0]
    assert days.high.tolist() == [4.0, 23.0, -7.0]
    assert days.mean.tolist() == [2.5, 11.5, -7.0]


def test_hours_are_those_of_the_table(season_of: Make) -> None:
    season = season_of()
    seen = hours(season, "out_C", "setpoint_C", "air_C", "woken")
    assert (seen.times == season.trace.index.to_numpy()).all()
    for name, values in seen.columns.items():
        assert (values == season.trace[name].to_numpy()).all(), name


def test_nights_are_columns_from_evening_to_morning(season_of: Make) -> None:
    evenings, cells = night_cells(season_of(ups=38).trace)
    assert (cells == UP).sum() == 38
    row = (2 - NIGHT[0]) % 24
    woken = evenings[np.flatnonzero(cells[row] == UP)[0]]
    assert (woken.month, woken.day) == (12, 29)  # up at 02:00 on 30 December
    assert (cells == COLD).sum() == 9 - 1  # midnight to nine, less the hour awake
    assert cells.shape[1] == len(evenings)


def test_somebody_who_sleeps_by_day_is_drawn_from_noon_to_noon(season_of: Make) -> None:
    trace = season_of(ups=3).trace
    assert drawn_hours(trace) == NIGHT
    trace = trace.assign(woken=trace["woken"].shift(10, fill_value=0.0))
    assert drawn_hours(trace) == ALL_DAY
    assert (night_cells(trace, ALL_DAY)[1] == UP).sum() == 3


def test_sleep_over_midnight_and_after_it(season_of: Make) -> None:
    week = worst_week(hours(season_of(), "out_C", "setpoint_C", "air_C"))
    routine = read_scenario(demo_path()).routine
    spans = list(sleeping(week, routine))
    assert {(start.hour, end.hour) for start, end in spans[1:-1]} == {(22, 6)}
    late = read_scenario(demo_path()).with_(**{"routine.bed": "00:30"}).routine
    assert {start.hour for start, _ in list(sleeping(week, late))[1:-1]} == {0}


def test_an_interrupted_picture_leaves_no_file(tmp_path: Path) -> None:
    class Interrupted:
        def get_children(self) -> list[object]:
            return []

        def savefig(self, path: Path, format: str) -> None:
            Path(path).write_bytes(b"half")
            raise KeyboardInterrupt

    with pytest.raises(KeyboardInterrupt):
        save(Interrupted(), tmp_path / "a.png")  # type: ignore[arg-type]
    assert list(tmp_path.iterdir()) == []
