"""Whether winter heat pays: by setpoint, and week by week.

The heater runs at setpoints below and above the scenario's, at one that only keeps the crop from
damage (the *guard*), and not at all. What a week's heat costs is the winter's fuel, electricity,
back-up and own hours, spread over its weeks as the heater's and back-up's heat is.

What a week brings: the crop's value (dollars for a square foot of bed and week) is that of an
average week at the scenario's own setpoint, if nothing froze. Other weeks and setpoints bring
more or less as the plants' air lies above the temperature at which they grow at all,

    growth = mean over hours of min(max(T − T_from, 0), T_to − T_from),

the linear thermal-time model of crop growth (degree-days between two thresholds; from memory:
Monteith 1977, *Ecophysiology of Tropical Crops*, ch. 1). Light is left out: in the darkest weeks
a warm crop grows less than this says, so heat pays rather less then than shown. A week in which
the crop freezes brings nothing, nor do the weeks that it takes to grow again.
"""

from __future__ import annotations

from collections.abc import Sequence
from datetime import date, timedelta
from typing import TYPE_CHECKING, NamedTuple

import numpy as np

from greenhouse_sim.errors import ScenarioError
from greenhouse_sim.plans.cost_lines import beds_ft2, mean
from greenhouse_sim.plans.prices import price
from greenhouse_sim.plans.tried import Advance, Tried
from greenhouse_sim.plans.worth_weeks import frozen_weeks, growth, harvested, weekly_cost
from greenhouse_sim.weather import Weather

if TYPE_CHECKING:
    from greenhouse_sim.scenario import Scenario
    from greenhouse_sim.season.run import Season

Array = np.ndarray
STEP_K = 4.0 * 5.0 / 9.0
"""Setpoints are tried every 4 °F."""
BELOW, ABOVE = 3, 3
"""So many below and above the scenario's own."""
OVER_DAMAGE_K = 4.0 * 5.0 / 9.0
"""The guard holds this much over the damage temperature."""
OFF_C = -90.0
NOTHING = 1.0
"""Dollars a week that are not worth a word."""


class Held(NamedTuple):
    """One setpoint, a winter's mean each. Money in dollars a winter."""

    night_C: float | None
    """None without heat."""
    day_C: float | None
    cost: float
    """Of the heat."""
    cords: float
    fuel_kg: float
    wakeups: float
    lost: float
    """Share of winters in which the crop freezes."""
    weekly_cost: Array
    """Shape (weeks,)."""
    weekly_growth: Array
    """K, shape (weeks,); 0 where frozen or growing again."""
    unfrozen: float
    """Mean growth of a week as if nothing froze, K."""
    brings: float | None
    """What the crop is worth; None without a crop value."""
    weekly_brings: Array | None

    @property
    def margin(self) -> float | None:
        """What is left after the heat."""
        return None if self.brings is None else self.brings - self.cost


class Week(NamedTuple):
    """One week at the scenario's setpoint against only keeping the crop alive."""

    first: date
    last: date
    cost: float
    """More of heat than the guard, dollars."""
    brings: float | None
    """More of crop than the guard, dollars."""
    needed: float
    """Crop value, dollars a square foot and week, from which the week's heat pays."""

    @property
    def pays(self) -> bool | None:
        """Whether it pays; None without a crop value."""
        return None if self.brings is None else self.brings >= self.cost - NOTHING


class Worth(NamedTuple):
    """The whole answer."""

    heater: str
    winters: tuple[str, ...]
    beds_ft2: float
    crop_value: float | None
    off: Held
    guard: Held
    held: tuple[Held, ...]
    """Coldest setpoint first."""
    own: int
    """Place of the scenario's setpoint in `held`."""
    weeks: tuple[Week, ...]

    @property
    def break_even(self) -> float | None:
        """Crop value from which the scenario's heat pays against none; None where it never does.

        Dollars a square foot and week.
        """
        own = self.held[self.own]
        more = float(own.weekly_growth.sum() - self.off.weekly_growth.sum())
        return own.cost / (self.beds_ft2 * more / own.unfrozen) if more > 0.0 else None

    @property
    def best(self) -> Held | None:
        """The setpoint of the largest margin, no heat and the guard among them."""
        tried = [self.off, self.guard, *self.held]
        if self.crop_value is None:
            return None
        return max(tried, key=lambda one: one.margin or 0.0)


def setpoints(scenario: Scenario) -> list[tuple[float, float]]:
    """(night, day) of the setpoints tried, °C: over the damage and under the vent temperature."""
    crop = scenario.crop
    found = []
    for step in range(-BELOW, ABOVE + 1):
        night = crop.setpoint_night + step * STEP_K
        day = crop.setpoint_day + step * STEP_K
        if night > crop.damage_below + OVER_DAMAGE_K and day < crop.vent_at - STEP_K:
            found.append((night, day))
    own = (crop.setpoint_night, crop.setpoint_day)
    return found if own in found else sorted([*found, own])


