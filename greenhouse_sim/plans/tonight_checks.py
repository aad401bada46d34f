"""Forecasts that are no use tonight: old, short, or in the wrong scale."""

from __future__ import annotations

from datetime import datetime, timedelta

from greenhouse_sim.errors import WeatherError
from greenhouse_sim.plans.forecast import place_in
from greenhouse_sim.plans.tonight_error import number
from greenhouse_sim.plans.tonight_forecast import Forecast
from greenhouse_sim.season.run import Winter

HOUR = timedelta(hours=1)


def check_forecast(found: Forecast, at: datetime) -> None:
    """Refuse a forecast that is old, that does not hold the present, or in the wrong scale.

    Raises
    ------
    WeatherError
        With what to write instead.
    """
    old_h = (at - found.issued) / HOUR
    if old_h > number("oldest"):
        raise WeatherError(
            f"forecast {found.name}: was issued {found.issued:%Y-%m-%d %H:%M}, "
            f"{old_h:.0f} h before {at:%Y-%m-%d %H:%M}; fetch a newer one, or write the hour it is "
            "for as --at"
        )
    if found.start > at or found.stop <= at:
        raise WeatherError(
            f"forecast {found.name}: covers {found.start:%Y-%m-%d %H:%M} to "
            f"{found.stop:%Y-%m-%d %H:%M}, not {at:%Y-%m-%d %H:%M}; name one that does (is it in "
            "local standard time?)"
        )


def check_scale(found: Forecast, winter: Winter, at: datetime) -> str:
    """A sentence where the temperatures fit the season badly; an error where Fahrenheit was
    surely read as Celsius.

    Numbers that are too cold may be Celsius read as Fahrenheit, but also the night for which this
    was written: they are asked about, not refused.

    Raises
    ------
    WeatherError
        Far warmer than what the winter has within some weeks, and fitting as Fahrenheit.
    """
    place = place_in(winter.weather, at)
    reach = 24 * 3 * int(number("window"))
    usual = winter.weather.t_out_C[max(0, place - reach) : place + reach]
    if not len(usual):
        return ""
    low, high = float(usual.min()) - number("strange"), float(usual.max()) + number("strange")
    air = found.columns["t_out_C"]
    span = f"{air.min():.0f} to {air.max():.0f} °C"
    around = f"{winter.weather.name} has {usual.min():.0f} to {usual.max():.0f} °C around this date"
    if air.max() > high and (air.max() - 32.0) / 1.8 <= high and (air.min() - 32.0) / 1.8 >= low:
        raise WeatherError(
            f'forecast {found.name}, column "{found.label}": {span} is not of this season '
            f"({around}), but the numbers fit as degF; write the heading t_air [degF]"
        )
    if low <= air.min() and air.max() <= high:
        return ""
    said = f"forecast {found.name}: {span} is far from what is usual ({around})"
    if air.min() < low and air.min() * 1.8 + 32.0 >= low and air.max() * 1.8 + 32.0 <= high:
        said += "; the numbers would fit as degC: is the heading right?"
    return said


def check_reaches(forecast: Forecast, morning: datetime) -> None:
    """Refuse a forecast that ends before the first look-in of the morning.

    Raises
    ------
    WeatherError
        With what to write instead.
    """
    if forecast.stop < morning:
        raise WeatherError(
            f"forecast {forecast.name}: ends {forecast.stop:%Y-%m-%d %H:%M}, before the first "
            f"look-in of the morning at {morning:%Y-%m-%d %H:%M}; name one that reaches it"
        )
