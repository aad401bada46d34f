"""Gaps, order, impossible values: filled and noted, or refused with place and remedy."""

from __future__ import annotations

from collections.abc import Callable
from pathlib import Path

import numpy as np
import pytest

from greenhouse_sim.errors import WeatherError
from greenhouse_sim.weather import read_weather, winters

Write = Callable[..., Path]
Rows = Callable[[str, int], list[str]]
HEADER_ROWS = 6


def blank(row: str, cell: int) -> str:
    """A row with one cell emptied."""
    cells = row.split(",")
    cells[cell] = ""
    return ",".join(cells)


@pytest.mark.parametrize("rows_missing", [True, False])
def test_three_hours_are_filled_and_noted(
    write_csv: Write, steady_rows: Rows, rows_missing: bool
) -> None:
    rows = steady_rows("2026-01-05T00:00", 72)
    if rows_missing:
        del rows[30:33]
    else:
        rows[30:33] = [blank(row, 1) for row in rows[30:33]]
    weather = read_weather(write_csv(rows))
    assert weather.hours == 72
    assert weather.t_out_C[29:34] == pytest.approx([2.9, 3.0, 3.1, 3.2, 3.3])
    assert any(
        "t_air" in n and "3 hours filled" in n and "2026-01-06 06:00" in n for n in weather.notes
    )


@pytest.mark.parametrize("rows_missing", [True, False])
def test_four_hours_are_a_gap_that_refuses_only_its_season(
    write_csv: Write, steady_rows: Rows, rows_missing: bool
) -> None:
    rows = steady_rows("2026-01-05T00:00", 24 * 6)
    words = r"2026-01-06 06:00 to 2026-01-06 09:00 \(4 h\)"
    if rows_missing:
        del rows[30:34]
    else:
        rows[30:34] = [blank(row, 1) for row in rows[30:34]]
        words = r"t_air.*" + words
    record = read_weather(write_csv(rows))
    (gap,) = record.gaps
    assert (gap.first, gap.stop) == (30, 34)
    for season in (((1, 5), (1, 10)), ((1, 6), (1, 6))):
        with pytest.raises(WeatherError, match=words):
            winters(record, *season)
    (winter,) = winters(record, (1, 7), (1, 10))
    assert winter.gaps == ()
    assert winter.t_out_C[0] == pytest.approx(4.8)


def test_stand_ins_keep_the_clock_hour(write_csv: Write, steady_rows: Rows) -> None:
    rows = steady_rows("2026-01-05T00:00", 24 * 6)
    del rows[58:66]  # 10:00 to 17:00 of the third day, with all of its sun
    record = read_weather(write_csv(rows))
    assert (record.ghi_W[58:66] == [0, 200, 200, 200, 0, 0, 0, 0]).all()


def test_more_missing_than_known_is_refused(write_csv: Write, steady_rows: Rows) -> None:
    rows = steady_rows("2026-01-05T00:00", 24 * 6)
    with pytest.raises(WeatherError, match="more hours are missing than there are"):
        read_weather(write_csv(rows[::6]))


def test_sun_in_a_gap_stays_zero_at_night(write_csv: Write, steady_rows: Rows) -> None:
    rows = steady_rows("2026-01-05T00:00", 72)
    for hour in (24 + 13, 24 + 14, 24 + 15):  # the last hour of sun and two dark ones
        rows[hour] = blank(rows[hour], 4)
    ghi = read_weather(write_csv(rows)).ghi_W
    assert 100.0 < ghi[24 + 13] < 200.0
    assert (ghi[24 + 14 : 24 + 16] == 0.0).all()


def test_unknown_cloud_may_stay_unknown(write_csv: Write) -> None:
    rows = [f"2026-01-05 {h:02d}:00,1,0,0,0,{'' if 5 <= h < 12 else 0.5}" for h in range(24)]
    headings = ("time", "t_air [degC]", "ghi [W/m2]", "dni [W/m2]", "dhi [W/m2]", "cloud [0-1]")
    weather = read_weather(write_csv(rows, headings))
    assert np.isnan(weather.cloud[5:12]).all()
    assert np.isfinite(weather.cloud[:5]).all()
    assert any("cloud" in note and "unknown" in note for note in weather.notes)


