"""A whole winter of a wood-heated greenhouse, hour by hour.

>>> import greenhouse_sim as gs
>>> scenario = gs.read_scenario(gs.demo_path())
>>> season = gs.simulate(scenario)
>>> season.ledger["cords"] > 0
True
"""

from __future__ import annotations

from importlib import import_module
from typing import Any

__version__ = "0.1.0"

_PLACES = {
    "BalanceError": "errors",
    "Comparison": "plans.compare",
    "GreenhouseError": "errors",
    "Scenario": "scenario",
    "ScenarioError": "errors",
    "Season": "season.run",
    "TableError": "errors",
    "Weather": "weather",
    "WeatherError": "errors",
    "compare": "plans.compare",
    "demo_path": "scenario",
    "read_scenario": "scenario",
    "read_weather": "weather",
    "scenario_from_dict": "scenario",
    "simulate": "season.run",
    "winters": "weather",
}

__all__ = [
    "BalanceError",
    "Comparison",
    "GreenhouseError",
    "Scenario",
    "ScenarioError",
    "Season",
    "TableError",
    "Weather",
    "WeatherError",
    "__version__",
    "compare",
    "demo_path",
    "read_scenario",
    "read_weather",
    "scenario_from_dict",
    "simulate",
    "winters",
]


def __getattr__(name: str) -> Any:
    """Load a public name when it is first used: the command line must start fast."""
    if name not in _PLACES:
        raise AttributeError(f"module {__name__!r} has no attribute {name!r}")
    return getattr(import_module(f"{__name__}.{_PLACES[name]}"), name)
