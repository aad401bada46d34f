"""The heater that starts by itself when the greenhouse is too cold."""

from __future__ import annotations

import functools

from greenhouse_sim.errors import ScenarioError
from greenhouse_sim.heater.burnt import default_fuel
from greenhouse_sim.heater.catalogue import Overrides, choose, heater_names, heater_table
from greenhouse_sim.heater.efficiency import gross_efficiency
from greenhouse_sim.heater.heater import MOST_KEPT, efficiency_notes
from greenhouse_sim.heater.numbers import Backup

SELF_FED = ("propane", "electricity")


def backup_names() -> tuple[str, ...]:
    """Heaters of the catalogue that run with nobody there."""
    return tuple(name for name in heater_names() if heater_table(name)["fuel"].value in SELF_FED)


def backup_numbers(
    kind: str | None = None,
    overrides: Overrides | None = None,
    starts_below: float = 0.0,
    where: str = "[backup]",
) -> Backup:
    """The kernel's numbers of a back-up heater, or of none.

    Parameters
    ----------
    kind
        "propane heater", "electric heater", or None for no back-up.
    overrides
        Key of the heater's table to a value in the unit of its row.
    starts_below
        Air temperature that it holds, °C.
    where
        The section to name in a message.

    Raises
    ------
    ScenarioError
        A heater that needs somebody to load it, or anything `heater_numbers` refuses.
    """
    if kind is None:
        return Backup(0.0, -1000.0, 1.0, 0.0, 0.0, 0.0)
    return _numbers(kind, tuple(sorted((overrides or {}).items())), float(starts_below), where)


@functools.lru_cache(maxsize=MOST_KEPT)
def _numbers(
    kind: str, own: tuple[tuple[str, float | str], ...], starts_below: float, where: str
) -> Backup:
    """Kept: every season asks for its back-up anew."""
    overrides = dict(own)
    choice = choose(kind, overrides, where)
    if choice.text("fuel") not in SELF_FED:
        raise ScenarioError(
            f"{where} kind: {choice.name} cannot run with nobody there; write "
            + " or ".join(f'"{name}"' for name in backup_names())
        )
    efficiency_notes(kind, overrides, where)
    fuel = default_fuel(kind, None)
    efficiency = gross_efficiency(
        choice.number("efficiency_max"), choice.text("efficiency_basis"), fuel, fuel
    )
    return Backup(
        max_w=choice.number("output_max", "W"),
        starts_below=starts_below,
        efficiency=efficiency,
        electric_w=choice.number("burn_electric", "W"),
        is_electric=1.0 if fuel.kind == "electricity" else 0.0,
        needs_power=choice.number("needs_power"),
    )
