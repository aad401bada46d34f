"""One year as a service gave it."""

from __future__ import annotations

from typing import NamedTuple

import numpy as np

Array = np.ndarray


class Hours(NamedTuple):
    """Hours in universal time, SI, nan where missing."""

    stamps: Array
    """Beginnings of the hours, universal time, datetime64[s], shape (hours,)."""
    columns: dict[str, Array]
    """Keys of `Weather`'s arrays, and perhaps ``humidity``."""
    elevation_m: float
    source: str
    """Which data base answered."""


def hours_of_year(year: int) -> int:
    """8760, or 8784 in a leap year."""
    first = np.datetime64(f"{year}-01-01", "h")
    return int((np.datetime64(f"{year + 1}-01-01", "h") - first).astype(int))
