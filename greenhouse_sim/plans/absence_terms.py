"""What an absence is judged by: alarms, a helper's hour, the back-up and its tank."""

from __future__ import annotations

from typing import TYPE_CHECKING, NamedTuple

import numpy as np

from greenhouse_sim.errors import ScenarioError
from greenhouse_sim.heater.backup import backup_numbers
from greenhouse_sim.heater.burnt import default_fuel
from greenhouse_sim.heater.numbers import Backup
from greenhouse_sim.tables.read import read_keyed
from greenhouse_sim.units import fahrenheit, quoted, to_si

if TYPE_CHECKING:
    from greenhouse_sim.scenario import Scenario


class Terms(NamedTuple):
    """What the absence is judged by."""

    helper_hour: float
    """Time of day of a helper's visit, h after midnight."""
    alarms: tuple[float, ...]
    """Air temperatures of low alarms, °C, warmest first."""
    alarm: int
    """Which of them is the grower's own."""
    high: float
    """Air temperature of the high alarm, °C."""
    tank_j: float
    """Fuel of the back-up at departure, J; inf where the tank is not thought of."""


def number(key: str) -> float:
    """A number of the table of absences, SI."""
    row = read_keyed("away")[key]
    unit = {"degF": "degC", "1": "1"}.get(row.unit, row.unit)
    return row.number if unit == row.unit else to_si(f"{row.value} {row.unit}", unit, key, "")


def terms(
    scenario: Scenario,
    *,
    helper_hour: float | None = None,
    alarm: float | None = None,
    high: float | None = None,
    tank_j: float = np.inf,
) -> Terms:
    """What the absence is judged by; what is not given comes from the table of absences.

    The low alarm is by default the grower's own for the night, or some kelvins over the crop's
    damage temperature; one alarm between it and damage and one between it and the lowest setpoint
    are told beside it.

    Raises
    ------
    ScenarioError
        A low alarm that is not between damage and setpoint, or a high one under the vents' opening.
    """
    crop = scenario.crop
    night, damage = crop.setpoint.lowest, crop.damage_below
    own = alarm if alarm is not None else scenario.routine.gets_up_below
    if alarm is not None and not damage < alarm < night:
        raise ScenarioError(
            f"--alarm: {both_scales(alarm)} does not lie between the crop's damage temperature "
            f"({both_scales(damage)}) and the night setpoint ({both_scales(night)}); "
            "write one between them"
        )
    if own is None or not damage < own < night:
        own = min(damage + number("alarm_over_damage"), 0.5 * (damage + night))
    hot = number("high_alarm") if high is None else high
    if hot <= crop.setpoint.highest:
        raise ScenarioError(
            f"--high-alarm: {both_scales(hot)} is not over the setpoint "
            f'({both_scales(crop.setpoint.highest)}); write a higher one, such as "95 degF"'
        )
    around = (0.5 * (own + night), own, 0.5 * (own + damage))
    hour = number("helper_hour") if helper_hour is None else helper_hour
    return Terms(hour, around, 1, hot, tank_j)


def both_scales(celsius: float) -> str:
    """A temperature of a refusal, in °F and °C: the file may have it in either."""
    return f"{fahrenheit(celsius):.0f} °F, {celsius:.1f} °C"


def check_heater(scenario: Scenario) -> None:
    """Refuse the heater that gives whatever is needed.

    Raises
    ------
    ScenarioError
        With what to write instead.
    """
    if scenario.heater.kind == "ideal":
        raise ScenarioError(
            f"{scenario.path or 'scenario'}: [heater] kind: ideal gives as much heat as is needed "
            'with nobody there; write a heater of the catalogue, such as "wood stove, large"'
        )


def chosen_backup(scenario: Scenario) -> tuple[str, Backup, float]:
    """Name, numbers and starting temperature (°C) of the back-up to try: the scenario's own, or
    a propane heater at the usual temperature."""
    own = scenario.backup
    if own is not None:
        numbers = backup_numbers(own.kind, own.overrides, own.starts_below)
        return own.kind, numbers, own.starts_below
    row = read_keyed("defaults")["backup.starts_below"]
    below = to_si(f"{row.value} {row.unit}", "degC", row.key, "")
    below = min(below, scenario.crop.setpoint.lowest)
    return "propane heater", backup_numbers("propane heater", None, below), below


def tank_j(scenario: Scenario, text: str) -> float:
    """Heat in a tank of propane, J, written as a volume of liquid or as a weight.

    Raises
    ------
    ScenarioError
        No amount, or a back-up that has no tank.
    """
    name, _, _ = chosen_backup(scenario)
    fuel = default_fuel(name, None)
    if fuel.kind != "propane" or fuel.bulk_kg_m3 is None:
        raise ScenarioError(f"--tank: {name} has no tank; leave --tank out")
    example = "100 gal"
    try:
        kg = to_si(text, "m^3", "--tank", example) * fuel.bulk_kg_m3
    except ScenarioError as problem:
        try:
            kg = to_si(text, "kg", "--tank", example)
        except ScenarioError:
            raise problem from None
    if kg < 0.0:
        raise ScenarioError(f'--tank: {quoted(text)} is below 0; write one such as "{example}"')
    return kg * fuel.gross_J_kg
