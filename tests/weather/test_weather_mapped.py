"""Files of climate offices and home stations, read by a guessed mapping, against known weather."""

from __future__ import annotations

import zoneinfo
from collections.abc import Callable
from datetime import UTC, datetime, timedelta
from pathlib import Path

import numpy as np
import pytest

from greenhouse_sim.errors import WeatherError
from greenhouse_sim.weather import find_weather, read_weather
from greenhouse_sim.weather.guess import guess, quantity_of
from greenhouse_sim.weather.mapping import Mapping, mapping_path, mapping_text, read_mapping

DETROIT = zoneinfo.ZoneInfo("America/Detroit")
PLACE = {"latitude": 42.8, "longitude": -84.6, "elevation_m": 265.0}


def celsius(stamp: datetime) -> float:
    """A made temperature that tells the hour of its stamp (UTC) and its day."""
    hours = (stamp - datetime(2024, 1, 1, tzinfo=UTC)) / timedelta(hours=1)
    return 2.0 + 8.0 * np.sin(2.0 * np.pi * hours / 24.0) + 0.01 * hours % 5.0


def mapped(path: Path, **changes: object) -> Mapping:
    """Guess a file's mapping, write it beside, as ``weather map --yes`` does."""
    found = guess(path.read_text(encoding="utf-8"), path, 42.8).mapping
    for key, value in changes.items():
        object.__setattr__(found, key, value)
    text = mapping_text(found, path.name)
    assert read_mapping(text, path) == found
    mapping_path(path).write_text(text, encoding="utf-8")
    return found


def home_station(
    path: Path, first: datetime, last: datetime, minutes: int = 5, newest_first: bool = False
) -> Path:
    """Five-minute rows in °F, mph and inHg by a clock with daylight saving."""
    rows = []
    at = first
    while at < last:
        local = at.astimezone(DETROIT)
        t = celsius(at) * 1.8 + 32.0
        rows.append(f"{local:%m/%d/%Y %H:%M},{t:.3f},{t - 5.0:.3f},80,10,29.1,0,55")
        at += timedelta(minutes=minutes)
    head = ("Time,Outdoor Temperature (°F),Dew Point (°F),Humidity (%),Wind Speed (mph),"
            "Station Pressure (inHg),Solar Radiation (W/m^2),Indoor Temperature (°F)")  # fmt: skip
    body = rows[::-1] if newest_first else rows
    path.write_text("\n".join([head, *body]) + "\n", encoding="utf-8")
    return path


def expected(record: object, minutes: int) -> np.ndarray:
    """Means of the hours of a record, from the made function."""
    wanted = []
    for stamp in record.times():  # type: ignore[attr-defined]
        first = stamp.item().replace(tzinfo=UTC) + timedelta(hours=5)
        steps = [celsius(first + timedelta(minutes=m)) for m in range(0, 60, minutes)]
        wanted.append(np.mean(steps))
    return np.array(wanted)


@pytest.mark.parametrize("newest_first", [False, True])
@pytest.mark.parametrize("minutes", [5, 15])
def test_home_station_over_both_clock_changes(
    tmp_path: Path, minutes: int, newest_first: bool
) -> None:
    for first in (datetime(2024, 11, 1, 4, tzinfo=UTC), datetime(2025, 3, 7, 5, tzinfo=UTC)):
        path = home_station(tmp_path / f"home{first.month}.csv", first, first + timedelta(days=5),
                            minutes, newest_first)  # fmt: skip
        found = mapped(path, clock="America/Detroit")
        assert found.time_format == "%m/%d/%Y %H:%M"
        assert {key: column.unit for key, column in found.columns.items()} == {
            "t_air": "degF", "t_dew": "degF", "humidity": "%", "wind": "mph", "ghi": "W/m2",
            "pressure": "inHg",
        }  # fmt: skip
        record = read_weather(path, **PLACE)
        assert record.utc_offset_h == -5.0
        assert record.hours == 120
        assert record.gaps == ()
        assert np.abs(record.t_out_C - expected(record, minutes)).max() < 0.01
        assert record.wind_m_s[0] == pytest.approx(4.4704)
        assert any("America/Detroit" in note for note in record.notes)
        if first.month == 11:
            assert any("twice told apart in 1 night" in note for note in record.notes)


