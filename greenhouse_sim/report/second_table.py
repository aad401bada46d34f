"""Two heaters in a table, in words and as JSON."""

from __future__ import annotations

import json
from pathlib import Path
from typing import TYPE_CHECKING, Any

from greenhouse_sim.heater.burnt import default_fuel
from greenhouse_sim.plans.quantiles import few_winters
from greenhouse_sim.plans.second import House, Side, Two
from greenhouse_sim.report.fuel_words import pellets_text, propane_text
from greenhouse_sim.report.json_text import SCHEMA, plain
from greenhouse_sim.report.rows import write_rows
from greenhouse_sim.report.spread import spread
from greenhouse_sim.report.woodpile_table import grid
from greenhouse_sim.report.words import Units, counted, few, whole
from greenhouse_sim.season.run import scenario_fuel
from greenhouse_sim.units import CORD_M3, KWH_J

if TYPE_CHECKING:
    from rich.table import Table

    from greenhouse_sim.scenario import Scenario


def _houses(found: Two) -> tuple[tuple[str, House], ...]:
    return (("first alone", found.first), ("second alone", found.second), ("both", found.both))


def _middle(values: Any) -> float:
    return spread([float(value) for value in values]).median


def fuel_of(side: Side, scenario: Scenario, units: Units) -> str:
    """What one heater burns in the middle winter."""
    fuel = default_fuel(side.heater, scenario_fuel(scenario))
    kg, kWh = _middle(side.fuel_kg), _middle(side.heat_J) / KWH_J
    if fuel.kind == "wood" and fuel.cord_kg:
        cords = kg / fuel.cord_kg
        return f"{few(cords)} cords" if units.us else f"{few(cords * CORD_M3)} m³ stacked"
    if fuel.kind == "pellets":
        return pellets_text(kg, units).partition(" (")[0]
    if fuel.kind == "propane":
        return propane_text(kg, units)
    return f"{units.heat_text(kWh)} of heat"


def second_table(found: Two, scenario: Scenario, units: Units) -> Table:
    """Each heater alone, and both."""
    winters = len(found.winters)
    of = f"the middle of {winters} winters" if winters > 1 else f"winter {found.winters[0]}"
    table = grid(f"Each alone, and both, {of}")
    table.add_column("")
    table.add_column("burnt", max_width=34)
    damage = units.temperature(scenario.crop.damage_below)
    for head in (
        "hours below setpoint", f"hours under {damage}", f"coldest air, {units.degree}", "times up"
    ):  # fmt: skip
        table.add_column(head, justify="right", max_width=12)
    for name, house in _houses(found):
        burnt = [f"{side.heater}: {fuel_of(side, scenario, units)}" for side in house.sides]
        up = "up to " if len(house.sides) > 1 and _middle(house.wakeups) >= 0.5 else ""
        table.add_row(
            name, "\n".join(burnt), whole(_middle(house.cold_h)), whole(_middle(house.damage_h)),
            f"{round(units.degrees(_middle(house.lowest_C))) + 0:d}",
            f"{up}{whole(_middle(house.wakeups))}",
        )  # fmt: skip
    return table


def first_line(found: Two, units: Units) -> str:
    """What the second heater changes."""
    own, other = (side.heater for side in found.both.sides)
    cold = counted(_middle(found.both.cold_h), "hour")
    return (
        f"{own}, with {other} from {units.temperature(found.below_C)}: {cold} below setpoint, "
        f"{whole(_middle(found.first.cold_h))} without it"
    )


def notes(found: Two, units: Units) -> list[str]:
    """How far to trust the answer."""
    apart = float(found.apart_K.max()) * (1.8 if units.us else 1.0)
    said = [
        f"The two are run in turn, each in the heat of the other, {found.turns} times; the airs "
        f"that they saw at last differ by {apart:.1f} {units.degree} (root mean square, the worst "
        "winter). Cold hours are those of the first heater's air.",
        "Each fire is tended by its own rules; one walk may serve two fires, so times up are at "
        "most so many. The second is asked for what the first leaves under its temperature.",
    ]
    too_few = few_winters(len(found.winters))
    return [*([too_few] if too_few else []), *said]


def season_rows(found: Two) -> list[dict[str, Any]]:
    """A row a way of heating and winter, SI."""
    rows = []
    for name, house in _houses(found):
        for number, winter in enumerate(found.winters):
            row: dict[str, Any] = {
                "heating": name,
                "winter": winter,
                "hours_below_setpoint": float(house.cold_h[number]),
                "hours_below_damage": float(house.damage_h[number]),
                "lowest_air_C": float(house.lowest_C[number]),
                "night_wakeups_at_most": float(house.wakeups[number]),
            }
            for place, side in enumerate(house.sides, start=1):
                row[f"heater_{place}"] = side.heater
                row[f"fuel_{place}_kg"] = float(side.fuel_kg[number])
                row[f"heat_{place}_kWh"] = float(side.heat_J[number]) / KWH_J
                row[f"loads_{place}"] = float(side.loads[number])
            rows.append(row)
    return rows


def second_json(found: Two) -> str:
    """``{"schema": 1, "second": {...}}``, one line, with a line end."""
    answer = {
        "first": found.both.sides[0].heater,
        "second": found.both.sides[1].heater,
        "below_C": found.below_C,
        "winters": found.winters,
        "turns": found.turns,
        "airs_apart_K": found.apart_K,
        "seasons": season_rows(found),
    }
    return json.dumps(plain({"schema": SCHEMA, "second": answer}), ensure_ascii=False) + "\n"


def write_second(found: Two, out: Path) -> Path:
    """Write ``second.csv``."""
    return write_rows(out / "second.csv", season_rows(found))
