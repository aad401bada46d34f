"""Faults of the season in a table and in words."""

from __future__ import annotations

import math
from datetime import timedelta
from typing import TYPE_CHECKING

from greenhouse_sim.plans.faults import Faults, Faulty, Found, backup_kWh
from greenhouse_sim.plans.quantiles import few_winters
from greenhouse_sim.report.fuel_words import backup_text
from greenhouse_sim.report.spread import Spread, spread
from greenhouse_sim.report.woodpile_table import grid
from greenhouse_sim.report.words import Units, counted, day, few, whole, winter_words

if TYPE_CHECKING:
    from collections.abc import Iterable

    import numpy as np
    from rich.table import Table

    from greenhouse_sim.scenario import Scenario

    Array = np.ndarray


def fault_words(name: str, faults: Faults) -> str:
    """A fault with its size: "power cuts, 1.4 a year of 4 h"."""
    sizes = {
        "power cuts": f"{few(faults.cuts_year)} a year of {few(faults.cut_h)} h",
        "missed rounds": f"{100.0 * faults.missed:.3g} % of them",
        "wet wood": f"{100.0 * faults.wet:.0f} % water",
        "blocked chimney": f"coldest {_days(faults.blocked_days)}",
    }
    return f"{name}, {sizes[name]}" if name in sizes else name


def _days(days: int) -> str:
    return "day" if days == 1 else f"{days} days"


def over(values: Iterable[float]) -> Spread:
    """A quantity over all seasons."""
    return spread([float(value) for value in values])


def faults_table(found: Found, units: Units, damage_C: float, backup: str | None) -> Table:
    """The plain season, then what each fault adds to it."""
    many = len(found.winters)
    of = f"the middle of {counted(many, 'winter')}"
    drawn = f", each drawn {found.turns} times" if found.turns > 1 else ""
    table = grid(
        f"The plain season ({of}), and what each fault adds on average{drawn} (10 to 90 %)"
    )
    table.add_column("", max_width=26)
    heads = [
        "hours below setpoint", f"hours under {units.temperature(damage_C)}", "times up",
        f"coldest air, {units.degree}", *(["back-up"] if backup else []),
    ]  # fmt: skip
    for head in heads:
        table.add_column(head, justify="right", max_width=20)
    for one in found.seasons:
        plain = one is found.seasons[0]
        cells = [
            *(
                _plain(getattr(one, key)) if plain else _added(found.more(one, key))
                for key in ("cold_h", "damage_h", "wakeups")
            ),
            f"{round(units.degrees(over(one.lowest_C).median)) + 0:d}",
        ]
        if backup:
            used = over(backup_kWh(found, one)).median
            words = backup_text({"backup_fuel_kWh": used}, backup, units) or "none"
            cells.append(words.partition(" of ")[0])
        table.add_row(fault_words(one.name, found.faults), *cells)
    return table


def _plain(values: Array) -> str:
    told = over(values)
    span = told.range(whole)
    return f"{told.middle(whole)} ({span})" if span else told.middle(whole)


def _added(values: Array) -> str:
    """Mean with 10 to 90 %: of what is rare the middle season has nothing."""
    told = over(values)
    low, high = signed(told.low), signed(told.high)
    middle = signed(float(values.mean()))
    return middle if told.winters < 2 or low == high == middle else f"{middle} ({low} to {high})"


def signed(value: float) -> str:
    """A difference: "+12", "0", "-3"."""
    text = whole(value)
    return f"+{text}" if value > 0.0 and text != "0" else text.replace("-0", "0")


def first_line(heater: str, found: Found) -> str:
    """All faults together in a sentence."""
    plain, every = found.seasons[0], found.seasons[-1]
    cold = counted(over(plain.cold_h).median, "hour")
    return (
        f"{heater}: {cold} below setpoint if all goes well; all faults together add on average "
        f"{signed(float(found.more(every, 'cold_h').mean()))} h, and "
        f"{signed(float(found.more(every, 'damage_h').mean()))} h of crop damage"
    )


def tank_lines(found: Found) -> list[str]:
    """When the back-up's tank runs empty, of each kind of season."""
    if not math.isfinite(found.tank_J):
        return []
    lines = []
    for one in (found.seasons[0], found.seasons[-1]):
        empty = [(n, hour) for n, hour in enumerate(one.tank_lasts) if hour is not None]
        name = "In the plain season" if one is found.seasons[0] else "With all faults together"
        if not empty:
            lines.append(f"{name} the tank lasts to the end in every winter.")
            continue
        n, hour = min(empty, key=lambda pair: pair[1])
        start = found.starts[n % len(found.winters)]
        when = start + timedelta(hours=hour)
        which = winter_words(found.winters[n % len(found.winters)])
        lines.append(
            f"{name} the tank runs empty in {len(empty)} of {len(one.tank_lasts)} seasons, at the "
            f"earliest on {day(when)} ({which}); nobody fills it again."
        )
    return lines


def notes(found: Found, scenario: Scenario) -> list[str]:
    """How to read the table."""
    said = [
        "Cuts come at random over the season, each of one length; a round is a morning (5 to 12) "
        "or the rest of the day with its night. Nobody knows of them before. The draws are the "
        f"same again with --seed {found.faults.seed}.",
        "Blocked chimney: on the coldest days there is no fire; the one that burns is put out, its "
        "wood lost.",
    ]
    if scenario.backup is None:
        said.append("There is no back-up in this scenario: [backup] would show what it saves.")
    too_few = few_winters(len(found.winters))
    return [*([too_few] if too_few else []), *said]


def season_rows(found: Found) -> list[dict[str, object]]:
    """A row a fault and season, SI."""
    rows: list[dict[str, object]] = []
    for one in found.seasons:
        rows += [_row(found, one, number) for number in range(len(one.cold_h))]
    return rows


def _row(found: Found, one: Faulty, number: int) -> dict[str, object]:
    return {
        "fault": one.name,
        "winter": found.winters[number % len(found.winters)],
        "drawing": number // len(found.winters) + 1,
        "hours_below_setpoint": float(one.cold_h[number]),
        "more_hours_below_setpoint": float(found.more(one, "cold_h")[number]),
        "hours_below_damage": float(one.damage_h[number]),
        "more_hours_below_damage": float(found.more(one, "damage_h")[number]),
        "night_wakeups": float(one.wakeups[number]),
        "lowest_air_C": float(one.lowest_C[number]),
        "backup_fuel_kWh": float(backup_kWh(found, one)[number]),
        "tank_empty_at_hour": one.tank_lasts[number],
    }