def test_the_autumn_jump_is_found_and_must_be_named(tmp_path: Path) -> None:
    first = datetime(2024, 11, 1, 4, tzinfo=UTC)
    path = home_station(tmp_path / "home.csv", first, first + timedelta(days=5))
    found = guess(path.read_text(encoding="utf-8"), path)
    assert found.mapping.clock == ""


def test_the_doubled_hour_that_stands_once_is_a_gap(tmp_path: Path) -> None:
    first = datetime(2024, 11, 1, 4, tzinfo=UTC)
    path = home_station(tmp_path / "home.csv", first, first + timedelta(days=5), 60)
    lines = path.read_text(encoding="utf-8").split("\n")
    at = [n for n, line in enumerate(lines) if line.startswith("11/03/2024 01:00")]
    assert len(at) == 2
    del lines[at[1]]
    path.write_text("\n".join(lines), encoding="utf-8")
    mapped(path, clock="America/Detroit")
    record = read_weather(path, **PLACE)
    assert record.hours == 120
    text = " ".join(record.notes)
    assert "stands once on 2024-11-03" in text
    assert "1 hour filled from neighbours, first 2024-11-03 01:00" in text


def test_standard_time_named_as_summer_time_is_refused(tmp_path: Path) -> None:
    rows = [f"2025-03-09 {h:02d}:00,40,0" for h in range(24)]
    path = tmp_path / "standard.csv"
    path.write_text("\n".join(["Time,Temperature (°F),Solar (W/m2)", *rows]), encoding="utf-8")
    mapped(path, clock="America/Detroit")
    with pytest.raises(WeatherError, match=r"row 4: 2025-03-09 02:00 does not exist.*standard"):
        read_weather(path, **PLACE)
    mapped(path, clock="America/Detriot")
    with pytest.raises(WeatherError, match="write 'America/Detroit'"):
        read_weather(path, **PLACE)


def steady(first: str, hours: int) -> list[datetime]:
    """Stamps of hours, universal time."""
    begin = datetime.fromisoformat(first).replace(tzinfo=UTC)
    return [begin + timedelta(hours=h) for h in range(hours)]


def write(path: Path, head: str, rows: list[str]) -> Path:
    path.write_text("\n".join([head, *rows]) + "\n", encoding="utf-8")
    return path


def test_a_national_service_with_semicolons_universal_time_and_fillers(tmp_path: Path) -> None:
    rows = []
    for n, at in enumerate(steady("2021-01-01T00:00", 96)):
        t = -999.0 if n in (40, 41) else celsius(at)
        rows.append(f"  4711;{at:%Y%m%d%H};  3;{t:8.2f}; 87.0;{360 if 10 <= at.hour < 14 else 0}")
    head = "STATIONS_ID;MESS_DATUM;QN_9;TT_TU;RF_TU;FG_LBERG"
    path = write(tmp_path / "produkt.txt", head, rows)
    found = mapped(path)
    assert (found.separator, found.clock, found.time_format) == (";", "UTC", "%Y%m%d%H")
    assert found.missing == ("-999.00",)
    record = read_weather(path, latitude=52.0, longitude=10.0, elevation_m=80.0, utc_offset_h=1.0)
    assert str(record.times()[0]) == "2021-01-01T01:00:00"
    assert record.t_out_C[0] == pytest.approx(celsius(steady("2021-01-01T00:00", 1)[0]), abs=0.01)
    assert any("2 hours filled" in note for note in record.notes)
    assert record.ghi_W.max() == pytest.approx(1000.0)  # 360 J/cm² in an hour


def test_decimal_commas(tmp_path: Path) -> None:
    rows = [
        f"{at:%d.%m.%Y %H:%M};{celsius(at):.2f};5,0;120,5" for at in steady("2021-01-20T00:00", 48)
    ]
    rows = [r[:16] + r[16:].replace(".", ",") for r in rows]
    path = write(tmp_path / "a.csv", "Datum;Lufttemperatur (°C);Wind (km/h);Global (W/m²)", rows)
    found = mapped(path)
    assert (found.decimal, found.time_format) == (",", "%d.%m.%Y %H:%M")
    record = read_weather(path, **PLACE)
    assert record.t_out_C[0] == pytest.approx(celsius(steady("2021-01-20T00:00", 1)[0]), abs=0.01)
    assert record.wind_m_s[0] == pytest.approx(5.0 / 3.6)
    assert record.ghi_W[0] == 120.5


