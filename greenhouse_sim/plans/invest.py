"""Money over years: what a purchase comes to a year, what a saving is worth, when it is paid back.

With a yearly rate i, a dollar in n years is worth v = (1 + i)^−n now, and a dollar at the end of
each of n years a(n) = (1 − (1 + i)^−n)/i (n where i = 0). A purchase P that lasts n years so comes
to P/a(n) a year (annuity, capital recovery). Textbook matter: any text of engineering economy.
"""

from __future__ import annotations

import math
from collections.abc import Sequence


def annuity_factor(rate: float, years: float) -> float:
    """What a dollar at the end of each of so many years is worth now.

    >>> round(annuity_factor(0.10, 10), 4)
    6.1446
    """
    if rate == 0.0:
        return years
    return -math.expm1(-years * math.log1p(rate)) / rate


def yearly(price: float, rate: float, life: float) -> float:
    """What a purchase comes to in each year of its life."""
    return price / annuity_factor(rate, life)


def present_value(rate: float, flows: Sequence[float]) -> float:
    """Flows of money at the ends of years 0, 1, 2 ..., in dollars of now."""
    return math.fsum(flow / (1.0 + rate) ** year for year, flow in enumerate(flows))


def payback(price: float, saving: float) -> float | None:
    """Years until savings add up to the price, without interest; None for never."""
    if price <= 0.0:
        return 0.0 if saving >= 0.0 else None
    return price / saving if saving > 0.0 else None


def discounted_payback(price: float, saving: float, rate: float) -> float | None:
    """Years until savings pay the price with its interest; None for never.

    From price = saving · a(n): n = −ln(1 − price·i/saving)/ln(1 + i).
    """
    plain = payback(price, saving)
    if plain is None or plain == 0.0 or rate == 0.0:
        return plain
    rest = 1.0 - plain * rate
    return -math.log(rest) / math.log1p(rate) if rest > 0.0 else None


def flows(purchases: Sequence[tuple[float, float]], running: float, years: int) -> list[float]:
    """What is spent at the ends of years 0 to ``years``, below zero.

    Parameters
    ----------
    purchases
        (price, life in years) of each thing: bought at the start, bought again at the end of
        its life (rounded to whole years), and at the end worth what is left of its life.
    running
        Spent in each year.
    years
        The stretch of years that is looked at.
    """
    spent = [0.0] + [-running] * years
    for price, life in purchases:
        lasts = max(1, round(life))
        for year in range(0, years, lasts):
            spent[year] -= price
        begun = (years - 1) // lasts * lasts
        spent[years] += price * (1.0 - (years - begun) / lasts)
    return spent
