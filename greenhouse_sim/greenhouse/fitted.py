"""Factors that a fit to a thermometer log puts on what measures and tables give."""

from __future__ import annotations

from typing import Any


def fitted(house: Any, key: str) -> float:
    """The factor ``key`` of ``[greenhouse] fitted``; 1 where there is none.

    Keys: loss, leak, capacity, soil, sun; see `greenhouse_sim.scenario.fitted`.
    """
    factors = getattr(house, "fitted", None)
    return 1.0 if factors is None else float(getattr(factors, key))