def test_year_month_day_and_time_apart_with_a_preface(tmp_path: Path) -> None:
    rows = [
        f"{at.year},{at.month},{at.day},{at:%H:%M},{celsius(at):.2f},12,98.1,"
        for at in steady("2021-01-20T00:00", 48)
    ]
    preface = "Station Name,Rowan Hollow\nClimate ID,42\n\n"
    head = preface + "Year,Month,Day,Time (LST),Temp (°C),Wind Spd (km/h),Stn Press (kPa),Weather"
    path = write(tmp_path / "b.csv", head, rows)
    found = mapped(path)
    assert found.header_row == 4
    assert found.time_columns == ("Year", "Month", "Day", "Time (LST)")
    assert found.sun_from == "temperature range"
    record = read_weather(path, **PLACE)
    assert record.pressure_Pa[0] == pytest.approx(98100.0)
    assert any(note.startswith("WARNING: no sun in the file") for note in record.notes)
    assert record.ghi_W.max() > 100.0


def test_flags_and_daily_summaries_of_a_climate_office(tmp_path: Path) -> None:
    rows = []
    for n, at in enumerate(steady("2021-01-20T00:53", 72)):
        flag = "s" if n == 30 else ""
        rows.append(f"72539014836,{at:%Y-%m-%dT%H:%M:%S},FM-15,{celsius(at):.1f}{flag},")
        if at.hour == 23:
            rows.append(f"72539014836,{at:%Y-%m-%d}T23:59:00,SOD,,31")
    head = "STATION,DATE,REPORT_TYPE,HourlyDryBulbTemperature,DailyMaximumDryBulbTemperature"
    path = write(tmp_path / "lcd.csv", head, rows)
    mapped(path)
    record = read_weather(path, **PLACE)
    assert record.hours == 72
    assert any("1 values marked as doubtful left out" in note for note in record.notes)
    assert any(":53 past rounded" in note for note in record.notes)


def test_two_stations_are_refused_and_one_can_be_chosen(tmp_path: Path) -> None:
    rows = [
        f"{name},{at:%Y-%m-%d %H:%M},{celsius(at) + shift:.2f}"
        for at in steady("2021-01-20T00:00", 72)
        for name, shift in (("AAA", 0.0), ("BBB", 10.0))
    ]
    path = write(tmp_path / "two.csv", "Station,Date,Temp (°C)", rows)
    mapped(path, station=None)
    with pytest.raises(WeatherError, match=r'row 3: column "Station" has 2 stations \(AAA, BBB\)'):
        read_weather(path, **PLACE)
    assert mapped(path).station == ("Station", "AAA")
    record = read_weather(path, **PLACE)
    assert record.t_out_C[0] == pytest.approx(celsius(steady("2021-01-20T00:00", 1)[0]), abs=0.01)
    nameless = [row.partition(",")[2] for row in rows]
    path = write(tmp_path / "nameless.csv", "Date,Temp (°C)", nameless)
    mapped(path)
    with pytest.raises(
        WeatherError, match=r"72 rows have a time that stands already.*mix stations"
    ):
        read_weather(path, **PLACE)


def test_mixed_stations_are_no_autumn_clock(tmp_path: Path) -> None:
    """Rows of two stations through a Sunday night of November: no time zone would help."""
    rows = [
        f"{name},{at:%Y-%m-%d %H:%M},{celsius(at) + shift:.2f}"
        for at in steady("2021-11-05T00:00", 96)
        for name, shift in (("AAA", 0.0), ("BBB", 10.0))
    ]
    path = write(tmp_path / "two.csv", "Station,Date,Temp (°C)", rows)
    found = mapped(path)
    assert (found.station, found.clock) == (("Station", "AAA"), "standard time")
    assert read_weather(path, **PLACE).hours == 96
    path = write(
        tmp_path / "nameless.csv", "Date,Temp (°C)", [row.partition(",")[2] for row in rows]
    )
    mapped(path)
    with pytest.raises(WeatherError, match="96 rows have a time that stands already"):
        read_weather(path, **PLACE)


