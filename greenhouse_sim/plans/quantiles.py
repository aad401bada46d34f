"""What a share of winters stays under, and when there are too few winters to say so."""

from __future__ import annotations

from collections.abc import Sequence
from typing import NamedTuple

import numpy as np

SHARES = (0.5, 0.8, 0.9)
"""Shares of winters that a plan is made for; the worst on record comes on top."""
ONE_IN = {2: "two", 5: "five", 10: "ten", 20: "twenty"}


class Covered(NamedTuple):
    """An amount, and how many winters it is enough for."""

    share: float | None
    """Share of winters; None for the worst on record."""
    amount: float
    winters: int
    """Winters of the record that it is enough for."""

    @property
    def name(self) -> str:
        """ "90 %", "worst"."""
        return "worst" if self.share is None else f"{self.share:.0%}".replace("%", " %")


def quantile(values: Sequence[float] | np.ndarray, share: float) -> float:
    """Value that this share of the winters does not exceed.

    Linear between order statistics, as the percentiles of the JSON's summary are.
    """
    return float(np.quantile(np.asarray(values, dtype=float), share))


def covered(values: Sequence[float]) -> tuple[Covered, ...]:
    """Amounts that cover `SHARES` of the winters, then the worst; of one winter only that one."""
    amounts = np.asarray(values, dtype=float)
    shares: list[float | None] = [*SHARES, None] if len(amounts) > 1 else [None]
    found = []
    for share in shares:
        enough = float(amounts.max()) if share is None else quantile(amounts, share)
        found.append(Covered(share, enough, int(np.sum(amounts <= enough * (1.0 + 1e-9)))))
    return tuple(found)


def winters_for(share: float) -> int:
    """Winters that it takes to speak of this share: ten for one in ten."""
    return round(1.0 / (1.0 - share))


def few_winters(winters: int, share: float = max(SHARES)) -> str:
    """A sentence where winters are too few to speak of a share of them, else an empty text.

    >>> few_winters(30)
    ''
    >>> few_winters(3)[:52]
    '3 winters are too few to speak of one winter in ten:'
    """
    if winters == 1:
        return (
            "One winter is told, and no share of winters: name more weather files, or one file "
            "with several winters."
        )
    needed = winters_for(share)
    if winters >= needed:
        return ""
    return (
        f"{winters} winters are too few to speak of one winter in {ONE_IN.get(needed, needed)}: "
        f"that takes {needed}. The {share:.0%} figure is read off between the hardest two.".replace(
            "%", " %"
        )
    )
