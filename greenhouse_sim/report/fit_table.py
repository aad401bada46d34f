"""A fit to a thermometer log in words, tables and JSON."""

from __future__ import annotations

import json
from pathlib import Path
from typing import TYPE_CHECKING, Any

from greenhouse_sim.heater.catalogue import choose
from greenhouse_sim.plans.fit import LITTLE_LEARNED
from greenhouse_sim.report.json_text import SCHEMA, plain
from greenhouse_sim.report.rows import write_rows
from greenhouse_sim.report.woodpile_table import grid
from greenhouse_sim.report.words import Units, whole
from greenhouse_sim.units import from_si

if TYPE_CHECKING:
    from rich.table import Table

    from greenhouse_sim.plans.fit import Estimate, Fit

NAMES = {
    "loss": "heat loss of covers and walls",
    "leak": "air that leaks",
    "capacity": "heat held by air, crop and benches",
    "soil": "heat that the soil passes",
    "sun": "sun that gets in",
    "efficiency": "the heater's efficiency",
    "sensor": "the logger's constant error",
    "soil_start": "the soil's temperature at first",
    "floor_heat": "what of the heat falls on the floor",
}
MOST_EFFICIENT = 0.99


def first_line(found: Fit, units: Units) -> str:
    """How far the simulated air is off, before and after."""
    before, after = (_difference(kelvin, units) for kelvin in found.rms_K)
    days = found.counted.sum() / 24.0
    return (
        f"Over {days:.0f} days of {found.model.log.name} the simulated air is {after} off, and was "
        f"{before} off by the tables (root mean square)"
    )


def _difference(kelvin: float, units: Units) -> str:
    return f"{kelvin * (1.8 if units.us else 1.0):.1f} {units.degree}"


def loss_line(found: Fit, units: Units) -> str:
    """The loss coefficient of the whole shell, before and after."""
    unit, factor = "W/K", 1.0
    if units.us:
        unit, factor = "Btu/h °F", from_si(1.0, "W/K", "Btu/hour/delta_degF")
    before, after = (whole(one * factor) for one in found.loss_W_K)
    return (
        f"Covers, walls and leaks lose {after} {unit} in the mean of these hours; the tables say "
        f"{before}."
    )


def estimate_table(found: Fit) -> Table:
    """Every factor with its interval, beside what was believed."""
    table = grid("What the log says, as factors on the tables' values")
    for name in ("", "factor", "95 % interval", "believed before", ""):
        table.add_column(name, justify="right" if name else "left")
    for one in found.estimates:
        table.add_row(
            NAMES[one.name], f"{one.value:.2f}", f"{one.low:.2f}-{one.high:.2f}",
            f"{one.prior_low:.2f}-{one.prior_high:.2f}",
            "the log says little" if one.left > LITTLE_LEARNED else "",
        )  # fmt: skip
    return table


def hour_table(found: Fit, units: Units) -> Table:
    """Measured less simulated air by hour of the day, before and after."""
    table = grid(f"Measured less simulated air by hour of the day, {units.degree}")
    table.add_column("hour")
    for hour in range(0, 24, 2):
        table.add_column(f"{hour:02d}", justify="right")
    scale = 1.8 if units.us else 1.0
    for name, air in (("tables", found.before_C), ("fitted", found.after_C)):
        values = found.by_hour(air) * scale
        table.add_row(name, *(_signed(values[hour]) for hour in range(0, 24, 2)))
    return table


def _signed(value: float) -> str:
    if value != value:
        return ""
    return "0.0" if abs(value) < 0.05 else f"{value:+.1f}"


def doubts(found: Fit) -> list[str]:
    """What could not be told apart, what was left out, and what was set right."""
    lines = [
        f"Not told apart: {NAMES[tie.first]} and {NAMES[tie.second]} "
        f"(correlation {tie.correlation:+.2f}); "
        + ("both may be higher, or both lower, together." if tie.correlation > 0.0 else
           "one may be higher and the other lower.")
        for tie in found.ties
    ]  # fmt: skip
    hours = len(found.counted)
    held = ", or a thermostat's heat began or ended in them" if found.held_h else ""
    lines.append(
        f"Of {hours} hours {hours - int(found.counted.sum())} were left out (no reading, near the "
        f"vent temperature{held}) and {found.doubted_h} more did not count for being far off: a "
        "door open, a hand on the sensor, heat that was not noted."
    )
    lines.append(
        "The intervals hold if the weather, the heat noted and the kind of model are right; the "
        f"residual remembers itself for {found.solved.remembers_h:.0f} h, and that is reckoned in."
    )
    lines += [f"{note[:1].upper()}{note[1:]}." for note in found.notes]
    return lines


def factors(found: Fit) -> dict[str, float]:
    """Factors for ``[greenhouse] fitted``."""
    return {one.name: one.value for one in found.estimates if one.name != "efficiency"}


def heater_fields(found: Fit) -> dict[str, float]:
    """The heater's efficiencies for ``[heater]``; empty where they were not fitted."""
    factor = next((one.value for one in found.estimates if one.name == "efficiency"), None)
    if factor is None:
        return {}
    own = found.model.scenario.heater
    choice = choose(own.kind, own.overrides)
    keys = ("efficiency_max", "efficiency_min")
    return {key: min(choice.number(key) * factor, MOST_EFFICIENT) for key in keys}


def fit_json(found: Fit) -> str:
    """The fit as JSON, SI, one line."""
    before, after = found.rms_K
    row: dict[str, Any] = {
        "log": found.model.log.name,
        "start": found.model.log.start.isoformat(),
        "hours": len(found.counted),
        "hours_counted": int(found.counted.sum()),
        "hours_doubted": found.doubted_h,
        "hours_held": found.held_h,
        "rms_before_K": before,
        "rms_after_K": after,
        "loss_before_W_K": found.loss_W_K[0],
        "loss_after_W_K": found.loss_W_K[1],
        "clock_ahead_h": found.clock_h,
        "remembers_h": found.solved.remembers_h,
        "estimates": [one._asdict() for one in found.estimates],
        "not_told_apart": [tie._asdict() for tie in found.ties],
        "by_hour_before_K": found.by_hour(found.before_C),
        "by_hour_after_K": found.by_hour(found.after_C),
        "heater": heater_fields(found),
        "notes": found.notes,
    }
    return json.dumps({"schema": SCHEMA, "fit": plain(row)}, allow_nan=False) + "\n"


def write_fit(found: Fit, out: Path) -> list[Path]:
    """Tables: the factors, and every hour."""
    times = found.model.weather.times()
    hours = [
        {
            "time": str(times[h])[:16],
            "measured_C": found.model.log.indoor_C[h],
            "simulated_before_C": found.before_C[h],
            "simulated_after_C": found.after_C[h],
            "counted": bool(found.counted[h]),
            "weight": found.solved.weight[h],
        }
        for h in range(len(times))
    ]
    return [
        write_rows(out / "fit.csv", [_row(one) for one in found.estimates]),
        write_rows(out / "fit_hours.csv", hours),
    ]


def _row(one: Estimate) -> dict[str, Any]:
    return one._asdict() | {"words": NAMES[one.name]}
