"""A few lines around the numbers: which farm this is, and how to read what follows."""

from __future__ import annotations

from collections.abc import Sequence
from typing import TYPE_CHECKING

from greenhouse_sim.report.words import Units, counted
from greenhouse_sim.units import FT_M

if TYPE_CHECKING:
    from greenhouse_sim.scenario import Scenario


def farm_line(scenario: Scenario, winters: Sequence[str], units: Units) -> str:
    """The greenhouse, its setpoints and the winters, in a line."""
    green, crop, fuel = scenario.greenhouse, scenario.crop, scenario.fuel
    low, high = (units.temperature(t) for t in (crop.setpoint_night, crop.setpoint_day))
    wanted = f"{low} all day" if low == high else f"{low} by night, {high} by day"
    wet = "" if fuel.moisture is None else f" at {100.0 * fuel.moisture:.0f} % water"
    parts = [
        scenario.site.name,
        f"{green.shape} {_size(scenario, units)}".strip(),
        wanted,
        f"{fuel.species}{wet}" if wet else "",
        counted(len(winters), "winter"),
    ]
    return ", ".join(part for part in parts if part)


def _size(scenario: Scenario, units: Units) -> str:
    green = scenario.greenhouse
    sides = [side for side in (green.width, green.length) if side is not None]
    if green.shape == "surfaces" or not sides:
        return ""
    shown = [f"{side / FT_M:.0f}" if units.us else f"{side:.1f}" for side in sides]
    return " × ".join(shown) + (" ft" if units.us else " m")


def run_notes(units: Units) -> list[str]:
    """How to read the tables of one heater."""
    band = "0.9 °F" if units.us else "0.5 °C"
    return [
        f"Below setpoint: the hour's mean air is more than {band} under the setpoint in force. "
        "Air is well mixed here; real edges and beds run colder.",
        "Wood is counted as it goes into the fire; a cord is 128 ft³ stacked. Real weather, leaks "
        "and firewood will differ from these.",
    ]


def compare_notes(units: Units, damage_C: float) -> list[str]:
    """How to read the table of heaters."""
    return [
        f"HURT: the air fell under {units.temperature(damage_C)}, where this crop is damaged "
        '("HURT 0": not in the middle winter, but in another).',
        "Share of need: heat given over what the setpoint asks for. Times up: woken at night to "
        "tend the fire. A cord is 128 ft³ stacked; compost is told in dry matter decayed.",
        "Every heater is tried alone in the same house under the same routine, as many of each "
        "as the scenario's count.",
    ]
