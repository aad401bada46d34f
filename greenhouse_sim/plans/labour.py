"""Hours of work by task: of the heater through the winter, and of the wood before it.

The season's ledger knows the work at the heater (loading, lighting, night visits, watching,
ash, the air, building a pile). Its hours are laid on the days by what the trace says was done
on them. Cutting, carrying, sweeping, repairs, tearing down and lying awake come from the
rates of ``tables/labour.csv``, which the scenario's ``[labour]`` may change.
"""

from __future__ import annotations

from collections.abc import Mapping
from datetime import date
from typing import TYPE_CHECKING, NamedTuple

import numpy as np

from greenhouse_sim.heater.catalogue import heater_table
from greenhouse_sim.plans.pile import Span, by_day, days_of, months
from greenhouse_sim.tables.read import read_keyed
from greenhouse_sim.units import SHORT_TON_KG

if TYPE_CHECKING:
    from greenhouse_sim.scenario import Scenario
    from greenhouse_sim.season.run import Season

Array = np.ndarray
BEFORE, AFTER = "before", "after"
"""Work before the season starts and after it has ended."""
WEEK = 7
SWEPT = ("wood", "pellets")
"""Kinds of fuel whose flue needs sweeping."""
CUTTING = ("felling", "skidding", "bucking", "hauling", "splitting")
"""Work that bought wood spares; it still wants stacking."""
LEDGER = {
    "loading": "loading",
    "lighting": "lighting",
    "night visits": "night visits",
    "watching the fire": "watching the fire",
    "ash": "ash",
    "air control": "looking in",
}
"""Tasks of the season's ledger, and what they are called here."""


class Week(NamedTuple):
    """Seven days in a row."""

    first: date
    hours: float


class Work(NamedTuple):
    """One winter's work."""

    winter: str
    days: tuple[date, ...]
    months: tuple[Span, ...]
    daily: Mapping[str, Array]
    """Task to hours on each day of the season, shape (days,)."""
    around: Mapping[tuple[str, str], float]
    """(task, `BEFORE` or `AFTER`) to hours."""

    @property
    def tasks(self) -> tuple[str, ...]:
        """Tasks that took any time, those of the wood first."""
        around = {task for (task, _), hours in self.around.items() if hours > 0.0}
        daily = {task for task, hours in self.daily.items() if hours.sum() > 0.0}
        return tuple(task for task in ORDER if task in around | daily)

    def by_month(self, task: str) -> dict[str, float]:
        """Hours of a task before the season, in each of its months, and after it."""
        found = {BEFORE: self.around.get((task, BEFORE), 0.0)}
        hours = self.daily.get(task, np.zeros(len(self.days)))
        found |= {one.name: float(hours[one.start : one.stop].sum()) for one in self.months}
        return found | {AFTER: self.around.get((task, AFTER), 0.0)}

    def hours(self, task: str) -> float:
        """Hours of a task in all."""
        return sum(self.by_month(task).values())

    @property
    def total(self) -> float:
        """Hours of all tasks."""
        return sum(self.around.values()) + sum(float(one.sum()) for one in self.daily.values())

    @property
    def peak(self) -> Week:
        """The seven days of the season with the most work."""
        day = sum(self.daily.values(), np.zeros(len(self.days)))
        sums = np.convolve(day, np.ones(WEEK), mode="valid") if len(day) >= WEEK else day[:1] * 0
        first = int(np.argmax(sums))
        return Week(self.days[first], float(sums[first]))


ORDER = (
    *CUTTING, "stacking", "building the pile", "carrying", "loading", "hopper filling",
    "lighting", "night visits", "falling asleep again", "watching the fire", "ash", "looking in",
    "chimney", "repairs", "tearing down the pile",
)  # fmt: skip


def rates(scenario: Scenario) -> dict[str, float]:
    """Every rate in force, in the unit of its row of ``tables/labour.csv``."""
    own = scenario.labour.rates
    return {key: own.get(key, row.number) for key, row in read_keyed("labour").items()}


def work(scenario: Scenario, season: Season, own_share: float) -> Work:
    """The work of one winter.

    Parameters
    ----------
    scenario
        For its own rates.
    season
        Traced.
    own_share
        Share of the wood that is cut by the grower; the rest is bought split.
    """
    rate = rates(scenario)
    ledger = season.ledger
    kind = heater_table(season.heater)["fuel"].value
    days, daily = _at_the_heater(season, "hopper filling" if kind == "pellets" else "loading")
    loaded, woken, burnt = (
        by_day(season, season.column(name)) for name in ("loaded_kg", "woken", "fuel_kg")
    )
    fire = burnt > 0.0
    daily["falling asleep again"] = woken * rate["falling_asleep"] / 60.0
    around: dict[tuple[str, str], float] = {("repairs", BEFORE): rate["repairs"]}
    if kind == "wood":
        cords = loaded * (float(ledger["cords"]) / max(float(ledger["fuel_kg"]), 1e-9))
        total = float(cords.sum())
        around |= {(task, BEFORE): rate[task] * total * own_share for task in CUTTING}
        around["stacking", BEFORE] = rate["stacking"] * total
        daily["carrying"] = cords * rate["carrying"]
    elif kind == "pellets":
        daily["carrying"] = loaded / SHORT_TON_KG * rate["carrying_pellets"]
    elif kind == "compost":
        built = float(ledger["labour"]["building the pile"])
        around["building the pile", BEFORE] = built
        around["tearing down the pile", AFTER] = built * rate["teardown"]
    if kind in SWEPT and fire.any():
        around["chimney", BEFORE] = rate["chimney"]
        daily["chimney"] = rate["chimney"] * _sweepings(fire, rate["chimney_every"])
    return Work(season.winter, days, months(days), daily, around)


def _sweepings(fire: Array, every: float) -> Array:
    """1 on each day on which the days with fire have come to another ``every``."""
    if every <= 0.0:
        return np.zeros(len(fire))
    return np.diff(np.floor(np.cumsum(fire) / every), prepend=0.0)


def _at_the_heater(season: Season, loading: str) -> tuple[tuple[date, ...], dict[str, Array]]:
    """The ledger's own tasks, laid on the days on which they were done."""
    loaded, burnt = season.column("loaded_kg"), season.column("fuel_kg")
    load = (loaded > 0.0).astype(float)
    before = np.concatenate([[0.0], burnt[:-1]])
    marks = {
        "loading": load,
        "lighting": load * (before <= 0.0),
        "night visits": season.column("woken"),
        "watching the fire": (burnt > 0.0).astype(float),
        "ash": loaded,
        "air control": season.column("visit") * (1.0 - load),
    }
    days = days_of(season)
    daily = {}
    for task, name in LEDGER.items():
        hours = float(season.ledger["labour"][task])
        mark = by_day(season, marks[task])
        if hours > 0.0 and mark.sum() <= 0.0:
            mark = np.ones(len(days))
        laid = mark * (hours / max(float(mark.sum()), 1e-12)) if hours > 0.0 else 0.0 * mark
        daily[loading if name == "loading" else name] = laid
    return days, daily