def at(scenario: Scenario, night: float, day: float) -> Scenario:
    """The scenario at another setpoint; the get-up alarm moves with it, not under the damage.

    An alarm left where it was would ring all night over a low setpoint.
    """
    crop, alarm = scenario.crop, scenario.routine.gets_up_below
    if (night, day) == (crop.setpoint_night, crop.setpoint_day):
        return scenario
    changes: dict[str, object] = {"crop.setpoint": {"night": night, "day": day}}
    if alarm is not None:
        moved = max(alarm - (crop.setpoint_night - night), crop.damage_below)
        changes["routine.gets_up_below"] = min(moved, night)
    return scenario.with_(**changes)


def without_heat(scenario: Scenario) -> Scenario:
    """The greenhouse left to itself."""
    bare = scenario.with_(
        heater="electric heater", backup=None,
        **{"crop.setpoint": OFF_C, "crop.damage_below": OFF_C - 5.0},
    )  # fmt: skip
    return bare


def check_worth(scenario: Scenario) -> None:
    """Refuse what cannot be run at other setpoints.

    Raises
    ------
    ScenarioError
        A setpoint by clock hours, or a free shape without beds.
    """
    place = f"{scenario.path or 'scenario'}: "
    if scenario.crop.schedule:
        raise ScenarioError(
            f"{place}[crop] setpoint: a schedule by clock hours cannot be moved up and down; write "
            'one by day and night: setpoint = { day = "50 degF", night = "42 degF" }'
        )
    if beds_ft2(scenario) <= 0.0:
        raise ScenarioError(
            f"{place}[greenhouse] planted_share: no bed, no crop; write a share such as 0.7"
        )


def worth(
    scenario: Scenario,
    weather: Sequence[Weather],
    *,
    engine: str = "auto",
    advance: Advance | None = None,
) -> Worth:
    """Setpoints and weeks in which heat pays.

    Parameters
    ----------
    scenario
        With a setpoint by day and night, not a schedule.
    weather
        Its winters.
    engine, advance
        See `greenhouse_sim.plans.improve.improve`.
    """
    tried = Tried(scenario, weather, engine, advance)
    pairs = setpoints(scenario)
    own = pairs.index((scenario.crop.setpoint_night, scenario.crop.setpoint_day))
    alive = scenario.crop.damage_below + OVER_DAMAGE_K
    farms = [at(scenario, *pair) for pair in pairs]
    all_ = [*farms, at(scenario, alive, alive), without_heat(scenario)]
    told: list[tuple[float | None, float | None]] = [*pairs, (alive, alive), (None, None)]
    measured = [
        _held(scenario, farm, pair, tried.traced([farm])[0])
        for farm, pair in zip(all_, told, strict=True)
    ]
    value = price(scenario, "crop_value")
    beds = beds_ft2(scenario)
    reference = measured[own].unfrozen
    each = None if value is None else value.value * beds
    priced = [_with_value(one, each, reference) for one in measured]
    *held, guard, off = priced
    first = weather[0].start.date()
    return Worth(
        scenario.heater.kind,
        tuple(one.name for one in weather), beds, None if value is None else value.value, off,
        guard, tuple(held), own, _weeks(held[own], guard, first, beds, reference),
    )  # fmt: skip


def _held(
    scenario: Scenario, farm: Scenario, pair: tuple[float | None, float | None],
    seasons: Sequence[Season],
) -> Held:  # fmt: skip
    rows = [season.ledger for season in seasons]
    costs, growths, sold, lost = [], [], [], 0
    for season in seasons:
        frozen = frozen_weeks(scenario, season)
        lost += bool(frozen.any())
        costs.append(weekly_cost(farm, season) if pair[0] is not None else 0.0 * frozen)
        growths.append(growth(scenario, season))
        sold.append(harvested(scenario, growths[-1], frozen))
    weeks = min(len(one) for one in growths)
    each_week = np.mean([one[:weeks] for one in costs], axis=0)
    return Held(
        *pair, float(each_week.sum()), mean(rows, "cords"), mean(rows, "fuel_kg"),
        mean(rows, "night_wakeups"), lost / len(rows), each_week,
        np.mean([one[:weeks] for one in sold], axis=0),
        float(np.mean([one[:weeks] for one in growths])), None, None,
    )  # fmt: skip


def _with_value(one: Held, each: float | None, reference: float) -> Held:
    if each is None or reference <= 0.0:
        return one
    brings = one.weekly_growth / reference * each
    return one._replace(brings=float(brings.sum()), weekly_brings=brings)


def _weeks(own: Held, guard: Held, first: date, beds: float, reference: float) -> tuple[Week, ...]:
    found = []
    for week in range(len(own.weekly_cost)):
        start = first + timedelta(weeks=week)
        cost = float(own.weekly_cost[week] - guard.weekly_cost[week])
        more = float(own.weekly_growth[week] - guard.weekly_growth[week])
        brings = None
        if own.weekly_brings is not None and guard.weekly_brings is not None:
            brings = float(own.weekly_brings[week] - guard.weekly_brings[week])
        share = more / reference if reference > 0.0 else 0.0
        needed = cost / (beds * share) if share > 0.0 else (0.0 if cost <= 0.0 else float("inf"))
        found.append(Week(start, start + timedelta(days=6), cost, brings, max(needed, 0.0)))
    return tuple(found)
