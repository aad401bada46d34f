"""The ledgers of many seasons at once, in columns.

A study asks for so many that a mapping of each would take as long as what comes before it.
"""

from __future__ import annotations

from collections.abc import Sequence
from typing import Any, NamedTuple

import numpy as np

from greenhouse_sim.season import tally as at
from greenhouse_sim.season.ledger import (
    BALANCE_LIMIT,
    Beside,
    Identity,
    Weighed,
    balance_errors,
    check_balance,
    stamp,
    told,
    weighed,
)


class Ended(NamedTuple):
    """A season that has been run, with what its ledger tells."""

    who: Identity
    weather: Any
    total: np.ndarray
    """The kernel's tally, shape (tally.SIZE,)."""
    need_kWh: float
    damp_h: tuple[float | None, float | None]
    """Hours near saturation, and with wet covers; None where vapour is not followed."""


def make_ledgers(seasons: Sequence[Ended]) -> dict[str, Any]:
    """The ledgers of many seasons at once: under each key a column of all.

    Keys and values are those of `make_ledger`, but for the fuel by month, which is left out.
    Numbers are arrays, nan where there is none; words are lists.

    Raises
    ------
    BalanceError
        The energy of a season does not close to 1e-6.
    """
    totals = np.array([one.total for one in seasons])
    tally = np.ascontiguousarray(totals.T)
    who = [one.who for one in seasons]
    starts = [one.weather.start for one in seasons]

    def stamps(place: int) -> list[str | None]:
        return [
            stamp(start, hour) for start, hour in zip(starts, tally[place].tolist(), strict=True)
        ]

    beside = Beside(
        [one.heater for one in who],
        np.array([one.units for one in who], dtype=float),
        [one.winter for one in who],
        [one.site for one in who],
        np.array([one.weather.hours for one in seasons], dtype=float),
        [one.fuel.name for one in who],
        Weighed(*np.array([weighed(one.fuel) for one in who]).T),
        np.array([one.build_h for one in who]),
        stamps(at.FIRST_DAMAGE_HOUR),
        stamps(at.LOWEST_HOUR),
        np.array([one.need_kWh for one in seasons]),
        np.array([one.damp_h for one in seasons], dtype=float).T,
        _check_balances(totals, seasons),
    )
    return told(tally, beside)


def _check_balances(totals: np.ndarray, seasons: Sequence[Ended]) -> np.ndarray:
    """The greenhouse's balance error of each, or a refusal of the first that does not close."""
    with np.errstate(all="ignore"):
        house, heater = balance_errors(totals.T)
    closes = (house < BALANCE_LIMIT) & (heater < BALANCE_LIMIT) & np.isfinite(totals).all(axis=1)
    for place in np.flatnonzero(~closes).tolist():
        check_balance(totals[place].tolist(), seasons[place].who)
    return house
