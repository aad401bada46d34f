"""The weather room: read a weather file, check it, cut its winters.

``read_weather`` reads EPW, TMY3, NSRDB PSM, a plain CSV, or any CSV by its mapping
into `Weather`; ``winters`` cuts heating seasons; ``find_weather`` finds a file by the
name in a scenario.
"""

from __future__ import annotations

from greenhouse_sim.weather.find import find_weather
from greenhouse_sim.weather.read import read_weather
from greenhouse_sim.weather.weather import Weather
from greenhouse_sim.weather.winter import winters

__all__ = ["Weather", "find_weather", "read_weather", "winters"]
