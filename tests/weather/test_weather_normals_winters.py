"""Winters made from normals: what must come back, and what must differ."""

from __future__ import annotations

from dataclasses import replace
from pathlib import Path

import numpy as np
import pytest
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from greenhouse_sim.errors import WeatherError
from greenhouse_sim.weather import Weather, read_weather, winters
from greenhouse_sim.weather.normals import Normals
from greenhouse_sim.weather.normals_csv import write_winters
from greenhouse_sim.weather.normals_curves import days_of
from greenhouse_sim.weather.normals_daily import mean_variance, memory
from greenhouse_sim.weather.normals_file import read_normals
from greenhouse_sim.weather.normals_summary import each_winter, months_of
from greenhouse_sim.weather.normals_winters import made_weather
from normals_at_hand import TAMARACK, changed

COUNT = 60


@pytest.fixture(scope="module")
def table() -> Normals:
    """The invented place."""
    return replace(read_normals(TAMARACK, Path("normals.toml")), count=COUNT)


@pytest.fixture(scope="module")
def made(table: Normals) -> Weather:
    """Sixty winters."""
    return made_weather(table)


def days_in(record: Weather, *months: int) -> np.ndarray:
    """Which days of a record lie in these months."""
    _, month = days_of(np.datetime64(record.start, "D"), record.hours // 24)
    return np.isin(month, months)


def test_the_months_come_back(table: Normals, made: Weather) -> None:
    """Means of sixty years lie within three standard errors of the normals.

    A month's mean has a spread of about 0.45 of the daily one (correlations of the table), so
    its standard error over sixty years is 0.06 of it. That of the mean daily range is 0.15 K,
    and of the pilot of forty years that settles it 0.19 K: 0.7 K are three of both.
    """
    months = months_of(made)
    for got, wanted in (
        (months.mean_max_C, table.mean_max_C),
        (months.mean_min_C, table.mean_min_C),
    ):
        assert (np.abs(got - wanted) < 0.1 + 3.0 * 0.06 * months.daily_sd_K).all()
    wide = months.mean_max_C - months.mean_min_C
    assert wide == pytest.approx(np.subtract(table.mean_max_C, table.mean_min_C), abs=0.7)


def test_the_sun_comes_back(made: Weather) -> None:
    """Ångström's formula by hand: 349 h of sun in July at 46.9° N.

    Sun above the air 11.5 kWh/m² a day (FAO Paper 56, annex 2, table 2.6: 41.2 MJ/m² at 46° N
    in July, from memory), day length 15.4 h: (0.25 + 0.5 · 11.26 / 15.4) · 41.2 / 3.6 = 7.05.
    """
    assert months_of(made).sun_kWh_m2[6] == pytest.approx(7.05, rel=0.04)


def test_the_wind_comes_back(table: Normals, made: Weather) -> None:
    assert table.wind_m_s is not None
    january = made.wind_m_s.reshape(-1, 24)[days_in(made, 1)].mean()
    assert january == pytest.approx(table.wind_m_s[0], rel=0.03)


def test_record_lows_stay_in_sight(table: Normals, made: Weather) -> None:
    """Sixty years go about as low as the sixty of a printed record."""
    assert table.record_low_C is not None
    off = months_of(made).lowest_C - np.array(table.record_low_C)
    assert abs(off.mean()) < 2.5
    assert np.abs(off).max() < 9.0


def test_it_is_weather(made: Weather) -> None:
    assert (made.t_dew_C <= made.t_out_C).all()
    assert made.synthetic
    assert made.start.month == 7
    dark = made.ghi_W.reshape(-1, 24)[:, :4]
    assert not dark[days_in(made, 12, 1)].any()
    steps = np.abs(np.diff(made.t_out_C))
    times = np.datetime_as_string(made.times()[1:], "h")
    midsummer = np.char.endswith(times, "07-01T00")
    # one made year ends there and the next, which knows nothing of it, begins
    # real winters have steps too: 14.5 K in the typical year of Denver, 11.1 K in Greensboro's
    assert steps[~midsummer].max() < 16.0
    assert 3.0 < np.percentile(steps, 99.9) < 7.0
    assert 0.0 < made.cloud.mean() < 1.0


def test_cold_spells_are_clear_and_wide(made: Weather) -> None:
    winter = days_in(made, 12, 1, 2)
    t_out = made.t_out_C.reshape(-1, 24)[winter]
    cold = t_out.mean(axis=1) < np.percentile(t_out.mean(axis=1), 20)
    sun = made.ghi_W.reshape(-1, 24).sum(axis=1)[winter]
    wide = np.ptp(t_out, axis=1)
    assert sun[cold].mean() > 1.1 * sun[~cold].mean()
    assert wide[cold].mean() > wide[~cold].mean()
    clear = sun > np.percentile(sun, 70)
    assert wide[clear].mean() > 1.1 * wide[~clear].mean()


def test_cold_spells_last(made: Weather) -> None:
    """Runs of days under the coldest fifth, against the same days shuffled."""
    winter = days_in(made, 12, 1, 2)
    day = made.t_out_C.reshape(-1, 24).mean(axis=1)[winter]
    shuffled = np.random.default_rng(1).permutation(day)
    limit = np.percentile(day, 20)
    lengths = [mean_run(values < limit) for values in (day, shuffled)]
    assert lengths[1] == pytest.approx(1.25, abs=0.05)
    assert 2.0 < lengths[0] < 4.0


def mean_run(cold: np.ndarray) -> float:
    """Mean length of the runs of True."""
    return float(cold.sum() / (np.diff(np.concatenate([[0], cold.astype(int)])) == 1).sum())


def test_seasons_differ_more_than_an_autoregression_of_days_makes_them(
    table: Normals, made: Weather
) -> None:
    """The spread of October to April means with the usual slow part, and without.

    A mean of 212 days has a standard deviation of 0.241 and 0.153 of the daily one (closed form);
    each spread of sixty winters has a standard error of 9 %.
    """
    lags, days = (0.675, 0.37, 0.26), 212
    expected = [mean_variance(memory(lags, f, 60.0), days) ** 0.5 for f in (0.1, 0.0)]
    assert expected == pytest.approx([0.241, 0.153], abs=0.001)
    plain = made_weather(replace(table, variation=replace(table.variation, season_share=0.0)))
    spread = [np.std([one.mean_C for one in each_winter(record)]) for record in (made, plain)]
    assert spread[0] / spread[1] == pytest.approx(expected[0] / expected[1], rel=0.30)


def test_the_tenth_winter_is_the_tenth_of_any_number(table: Normals, made: Weather) -> None:
    few = made_weather(replace(table, count=11))
    ten = slice(0, few.hours)
    for key in ("t_out_C", "t_dew_C", "wind_m_s", "ghi_W", "dni_W"):
        assert np.array_equal(getattr(few, key), getattr(made, key)[ten])
    other = made_weather(replace(table, count=2, seed=2))
    assert not np.array_equal(other.t_out_C[:24], few.t_out_C[:24])
    assert abs(np.corrcoef(*made.t_out_C[: 2 * 8760].reshape(2, -1) - 6.0)[0, 1]) < 0.95


def test_a_scenario_may_name_the_table(tmp_path: Path) -> None:
    path = tmp_path / "normals.toml"
    path.write_text(TAMARACK + "[winters]\ncount = 3\n", encoding="utf-8")
    record = read_weather(path)
    seasons = winters(record, (10, 1), (4, 30))
    assert [one.name for one in seasons] == ["2001-02", "2002-03", "2003-04"]
    assert [one.hours for one in seasons] == [5088, 5088, 5112]
    assert any("3 winters made" in note for note in record.notes)
    assert any("hours of sunshine" in note for note in record.notes)


def test_south_of_the_equator(table: Normals) -> None:
    turned = changed("latitude = 46.9", "latitude = -43.0").replace("record_low", "# record_low")
    for key in ("mean_max", "mean_min", "sun_hours", "wind", "precipitation"):
        turned = _half_a_year_on(turned, key)
    record = made_weather(replace(read_normals(turned, Path("south.toml")), count=4))
    assert record.start.month == 1
    assert len(each_winter(record)) == 4
    assert record.t_out_C.reshape(-1, 24)[days_in(record, 7)].mean() < -2.0


def _half_a_year_on(text: str, key: str) -> str:
    line = next(line for line in text.splitlines() if line.startswith(key))
    head, numbers = line.split("months = [")
    months = numbers.rstrip("] }").split(", ")
    return text.replace(line, f"{head}months = [{', '.join(months[6:] + months[:6])}] }}")


@pytest.mark.parametrize("latitude", [78.0, 2.0])
def test_polar_night_and_the_tropics(latitude: float) -> None:
    """No sun at all for months, or no winter: still weather."""
    text = "\n".join(
        line for line in TAMARACK.splitlines() if not line.startswith(("sun_hours", "record_low"))
    )
    text = text.replace("latitude = 46.9", f"latitude = {latitude}")
    record = made_weather(replace(read_normals(text, Path("far.toml")), count=2))
    sun = months_of(record).sun_kWh_m2
    assert np.isfinite(record.t_out_C).all()
    assert (sun[11] == 0.0) == (latitude > 70.0)
    assert sun[5] > 1.0


@settings(max_examples=25, deadline=None, suppress_health_check=[HealthCheck.too_slow])
@given(
    place=st.integers(0, len(TAMARACK) - 1),
    with_what=st.sampled_from(
        ["", "9", "-", '"', "[", "]", "=", "x", "\n", "0.", "e5", "nan", "#"]
    ),
    cut=st.integers(0, 4),
)
def test_a_slip_of_the_pen_is_told_or_harmless(place: int, with_what: str, cut: int) -> None:
    """Any slip gives one message or other normals, never another fault."""
    text = TAMARACK[:place] + with_what + TAMARACK[place + cut :]
    try:
        made_weather(replace(read_normals(text, Path("slip.toml")), count=1))
    except WeatherError as problem:
        assert str(problem).startswith("slip.toml")


def test_little_is_enough() -> None:
    """Two rows of temperature; everything else is taken from somewhere and said."""
    keys = ("record_low", "sun_hours", "wind", "precipitation")
    lines = [line for line in TAMARACK.splitlines() if not line.startswith(keys)]
    record = made_weather(replace(read_normals("\n".join(lines), Path("two.toml")), count=2))
    said = " ".join(record.notes)
    for word in ("daily range", "no wind", "dew point", "spread of daily temperatures"):
        assert word in said


def test_files_are_read_back(table: Normals, tmp_path: Path) -> None:
    record = made_weather(replace(table, count=3))
    paths = list(write_winters(record, tmp_path))
    assert [path.name for path in paths] == [
        "tamarack_flats_2001-02.csv", "tamarack_flats_2002-03.csv", "tamarack_flats_2003-04.csv",
    ]  # fmt: skip
    again = read_weather(paths[2])
    part = slice(2 * 8760, None)
    assert again.synthetic and again.hours == 8784
    assert again.t_out_C == pytest.approx(record.t_out_C[part], abs=0.006)
    assert again.ghi_W == pytest.approx(record.ghi_W[part], abs=0.51)