def test_daily_lowest_and_highest_become_hours(tmp_path: Path) -> None:
    days = np.arange(np.datetime64("2021-01-01"), np.datetime64("2021-03-01"))
    rows = [f"ROWAN,{d},{50 + n % 7 * 10},{-80 - n % 5 * 10},0" for n, d in enumerate(days)]
    path = write(tmp_path / "daily.csv", "NAME,DATE,TMAX,TMIN,PRCP", rows)
    found = guess(path.read_text(), path).mapping
    assert set(found.columns) == {"t_min", "t_max"}
    tenths = {k: c._replace(unit="tenths of degC") for k, c in found.columns.items()}
    mapped(path, columns=tenths)
    record = read_weather(path, **PLACE)
    assert record.hours == 59 * 24
    by_day = record.t_out_C.reshape(59, 24)
    wanted_high = np.array([(50 + n % 7 * 10) / 10.0 for n in range(59)])
    wanted_low = np.array([(-80 - n % 5 * 10) / 10.0 for n in range(59)])
    # the mean of the hour about the turning point lies a little inside the extreme itself
    assert np.abs(by_day.max(axis=1) - wanted_high).max() < 0.35
    assert np.abs(by_day.min(axis=1) - wanted_low).max() < 0.35
    assert np.isin(by_day.argmax(axis=1), (13, 14, 15)).all()
    assert np.isin(by_day.argmin(axis=1), (6, 7, 8)).all()
    assert any("de Wit" in note and "RMS" in note for note in record.notes)


def test_a_missing_day_is_a_gap(tmp_path: Path) -> None:
    days = np.arange(np.datetime64("2021-01-01"), np.datetime64("2021-01-20"))
    rows = [f"{d},5.0,-8.0" for n, d in enumerate(days) if n != 9]
    path = write(tmp_path / "daily.csv", "Date,Max Temp (°C),Min Temp (°C)", rows)
    mapped(path)
    record = read_weather(path, **PLACE)
    assert record.hours == 19 * 24
    (gap,) = record.gaps
    assert gap.first // 24 in (8, 9)
    assert 24 <= gap.stop - gap.first <= 48


def test_a_daily_mean_alone_makes_no_hours(tmp_path: Path) -> None:
    days = np.arange(np.datetime64("2021-01-01"), np.datetime64("2021-01-20"))
    path = write(tmp_path / "daily.csv", "Date,Mean temperature (°C)", [f"{d},5.0" for d in days])
    mapped(path)
    with pytest.raises(WeatherError, match="map t_min and t_max"):
        read_weather(path, **PLACE)


def test_daily_sun_keeps_its_sum(tmp_path: Path) -> None:
    days = np.arange(np.datetime64("2021-01-01"), np.datetime64("2021-02-01"))
    path = write(tmp_path / "daily.csv", "Date,TMAX (°C),TMIN (°C),Global radiation (MJ/m2)",
                 [f"{d},5,-8,7.2" for d in days])  # fmt: skip
    mapped(path)
    record = read_weather(path, **PLACE)
    assert record.ghi_W.reshape(-1, 24).sum(axis=1) == pytest.approx(2000.0)  # 7.2 MJ is 2 kWh
    assert record.ghi_W.reshape(-1, 24)[:, :7].max() == 0.0


@pytest.mark.parametrize(
    ("heading", "quantity"),
    [
        ("Temp (°C)", "t_air"), ("HourlyDryBulbTemperature", "t_air"), ("tempf", "t_air"),
        ("Lufttemperatur", "t_air"), ("HourlyDewPointTemperature", "t_dew"), ("dwpt", "t_dew"),
        ("HourlyWetBulbTemperature", ""), ("Indoor Temperature", ""), ("tempinf", ""),
        ("HourlySeaLevelPressure", ""), ("HourlyStationPressure", "pressure"),
        ("windspeedmph", "wind"), ("windgustmph", ""), ("Wind Dir (10s deg)", ""),
        ("TMAX", "t_max"), ("Min Temp (°C)", "t_min"), ("Relative Humidity [%]", "humidity"),
        ("Feels like", ""), ("Globalstrahlung", "ghi"), ("Weather", ""), ("PRCP", ""),
    ],
)  # fmt: skip
def test_headings(heading: str, quantity: str) -> None:
    assert quantity_of(heading)[0] == quantity


