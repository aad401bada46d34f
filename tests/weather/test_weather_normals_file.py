"""A table of monthly normals: units, and how it is refused."""

from __future__ import annotations

from pathlib import Path

import pytest

from greenhouse_sim.errors import WeatherError
from greenhouse_sim.weather.normals import Normals
from greenhouse_sim.weather.normals_file import read_normals
from greenhouse_sim.weather.normals_text import normals_toml
from greenhouse_sim.weather.normals_winters import made_weather
from greenhouse_sim.weather.plain import Place
from normals_at_hand import TAMARACK, changed, without

FILE = Path("normals.toml")


def read(text: str, place: Place = Place()) -> Normals:  # noqa: B008
    """The normals of a text."""
    return read_normals(text, FILE, place)


def test_every_row_comes_into_si() -> None:
    table = read(TAMARACK)
    assert table.mean_max_C[0] == pytest.approx((17 - 32) / 1.8)
    assert table.record_low_C is not None and table.record_low_C[0] == pytest.approx(
        -42.78, abs=0.01
    )
    assert table.sun_h is not None and table.sun_h[6] == pytest.approx(349 / 31)
    assert table.wind_m_s is not None and table.wind_m_s[0] == pytest.approx(12 * 0.44704)
    assert table.precipitation_mm is not None
    assert table.precipitation_mm[0] == pytest.approx(18.0)
    assert (table.count, table.seed, table.site) == (30, 1, "Tamarack Flats")


@pytest.mark.parametrize(
    ("unit", "factor"),
    [
        ("W/m^2", 1.0),
        ("kWh/m^2/day", 1000.0 / 24.0),
        ("MJ/m^2/day", 1e6 / 86400.0),
        ("kWh/m^2", 1000.0 / 24.0 / 31.0),
    ],
)
def test_radiation_a_day_or_a_month(unit: str, factor: float) -> None:
    row = f'radiation = {{ unit = "{unit}", months = [{", ".join(["2.5"] * 12)}] }}'
    found = read(TAMARACK + row).radiation_W
    assert found is not None and found[0] == pytest.approx(2.5 * factor)


def test_the_site_helps_out() -> None:
    text = without("latitude").replace('elevation = "270 m"\n', "")
    table = read(text, Place(45.0, -90.0, 312.0, -6.0))
    assert (table.latitude, table.longitude, table.elevation_m) == (45.0, -96.8, 312.0)


def test_what_is_written_is_read_again() -> None:
    text = TAMARACK + (
        "[variation]\n"
        'daily_sd = { unit = "degF", months = [14, 13, 11, 9, 8, 7, 6, 6, 8, 9, 10, 13] }\n'
        'swing_sd = { unit = "K", months = [4, 4, 5, 5, 4, 4, 3, 3, 4, 4, 4, 3] }\n'
        "hour_lag_winter = 0.81\n"
        "lags = [0.70, 0.42]\nseason_share = 0.12\nskew_winter = -0.2\n"
        "[winters]\ncount = 12\nseed = 3\n"
    )
    table = read(text)
    again = read(normals_toml(table, "a test"))
    assert again.count == 12 and again.seed == 3
    assert again.variation.lags == (0.70, 0.42)
    assert again.variation.swing_sd_K == table.variation.swing_sd_K
    assert again.variation.hour_lag_winter == 0.81
    assert again.variation.daily_sd_K == pytest.approx(table.variation.daily_sd_K, abs=0.01)
    assert table.variation.daily_sd_K is not None
    assert table.variation.daily_sd_K[0] == pytest.approx(14 / 1.8)
    assert again.mean_min_C == pytest.approx(table.mean_min_C, abs=0.01)
    assert again.sun_h == pytest.approx(table.sun_h, abs=0.01)
    assert again.precipitation_mm == pytest.approx(table.precipitation_mm, abs=0.5)


BAD = [
    (changed("[-1, 4", "[-1, 24"), ("mean_min of February", "not below mean_max", "swapped")),
    (changed("[17, 22, 35, 54", "[17, 22, 35"), ("mean_max", "11 months", "twelve numbers")),
    (changed("[141, ", "[341, "), ("sun_hours", "January", "hours of day", "whole month")),
    (changed("sun_hours", "sunhours"), ("'sunhours' is unknown", "did you mean sun_hours")),
    (without("latitude"), ("[place] latitude is missing", "latitude = 46.9")),
    (changed("latitude = 46.9", 'latitude = "46.9 N"'), ("latitude", "not a number")),
    (changed("latitude = 46.9", "latitude = 469"), ("latitude 469", "out of range")),
    (changed('elevation = "270 m"', "elevation = 270"), ("elevation", "unit", '"270 m"')),
    (without("mean_min"), ("mean_min is missing", "degF")),
    (changed('"degF", months = [17', '"furlong", months = [17'), ("mean_max", "furlong")),
    (changed('unit = "degF", months = [17', "months = [17"), ("mean_max", "needs a unit")),
    (changed("[17, 22", '["17", 22'), ("mean_max", "'17' in January", "not a number")),
    (changed("[17, 22", "[170, 22"), ("mean_max", "170 degF in January", "impossible")),
    (changed("[-45, ", "[5, "), ("record_low of January", "not below mean_min")),
    (changed('unit = "mph"', 'unit = "degF"'), ("wind", "12.0 degF", "mph")),
    (TAMARACK + "[winters]\ncount = 0\n", ("[winters] count", "1 to 150")),
    (TAMARACK + "[winters]\ncount = 30.5\n", ("[winters] count", "whole number")),
    (TAMARACK + "[variation]\nlags = [0.9, 0.1]\n", ("lags", "no process")),
    (TAMARACK + "[variation]\nseason_share = 1.5\n", ("season_share", "0 to 0.9")),
    (TAMARACK + "[variation]\nlags = 0.7\n", ("lags", "[0.70, 0.42, 0.29]")),
    (TAMARACK + "[greenhouse]\nwidth = 3\n", ("section 'greenhouse' is unknown",)),
    ("[place]\nlatitude = 46.9\n", ("no section [normals]",)),
    ("mean_max = [1, 2\n", ("not valid TOML",)),
    (TAMARACK
     + 'radiation = { unit = "kWh/m^2/day", months = [9, 2, 3, 4, 5, 6, 6, 5, 4, 3, 2, 1] }',
     ("radiation", "January", "above the air")),
]  # fmt: skip


@pytest.mark.parametrize(("text", "words"), BAD, ids=range(len(BAD)))
def test_bad_tables_get_one_message(text: str, words: tuple[str, ...]) -> None:
    with pytest.raises(WeatherError) as problem:
        made_weather(read(text))
    message = str(problem.value)
    assert message.startswith("normals.toml")
    assert "\n" not in message
    for word in words:
        assert word in message
