"""Refuse keys that a table of normals does not have."""

from __future__ import annotations

import difflib
from collections.abc import Iterable, Mapping
from typing import Any

from greenhouse_sim.errors import WeatherError


def known_only(
    section: Mapping[str, Any], known: Iterable[str], where: str, kind: str = ""
) -> None:
    """Refuse a key that nobody knows, with the nearest that somebody does."""
    names = list(known)
    for key in section:
        if key not in names:
            near = difflib.get_close_matches(key, names, n=1, cutoff=0.5)
            hint = f"; did you mean {near[0]}?" if near else "."
            raise WeatherError(
                f"{where}: {kind}{key[:40]!r} is unknown{hint} Known: {', '.join(names)}"
            )