@pytest.mark.parametrize(
    ("cell", "text", "words"),
    [
        (1, "451", r'row 17, column "t_air \[degC\]": 451 degC is impossible.*-95 and 60'),
        (1, "-99.9", r"row 17.*impossible"),
        (1, "warm", r"row 17, column \"t_air \[degC\]\": 'warm' is not a number"),
        (1, "inf", r"row 17.*not a number"),
        (3, "-3", r"row 17.*wind"),
        (4, "5000", r"row 17.*ghi"),
        (7, "1013", r"row 17.*pressure.*unit"),
        (0, "2026-02-30 10:00", r"row 17: cannot read the time"),
        (0, "05/01/2026 10:00", r"row 17: cannot read the time"),
        (0, "2026-01-05 25:00", r"row 17: cannot read the time"),
        (0, "", r"row 17: cannot read the time"),
        (7, "98000,7", r"row 17: has 9 cells.*8 columns"),
        (7, '"98000', r"row 17: has unreadable cells"),
    ],
)
def test_a_bad_cell_names_row_and_column(
    write_csv: Write, steady_rows: Rows, cell: int, text: str, words: str
) -> None:
    rows = steady_rows("2026-01-05T00:00", 48)
    cells = rows[10].split(",")
    cells[cell] = text
    rows[10] = ",".join(cells)
    path = write_csv(rows)
    assert path.read_text().split("\n")[16] == rows[10]  # row 17 as an editor counts
    with pytest.raises(WeatherError, match=words):
        read_weather(path)


def test_rows_count_blank_lines_too(write_csv: Write, steady_rows: Rows) -> None:
    rows = steady_rows("2026-01-05T00:00", 48)
    rows[10] = rows[10].replace(",1.0,", ",warm,")
    rows.insert(4, "")
    with pytest.raises(WeatherError, match="row 18,"):
        read_weather(write_csv(rows))


def test_night_offset_of_a_sun_sensor_is_zero(write_csv: Write, steady_rows: Rows) -> None:
    rows = steady_rows("2026-01-05T00:00", 48)
    rows[2] = rows[2].replace(",0,0,0,", ",-4,0,-2,")
    assert read_weather(write_csv(rows)).ghi_W[2] == 0.0


def test_order_and_twice(write_csv: Write, steady_rows: Rows) -> None:
    rows = steady_rows("2026-01-05T00:00", 48)
    rows[9], rows[10] = rows[10], rows[9]
    with pytest.raises(WeatherError, match=r"row 17: 2026-01-05 09:00 comes after.*sort"):
        read_weather(write_csv(rows))
    rows = steady_rows("2026-01-05T00:00", 48)
    rows.insert(10, rows[9])
    with pytest.raises(WeatherError, match=r"row 17: the hour 2026-01-05 09:00 stands twice"):
        read_weather(write_csv(rows))


def test_daylight_saving_is_refused_with_a_remedy(write_csv: Write, steady_rows: Rows) -> None:
    autumn = steady_rows("2025-11-02T00:00", 48)
    autumn.insert(2, autumn[1])
    with pytest.raises(WeatherError, match=r"stands twice.*daylight-saving.*standard time"):
        read_weather(write_csv(autumn))
    spring = steady_rows("2026-03-08T00:00", 48)
    del spring[2]
    with pytest.raises(WeatherError, match=r"2026-03-08 02:00 is missing.*daylight-saving"):
        read_weather(write_csv(spring))
    spring.insert(2, "2026-03-08 02:00,,,,,,,")
    assert read_weather(write_csv(spring)).hours == 48


@pytest.mark.parametrize(
    ("key", "value", "words"),
    [
        ("latitude", "146.9", "latitude 146.9 is out of range"),
        ("longitude", "263.2", "longitude 263.2 is out of range"),
        ("longitude", "96.8", "west is negative"),
        ("elevation", "90000", "elevation"),
        ("utc_offset", "-26", "offset"),
        ("latitude", "north", "write # latitude: 46.9"),
        ("latitude", "nan", "write # latitude: 46.9"),
        ("stamps", "half past", "hour-starting"),
        ("latitud", "46.9", "write 'latitude'"),
    ],
)
def test_a_bad_place_is_refused(write_csv: Write, key: str, value: str, words: str) -> None:
    place = {"latitude": "46.9", "longitude": "-96.8", "elevation": "270", "utc_offset": "-6"}
    with pytest.raises(WeatherError, match=words):
        read_weather(write_csv(place=place | {key: value}))


@pytest.mark.parametrize("key", ["latitude", "longitude", "elevation_m", "utc_offset_h"])
def test_a_bad_place_from_the_caller_is_refused(write_csv: Write, key: str) -> None:
    place = {"latitude": 46.0, "longitude": -96.0, "elevation_m": 250.0, "utc_offset_h": -6.0}
    with pytest.raises(WeatherError):
        read_weather(write_csv(place={}), **(place | {key: 1e9}))
