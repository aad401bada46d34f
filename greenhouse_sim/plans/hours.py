"""Hours of a winter's work in all, from its ledger: as `plans.labour`, without the days.

Days with fire are told from the hours with fire, so that a fire of a few hours a day counts for
less than a day; the sweepings may then be one less.
"""

from __future__ import annotations

from collections.abc import Mapping
from typing import TYPE_CHECKING, Any

from greenhouse_sim.heater.catalogue import burns
from greenhouse_sim.plans.labour import CUTTING, SWEPT, rates
from greenhouse_sim.units import SHORT_TON_KG

if TYPE_CHECKING:
    from greenhouse_sim.scenario import Scenario

CUT, TENDED, KEPT = "cutting to stacking", "at the heater", "chimney and repairs"
"""Kinds of work that are told apart."""


def hours(scenario: Scenario, ledger: Mapping[str, Any], own_share: float) -> dict[str, float]:
    """Hours by kind of work.

    Parameters
    ----------
    scenario
        For its own rates.
    ledger
        Of one season.
    own_share
        Share of the wood that is cut by the grower.
    """
    rate = rates(scenario)
    kind = burns(ledger["heater"])
    tended = float(ledger["labour_hours"])
    tended += float(ledger["night_wakeups"]) * rate["falling_asleep"] / 60.0
    cut = 0.0
    if kind == "wood":
        cords = float(ledger["cords"])
        cut = cords * (rate["stacking"] + own_share * sum(rate[task] for task in CUTTING))
        tended += cords * rate["carrying"]
    elif kind == "pellets":
        tended += float(ledger["fuel_kg"]) / SHORT_TON_KG * rate["carrying_pellets"]
    elif kind == "compost":
        tended += float(ledger["labour"]["building the pile"]) * rate["teardown"]
    kept = rate["repairs"]
    burnt_days = float(ledger["hours_with_fire"]) / 24.0
    if kind in SWEPT and burnt_days > 0.0:
        every = rate["chimney_every"]
        kept += rate["chimney"] * (1.0 + (burnt_days // every if every > 0.0 else 0.0))
    return {CUT: cut, TENDED: tended, KEPT: kept}
