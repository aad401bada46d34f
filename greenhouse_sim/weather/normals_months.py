"""Twelve monthly values with their unit, into SI."""

from __future__ import annotations

from typing import Any, NamedTuple

from greenhouse_sim.errors import WeatherError
from greenhouse_sim.weather.columns import SHARES
from greenhouse_sim.weather.normals_curves import MONTH_DAYS, MONTHS

Months = tuple[float, ...]


class Kind(NamedTuple):
    """What a row may hold: its SI unit, bounds in it, the unit to show."""

    unit: str
    low: float
    high: float
    shown: str
    words: str


KINDS = {
    "mean_max": Kind("degC", -75.0, 55.0, "degF", "monthly mean of daily maxima"),
    "mean_min": Kind("degC", -80.0, 45.0, "degF", "monthly mean of daily minima"),
    "record_low": Kind("degC", -95.0, 35.0, "degF", "a record low"),
    "dew_point": Kind("degC", -85.0, 32.0, "degF", "mean dew point"),
    "radiation": Kind("W/m^2", 0.0, 500.0, "kWh/m^2/day", "mean global radiation"),
    "sun_hours": Kind("h", 0.0, 24.0, "hours", "hours of sunshine a day"),
    "cloud": Kind("share", 0.0, 1.0, "%", "mean cloud"),
    "wind": Kind("m/s", 0.0, 25.0, "mph", "mean wind"),
    "precipitation": Kind("m", 0.0, 3.0, "in", "precipitation of a month"),
    "daily_sd": Kind("K", 0.3, 20.0, "degF", "standard deviation of daily means"),
    "swing_sd": Kind("K", 0.1, 15.0, "degF", "standard deviation of the day's own course"),
}
WHOLE_MONTH = ("h", "hr", "hour", "hours")
"""Units of sun hours that mean the sum of the month."""
LARGEST = 1.0e9
"""No printed number is larger; a not-a-number fails the test too."""
A_DAY = ("h/day", "hr/day", "hour/day", "hours/day")


def read_months(key: str, value: Any, where: str) -> Months:
    """Twelve values in SI (`KINDS`); precipitation in mm, sun hours a day.

    Raises
    ------
    WeatherError
        No unit, not twelve numbers, an impossible number: with the month.
    """
    unit, numbers = _parts(key, value, where)
    kind = KINDS[key]
    values = _to_si(key, kind, unit, numbers, where)
    for name, number, given in zip(MONTHS, values, numbers, strict=True):
        if not kind.low <= number <= kind.high:
            raise WeatherError(
                f"{where}: {given:g} {unit} in {name} is impossible for {kind.words}; "
                "check the number and the unit"
            )
    return tuple(1000.0 * v if key == "precipitation" else v for v in values)


def _parts(key: str, value: Any, where: str) -> tuple[str, list[float]]:
    example = f'{key} = {{ unit = "{KINDS[key].shown}", months = [ twelve numbers ] }}'
    if not isinstance(value, dict) or set(value) != {"unit", "months"}:
        raise WeatherError(f"{where}: needs a unit and twelve months; write {example}")
    unit, months = value["unit"], value["months"]
    if not isinstance(unit, str) or not unit.strip():
        raise WeatherError(f"{where}: the unit is missing; write {example}")
    if not isinstance(months, list) or len(months) != 12:
        many = f"has {len(months)} months" if isinstance(months, list) else "is no list of months"
        raise WeatherError(
            f"{where}: {many}; write twelve numbers, January to December, none left out"
        )
    for name, number in zip(MONTHS, months, strict=True):
        good = isinstance(number, int | float) and not isinstance(number, bool)
        if not good or not -LARGEST < number < LARGEST:
            raise WeatherError(
                f"{where}: {str(number)[:30]!r} in {name} is not a number; write one such as 17.5 "
                "(the unit stands once, before the months)"
            )
    return unit.strip(), [float(number) for number in months]


def _to_si(key: str, kind: Kind, unit: str, numbers: list[float], where: str) -> list[float]:
    if kind.unit == "share":
        if unit not in SHARES:
            raise WeatherError(f"{where}: the unit {unit[:30]!r} is none of {', '.join(SHARES)}")
        return [number * SHARES[unit] for number in numbers]
    if key == "sun_hours":
        if unit in A_DAY:
            return numbers
        if unit in WHOLE_MONTH:
            return [n / d for n, d in zip(numbers, MONTH_DAYS, strict=True)]
        raise WeatherError(
            f"{where}: the unit {unit[:30]!r} is none of hours (of the whole month), hours/day"
        )
    if key == "radiation":
        return _radiation(unit, numbers, where)
    return [_one(n, unit, kind.unit, where, kind.shown) for n in numbers]


def _radiation(unit: str, numbers: list[float], where: str) -> list[float]:
    """W/m² from a mean power, or from the energy of the whole month."""
    try:
        return [_one(n, unit, "W/m^2", where, "kWh/m^2/day") for n in numbers]
    except WeatherError:
        seconds = [86400.0 * days for days in MONTH_DAYS]
        try:
            energy = [_one(n, unit, "J/m^2", where, "") for n in numbers]
        except WeatherError:
            raise WeatherError(
                f"{where}: the unit {unit[:30]!r} is no radiation; write kWh/m^2/day, "
                "MJ/m^2/day, W/m^2, or kWh/m^2 (of the whole month)"
            ) from None
        return [e / s for e, s in zip(energy, seconds, strict=True)]


def _one(number: float, unit: str, si: str, where: str, shown: str) -> float:
    from greenhouse_sim.units import read_quantity

    try:
        return read_quantity(f"{number!r} {unit}", si, f"17.5 {shown}")
    except ValueError as problem:
        raise WeatherError(f"{where}: {problem}") from None
