"""A logger's file: any step, any clock it may have, and what is refused."""

from __future__ import annotations

from datetime import datetime, timedelta
from pathlib import Path

import numpy as np
import pytest

from greenhouse_sim.errors import ScenarioError, WeatherError
from greenhouse_sim.journal.entry import LOAD, Entry
from greenhouse_sim.plans.fit import with_loads
from greenhouse_sim.plans.logger import Load, Log, read_log
from greenhouse_sim.scenario import demo_path, scenario_from_dict
from greenhouse_sim.scenario.read import scenario_from_text
from greenhouse_sim.scenario.write_fitted import with_fitted

START = datetime(2025, 12, 1)
DAYS = 4


def course(hours: np.ndarray) -> np.ndarray:
    """A day's swing, °C."""
    return 5.0 + 8.0 * np.sin(2.0 * np.pi * hours / 24.0)


def exact_means(count: int) -> np.ndarray:
    """Means of the whole hours of `course`, by its integral."""
    edge = np.arange(count + 1)
    whole = 5.0 * edge - 8.0 * 24.0 / (2.0 * np.pi) * np.cos(2.0 * np.pi * edge / 24.0)
    return np.diff(whole)


def write(path: Path, step_min: int, form: str = "%Y-%m-%d %H:%M", head: str = "") -> Path:
    """A log of `course` in Fahrenheit."""
    lines = [head or "Date Time,Temperature (°F)"]
    for k in range(DAYS * 24 * 60 // step_min + 1):
        when = START + timedelta(minutes=k * step_min)
        value = course(np.array(k * step_min / 60.0)) * 1.8 + 32.0
        lines.append(f"{when:{form}},{value:.3f}")
    path.write_text("\n".join(lines) + "\n", encoding="utf-8")
    return path


@pytest.mark.parametrize("step_min", [1, 10, 15, 60])
def test_any_step_gives_the_hours_means(tmp_path: Path, step_min: int) -> None:
    """Straight lines between readings: the error of a chord, (1/12)·|T″|·step² at most."""
    log = read_log(write(tmp_path / "log.csv", step_min), -6.0)
    chord = 8.0 * (2.0 * np.pi / 24.0) ** 2 * (step_min / 60.0) ** 2 / 12.0
    assert log.start == START
    assert log.hours == DAYS * 24
    assert np.max(np.abs(log.indoor_C - exact_means(log.hours))) < chord + 0.001


@pytest.mark.parametrize(
    ("form", "head", "moved_h"),
    [
        ("%m/%d/%Y %I:%M %p", "Date Time,Temp [degF]", 0),
        ("%Y-%m-%dT%H:%MZ", "time,indoor [degF]", -6),
        ("%Y-%m-%d %H:%M", "time UTC,indoor [degF]", -6),
        ("%d.%m.%Y %H:%M", "Time,Greenhouse Temperature °F", 0),
    ],
)
def test_other_ways_to_write_a_log(tmp_path: Path, form: str, head: str, moved_h: int) -> None:
    log = read_log(write(tmp_path / "log.csv", 15, form, head), -6.0)
    assert log.start == START + timedelta(hours=moved_h)
    assert np.max(np.abs(log.indoor_C - exact_means(log.hours))) < 0.05


def write_means(path: Path, step_min: int, *, after: bool) -> Path:
    """A log of the exact means of `course` over each step, stamped at its end or its beginning."""
    step = step_min / 60.0
    edge = np.arange(int(DAYS * 24 / step) + 1) * step
    grown = 5.0 * edge - 8.0 * 24.0 / (2.0 * np.pi) * np.cos(2.0 * np.pi * edge / 24.0)
    stamps = edge[:-1] if after else edge[1:]
    rows = [
        f"{START + timedelta(hours=float(at)):%Y-%m-%d %H:%M},{mean:.4f}"
        for at, mean in zip(stamps, np.diff(grown) / step, strict=True)
    ]
    path.write_text("\n".join(["time,Temp_Avg [degC]", *rows]) + "\n", encoding="utf-8")
    return path


@pytest.mark.parametrize("step_min", [5, 15, 60])
@pytest.mark.parametrize("readings", ["means", "means-after"])
def test_means_of_any_step_give_the_hours_means(
    tmp_path: Path, step_min: int, readings: str
) -> None:
    """Exactly: steps that fill an hour have its mean as theirs. Every hour is known."""
    path = write_means(tmp_path / "log.csv", step_min, after=readings == "means-after")
    log = read_log(path, 0.0, readings)
    assert log.start == START
    assert log.hours == DAYS * 24
    assert log.indoor_C == pytest.approx(exact_means(DAYS * 24), abs=1e-4)
    assert log.notes == ()
    assert log.at_hour_C is None


def test_means_of_steps_that_cross_the_hour(tmp_path: Path) -> None:
    """Steps of 40 minutes: a block that two hours share counts in each by its minutes there."""
    log = read_log(write_means(tmp_path / "log.csv", 40, after=False), 0.0, "means")
    blocks = exact_40_min()
    assert log.indoor_C[0] == pytest.approx((40.0 * blocks[0] + 20.0 * blocks[1]) / 60.0, abs=1e-4)
    assert log.indoor_C[1] == pytest.approx((20.0 * blocks[1] + 40.0 * blocks[2]) / 60.0, abs=1e-4)


def exact_40_min() -> np.ndarray:
    """The first three means of `course` over 40 minutes, by its integral."""
    edge = np.arange(4) * 2.0 / 3.0
    whole = 5.0 * edge - 8.0 * 24.0 / (2.0 * np.pi) * np.cos(2.0 * np.pi * edge / 24.0)
    return np.diff(whole) * 1.5


def test_a_gap_between_means_is_not_bridged(tmp_path: Path) -> None:
    path = write_means(tmp_path / "log.csv", 60, after=False)
    rows = path.read_text(encoding="utf-8").splitlines()
    # the mean of hour k stands in row k + 1 (the header is row 0)
    path.write_text("\n".join([*rows[:11], *rows[14:]]) + "\n", encoding="utf-8")
    log = read_log(path, 0.0, "means")
    assert np.flatnonzero(np.isnan(log.indoor_C)).tolist() == [10, 11, 12]


def test_a_heading_that_speaks_of_means(tmp_path: Path) -> None:
    """As loggers head their averages (``AirTC_Avg``)."""
    path = write_means(tmp_path / "log.csv", 60, after=False)
    (note,) = read_log(path, 0.0).notes
    assert '"Temp_Avg [degC]" speaks of means' in note
    assert "--readings means" in note


def test_gaps_and_a_sensor_that_stands_still(tmp_path: Path) -> None:
    path = write(tmp_path / "log.csv", 15)
    rows = path.read_text(encoding="utf-8").splitlines()
    # hours 10 to 13 are missing; from hour 40 to 56 the sensor stands still
    kept = [row for k, row in enumerate(rows[1:]) if not 10 * 4 < k < 13 * 4]
    stuck = [row if not 40 * 4 <= k <= 56 * 4 else f"{row.split(',')[0]},50.0"
             for k, row in enumerate(rows[1:])]  # fmt: skip
    path.write_text("\n".join([rows[0], *kept]) + "\n", encoding="utf-8")
    assert np.flatnonzero(np.isnan(read_log(path, 0.0).indoor_C)).tolist() == [10, 11, 12]
    path.write_text("\n".join([rows[0], *stuck]) + "\n", encoding="utf-8")
    log = read_log(path, 0.0)
    assert np.flatnonzero(np.isnan(log.indoor_C)).tolist() == list(range(39, 57))
    assert "stood still for 16 h" in log.notes[0]


def test_a_column_without_a_number_is_none(tmp_path: Path) -> None:
    path = tmp_path / "log.csv"
    rows = [f"2025-12-01 {h:02d}:00,{40 + h % 5},," for h in range(24)]
    path.write_text("\n".join(["time,indoor [degF],heat [W],outdoor [degF]", *rows]) + "\n")
    log = read_log(path, 0.0)
    assert log.heat_W is None
    assert log.outdoor_C is None


def test_loads_of_the_log_and_of_the_journal(tmp_path: Path) -> None:
    path = tmp_path / "log.csv"
    rows = [f"2025-12-01 {h:02d}:00,{40 + h % 5},{'40' if h == 6 else ''}" for h in range(24)]
    path.write_text("\n".join(["time,indoor [degF],loaded [lb]", *rows]) + "\n")
    assert read_log(path, 0.0).loads == (Load(6, pytest.approx(18.1436948)),)
    bare = Log("log", START, np.full(48, 5.0))
    entries = [Entry(START + timedelta(hours=9, minutes=40), LOAD, 12.0),
               Entry(START + timedelta(hours=90), LOAD, 12.0)]  # fmt: skip
    assert with_loads(bare, entries).loads == (Load(10, 12.0),)


@pytest.mark.parametrize(
    ("text", "told"),
    [
        ("a,b\n1,2\n", "no header row with a column of time"),
        ("time,Temp\n2025-12-01 00:00,40\n2025-12-01 01:00,41\n", "has no unit"),
        ("time,humidity [%]\n2025-12-01 00:00,40\n2025-12-01 01:00,41\n", "no column of the air"),
        ("time,indoor [lb]\n2025-12-01 00:00,40\n2025-12-01 01:00,41\n", r"unit \[lb\]"),
        ("time,indoor [degF]\n2025-12-01 00:00,x\n2025-12-01 01:00,41\n", "row 2.*not a number"),
        ("time,indoor [degF]\n2025-12-01 00:00,40\n2025-12-01 00:20,41\n", "shorter than an hour"),
        ("time,indoor [degF]\nyesterday,40\ntoday,41\n", "cannot tell how times"),
    ],
)
def test_what_is_refused(tmp_path: Path, text: str, told: str) -> None:
    path = tmp_path / "log.csv"
    path.write_text(text)
    with pytest.raises(WeatherError, match=told):
        read_log(path, 0.0)


def test_a_flat_line_is_refused(tmp_path: Path) -> None:
    rows = [f"2025-12-{1 + h // 24:02d} {h % 24:02d}:00,40" for h in range(96)]
    path = tmp_path / "log.csv"
    path.write_text("\n".join(["time,indoor [degF]", *rows]) + "\n")
    with pytest.raises(WeatherError, match=r"stood still for 100%.*battery"):
        read_log(path, 0.0)
    with pytest.raises(WeatherError, match="no such log"):
        read_log(tmp_path / "none.csv", 0.0)


FACTORS = {"loss": 1.1, "leak": 0.9, "capacity": 1.2, "soil": 0.8, "sun": 0.95}


def test_the_fitted_scenario_keeps_what_was_written() -> None:
    text = demo_path().read_text(encoding="utf-8")
    once = with_fitted(text, "farm.toml", FACTORS, {"efficiency_max": 0.55})
    assert [line for line in text.splitlines() if line not in once.splitlines()] == []
    scenario = scenario_from_text(once, "farm.toml")
    assert scenario.greenhouse.fitted is not None
    assert scenario.greenhouse.fitted.loss == 1.1
    assert scenario.heater.overrides["efficiency_max"] == 0.55
    again = with_fitted(once, "farm.toml", FACTORS | {"loss": 1.3}, {"efficiency_max": 0.6})
    assert len(again.splitlines()) == len(once.splitlines())
    assert scenario_from_text(again, "farm.toml").greenhouse.fitted.loss == 1.3  # type: ignore[union-attr]


def test_a_file_that_lines_cannot_be_put_into() -> None:
    with pytest.raises(ScenarioError, match=r"write this under \[greenhouse\] yourself"):
        with_fitted('greenhouse.width = "30 ft"\n', "farm.toml", FACTORS, {})


def test_factors_do_what_they_say() -> None:
    """Exactly proportional: losses, leaks, sun and capacity by their definition."""
    from greenhouse_sim.season.run import read_winters, ready

    plain = scenario_from_dict(
        {
            "site": {
                "weather": ["tamarack_flats_typical.csv"],
                "season": {"start": "12-20", "end": "12-27"},
            },
            "greenhouse": {
                "width": "30 ft", "length": "72 ft", "sidewall": "5 ft", "ridge": "13 ft",
            },
            "heater": {"kind": "ideal"},
        }
    )  # fmt: skip
    fitted = plain.with_(**{"greenhouse.fitted": FACTORS})
    winter = read_winters(plain)[0]
    one, two = ready(plain, winter), ready(fitted, winter)
    for name in ("loss_w_k", "sky_w"):
        assert np.allclose(getattr(two.drive, name), 1.1 * getattr(one.drive, name))
    for name in ("sun_air_w", "sun_floor_w", "sun_latent_w"):
        assert np.allclose(getattr(two.drive, name), 0.95 * getattr(one.drive, name))
    assert two.house.leak_w_k == pytest.approx(0.9 * one.house.leak_w_k)
    assert two.house.air_c == pytest.approx(1.2 * one.house.air_c)
    # between two layers of soil there is nothing but soil
    assert two.house.node_g[2] == pytest.approx(0.8 * one.house.node_g[2])
