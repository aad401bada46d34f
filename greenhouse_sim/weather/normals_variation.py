"""The section [variation] of a table of normals: how days and seasons differ from them."""

from __future__ import annotations

from collections.abc import Mapping
from pathlib import Path
from typing import Any

from greenhouse_sim.errors import WeatherError
from greenhouse_sim.weather.normals import Variation, number
from greenhouse_sim.weather.normals_daily import memory
from greenhouse_sim.weather.normals_keys import known_only
from greenhouse_sim.weather.normals_months import read_months

SHARES = {
    "season_share": (0.0, 0.9, "0.10"),
    "skew_winter": (-1.0, 1.0, "-0.3"),
    "skew_summer": (-1.0, 1.0, "0.0"),
    "clear_winter": (-0.95, 0.95, "-0.35"),
    "clear_summer": (-0.95, 0.95, "0.3"),
    "hour_noise_winter": (0.0, 0.6, "0.20"),
    "hour_noise_summer": (0.0, 0.6, "0.15"),
    "hour_lag_winter": (0.0, 1.0, "0.83"),
    "hour_lag_summer": (0.0, 1.0, "0.72"),
}
"""Plain numbers: least, most, what to write."""
SPREADS = ("daily_sd", "swing_sd")
"""Twelve months each."""
KEYS = (*SPREADS, "lags", *SHARES)
MOST_LAGS = 10


def read_variation(section: Mapping[str, Any], path: Path) -> Variation:
    """How days and seasons differ; what is not said stays None.

    Raises
    ------
    WeatherError
        An unknown key, or a value that cannot be.
    """
    where = f"{path}: [variation]"
    known_only(section, KEYS, where)
    plain = {key: _plain(section, key, where) for key in SHARES}
    sd, wide = (
        read_months(key, section[key], f"{where} {key}") if key in section else None
        for key in SPREADS
    )
    lags = _lags(section.get("lags"), where)
    share = plain["season_share"]
    _check_memory(lags, share, where)
    return Variation(daily_sd_K=sd, swing_sd_K=wide, lags=lags, **plain)


def _plain(section: Mapping[str, Any], key: str, where: str) -> float | None:
    value = section.get(key)
    low, high, example = SHARES[key]
    if value is None:
        return None
    if isinstance(value, bool) or not isinstance(value, int | float) or not low <= value <= high:
        raise WeatherError(
            f"{where} {key} {str(value)[:30]!r} is not a number from {low:g} to {high:g}; "
            f"write {key} = {example}"
        )
    return float(value)


def _lags(value: Any, where: str) -> tuple[float, ...] | None:
    if value is None:
        return None
    good = isinstance(value, list) and 1 <= len(value) <= MOST_LAGS
    if not good or not all(
        isinstance(v, int | float) and not isinstance(v, bool) and -1.0 < v < 1.0 for v in value
    ):
        raise WeatherError(
            f"{where} lags: write the correlations of one, two, three days apart, each between "
            "-1 and 1: lags = [0.70, 0.42, 0.29]"
        )
    return tuple(float(v) for v in value)


def _check_memory(lags: tuple[float, ...] | None, share: float | None, where: str) -> None:
    used = lags or tuple(number(f"lag_{k}") for k in (1, 2, 3))
    try:
        memory(used, number("season_share") if share is None else share, number("season_days"))
    except ValueError as problem:
        raise WeatherError(
            f"{where} lags and season_share: {problem} beside each other; write lags = "
            "[0.70, 0.42, 0.29] and a smaller season_share such as 0.10"
        ) from None
