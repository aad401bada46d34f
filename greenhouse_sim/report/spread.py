"""A quantity over several winters: the middle one, and how far they lie apart."""

from __future__ import annotations

from collections.abc import Callable, Mapping, Sequence
from typing import Any, NamedTuple

from greenhouse_sim.report.words import few

Write = Callable[[float], str]
TO = "-"


class Spread(NamedTuple):
    """Median, 10th and 90th percentile over winters."""

    median: float
    low: float
    high: float
    winters: int

    def middle(self, write: Write = few) -> str:
        """The median in words."""
        return write(self.median)

    def range(self, write: Write = few, to: str = TO) -> str:
        """Low to high in words: "5.9-8.8"; "" for one winter or where all say the same."""
        low, high = write(self.low), write(self.high)
        if self.winters < 2 or low == high:
            return ""
        return (
            f"{low} to {high}" if low.startswith("-") or high.startswith("-") else low + to + high
        )


def spread(values: Sequence[float]) -> Spread:
    """Median with 10th to 90th percentile, as the JSON's summary has them."""
    import numpy as np

    low, median, high = np.percentile(np.asarray(values, dtype=float), [10.0, 50.0, 90.0])
    return Spread(float(median), float(low), float(high), len(values))


def spread_of(rows: Sequence[Mapping[str, Any]], key: str) -> Spread:
    """`spread` of one key of the ledgers."""
    return spread([row[key] for row in rows])