BROKEN: list[tuple[Callable[[str], str], str]] = [
    (lambda t: t + "[", "is not valid TOML"),
    (lambda t: t.replace("[columns]", "[colums]"), "write 'columns'"),
    (lambda t: t.replace("t_air =", "tair ="), "write 't_air'"),
    (lambda t: t.replace('unit = "degC"', 'unit = "m"'), "t_air has the unit"),
    (lambda t: t.replace('column = "Temp', 'column = "Tamp'), "nearest is 'Temp"),
    (lambda t: t.replace('columns = ["Date"]', ""), "has no columns"),
    (lambda t: t.replace('"hour-starting"', '"noon"'), "hour-starting or hour-ending"),
    (lambda t: t.replace('format = "ISO"', 'format = "%d"'), "cannot read the time"),
    (lambda t: t.replace("header_row = 1", "header_row = 0"), "header_row"),
    (lambda t: t.replace("header_row = 1", "header_row = 9"), "has no column"),
    (lambda t: t.replace('separator = ","', 'separator = ",,"'), "one character"),
    (lambda t: t.replace("[place]", '[place]\nlatitude = "north"'), "without quotes"),
    (lambda t: t.replace('from = "temperature range"', 'from = "moon"'), "temperature range or"),
    (lambda t: t.replace('from = "temperature range"', 'from = "cloud"'), "100% of the hours"),
    (lambda t: t + '\n[station]\ncolumn = "Date"\nis = "x"\n', "no row has 'x'"),
    (lambda t: t + '\n[station]\ncolumn = "Date"\n', "is = "),
]


@pytest.mark.parametrize("number", range(len(BROKEN)))
def test_a_broken_mapping_is_told_with_its_remedy(tmp_path: Path, number: int) -> None:
    change, words = BROKEN[number]
    rows = [f"{at:%Y-%m-%d %H:%M},{celsius(at):.1f}" for at in steady("2021-01-20T00:00", 48)]
    path = write(tmp_path / "small.csv", "Date,Temp (°C)", rows)
    mapped(path)
    where = mapping_path(path)
    where.write_text(change(where.read_text(encoding="utf-8")), encoding="utf-8")
    with pytest.raises(WeatherError) as caught:
        read_weather(path, **PLACE)
    assert words in str(caught.value)
    assert "small" in str(caught.value)


def test_a_cell_that_is_no_number_names_row_and_column(tmp_path: Path) -> None:
    rows = [f"{at:%Y-%m-%d %H:%M},{celsius(at):.1f}" for at in steady("2021-01-20T00:00", 48)]
    path = write(tmp_path / "small.csv", "Date,Temp (°C)", rows)
    mapped(path)
    rows[10] = "2021-01-20 10:00,freezing"
    write(path, "Date,Temp (°C)", rows)
    with pytest.raises(WeatherError, match=r'row 12, column "Temp \(°C\)": .freezing.*missing'):
        read_weather(path, **PLACE)


@pytest.mark.parametrize(
    ("text", "words"),
    [
        ("just words\nmore words\n", "no header row"),
        ("Date,Rain\n2021-01-01,3\n2021-01-02,4\n", "no column of temperature"),
        ("Temp,Wind\n3,4\n5,6\n", "no column of time"),
        ("Date,Temp\nsoon,4\nlater,6\n", "cannot tell how times such as 'soon'"),
    ],
)
def test_what_cannot_be_guessed_is_told(tmp_path: Path, text: str, words: str) -> None:
    path = tmp_path / "odd.csv"
    path.write_text(text)
    with pytest.raises(WeatherError, match=words):
        guess(text, path)


def test_an_epw_is_never_read_by_a_mapping(tmp_path: Path) -> None:
    text = find_weather("tamarack_flats_typical.epw", tmp_path).read_text(encoding="utf-8")
    path = tmp_path / "place.epw"
    path.write_text(text, encoding="utf-8")
    mapping_path(path).write_text("not a mapping", encoding="utf-8")
    assert read_weather(path).hours == 8760


def test_a_strange_file_without_a_mapping_is_told_of_the_command(tmp_path: Path) -> None:
    path = write(tmp_path / "strange.csv", "Date,Temp (°C)", ["2021-01-01 00:00,4"])
    with pytest.raises(WeatherError, match="greenhouse-sim weather map"):
        read_weather(path)
