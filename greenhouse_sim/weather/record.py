"""Keep read records on disk: a second run needs neither the parser nor the sun's library."""

from __future__ import annotations

import hashlib
import json
from datetime import datetime
from pathlib import Path
from typing import Any

import numpy as np

from greenhouse_sim import kept
from greenhouse_sim.weather.plain import Place
from greenhouse_sim.weather.weather import KNOWN, PERHAPS, Gap, Weather, checked_before

SOURCES = ("greenhouse_sim.weather", "greenhouse_sim.tables")
FOLDER = "records"
WORDS = (
    "name",
    "site",
    "utc_offset_h",
    "latitude",
    "longitude",
    "elevation_m",
    "notes",
    "source",
    "synthetic",
    "gaps",
)


def record_key(raw: bytes, path: Path, place: Place, mapping: str = "") -> str:
    """Hash of what a record is read from: the file's bytes and name, its mapping, the place."""
    total = hashlib.sha256()  # half the time of others where the processor knows it
    total.update(kept.makers_hash(*SOURCES))
    total.update(repr((path.name, tuple(place))).encode())
    total.update(hashlib.blake2b(mapping.encode()).digest())
    total.update(raw)
    return total.hexdigest()[:32]


def find_record(key: str) -> Weather | None:
    """The record read under this key before, or None."""
    found = kept.find(FOLDER, key)
    if found is None:
        return None
    words: dict[str, Any] = json.loads(str(found["words"]))
    words["start"] = datetime.fromisoformat(words["start"])
    words["notes"] = tuple(words["notes"])
    words["gaps"] = tuple(Gap(*gap) for gap in words["gaps"])
    words |= {name: found[name] for name in KNOWN + PERHAPS}
    return checked_before(words)


def keep_record(key: str, weather: Weather) -> None:
    """Keep a record under its key."""
    words = {name: getattr(weather, name) for name in WORDS}
    words["start"] = weather.start.isoformat()
    arrays = {name: getattr(weather, name) for name in KNOWN + PERHAPS}
    kept.keep(FOLDER, key, {"words": np.array(json.dumps(words)), **arrays})
