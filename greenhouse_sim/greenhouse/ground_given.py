"""A temperature of the deep ground that cannot be right for the weather of the site."""

from __future__ import annotations

from greenhouse_sim.errors import ScenarioError
from greenhouse_sim.greenhouse.table import soil
from greenhouse_sim.greenhouse.undisturbed import SWING_DAYS, Year
from greenhouse_sim.units import fahrenheit

FAHRENHEIT_FITS_K = 10.0
"""A figure that lies this close to the air when read as °F was meant so."""


def check_given(given_C: float, year: Year, hours: int, file: str | None = None) -> None:
    """Refuse deep ground far warmer than the year's outdoor air.

    Some metres down the ground has the mean temperature of the surface, which lies near that of
    the air; long snow keeps it some kelvin warmer. A record of less than a season does not show
    the year's mean, and nothing is refused on its word.

    Parameters
    ----------
    given_C
        What the scenario says, °C.
    year
        The yearly wave of the outdoor air.
    hours
        Length of the record that shows it, h.
    file
        The scenario's file, for the message.

    Raises
    ------
    ScenarioError
        It lies further over the air than any ground does.
    """
    air_C = year.mean_C
    over = given_C - air_C
    if hours < 24.0 * SWING_DAYS or over <= soil("warmest_over_air"):
        return
    as_fahrenheit = (given_C - 32.0) / 1.8
    meant = ""
    if abs(as_fahrenheit - air_C) <= FAHRENHEIT_FITS_K:
        meant = f' (was "{given_C:g} degF" meant?)'
    place = f"{file}: " if file else ""
    given, air = (f"{t:.1f} °C ({fahrenheit(t):.0f} °F)" for t in (given_C, air_C))
    raise ScenarioError(
        f"{place}[site] deep_ground: {given} is {over:.0f} K ({over * 1.8:.0f} °F) over the year's "
        f"mean outdoor air in the weather file, {air}{meant}; ground lies near the air's mean. "
        f'Write about "{fahrenheit(air_C):.0f} degF", or take the line out and it follows from the '
        "weather"
    )
