"""A winter by weeks: what its heat cost, whether the crop froze, how much it grew."""

from __future__ import annotations

from typing import TYPE_CHECKING

import numpy as np

from greenhouse_sim.plans.cost_lines import BACKUP, CURRENT, FUEL, WORK, running
from greenhouse_sim.plans.hours import KEPT
from greenhouse_sim.plans.prices import counted

if TYPE_CHECKING:
    from greenhouse_sim.scenario import Scenario
    from greenhouse_sim.season.run import Season

Array = np.ndarray
WEEK_H = 168


def by_week(values: Array) -> Array:
    """Hours as whole weeks, shape (weeks, 168); what is left over at the end is dropped."""
    weeks = len(values) // WEEK_H
    return values[: weeks * WEEK_H].reshape(weeks, WEEK_H)


def frozen_weeks(scenario: Scenario, season: Season) -> Array:
    """Whether the crop freezes in a week."""
    cold = by_week(season.trace["crop_C"].to_numpy() < scenario.crop.damage_below)
    return np.asarray(cold.sum(axis=1) >= counted(scenario, "crop_lost_after"))


def growth(scenario: Scenario, season: Season) -> Array:
    """Mean growth of each week, K, as if nothing froze."""
    least, most = counted(scenario, "growth_from"), counted(scenario, "growth_to")
    warm = np.clip(season.trace["crop_C"].to_numpy() - least, 0.0, most - least)
    return np.asarray(by_week(warm).mean(axis=1))


def harvested(scenario: Scenario, grown: Array, frozen: Array) -> Array:
    """Growth that is sold: none in a week that froze, nor while the crop grows again."""
    left = grown.copy()
    again = round(counted(scenario, "crop_weeks"))
    for week in np.flatnonzero(frozen):
        left[week : week + again] = 0.0
    return left


def weekly_cost(farm: Scenario, season: Season) -> Array:
    """The winter's heat laid on its weeks by the heat that was given, dollars."""
    lines = running(farm, season.heater, [season.ledger])
    kinds = (FUEL, CURRENT, BACKUP, WORK)
    total = sum(line.amount or 0.0 for line in lines if line.kind in kinds and line.item != KEPT)
    heat = season.trace["fuel_kg"].to_numpy() + 0.0
    if heat.sum() <= 0.0:
        heat = season.trace["heater_W"].to_numpy() + season.trace["backup_W"].to_numpy()
    weekly = by_week(heat).sum(axis=1)
    share = weekly / weekly.sum() if weekly.sum() > 0.0 else weekly
    return np.asarray(total * share)
