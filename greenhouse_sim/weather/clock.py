"""A clock with daylight saving turned into local standard time."""

from __future__ import annotations

import difflib
import zoneinfo
from typing import NamedTuple

import numpy as np

from greenhouse_sim.errors import WeatherError
from greenhouse_sim.weather.checks import when

Array = np.ndarray


class Moved(NamedTuple):
    """Stamps in standard time."""

    stamps: Array
    utc_offset_h: float
    notes: list[str]


def zone_named(name: str, where: str) -> zoneinfo.ZoneInfo:
    """A time zone by its name in the IANA data base, such as America/Detroit.

    Raises
    ------
    WeatherError
        No such zone, with the nearest name.
    """
    try:
        return zoneinfo.ZoneInfo(name)
    except (zoneinfo.ZoneInfoNotFoundError, ValueError, OSError) as problem:
        near = difflib.get_close_matches(name, sorted(zoneinfo.available_timezones()), n=1)
        raise WeatherError(
            f"{where}: no time zone {name[:40]!r}; write {near[0] if near else 'America/Detroit'!r}"
            ' (or "standard time", or "UTC")'
        ) from problem


def to_standard(stamps: Array, zone: zoneinfo.ZoneInfo, file_row: Array, path: str) -> Moved:
    """Local standard time of stamps by a clock that follows daylight saving.

    The hour that an autumn night has twice is told apart by the rows' order: where the clock
    goes back, standard time begins. Where it stands once it is taken as the first of the two.

    Raises
    ------
    WeatherError
        Stamps in the hour that a spring night lacks: the clock does not follow this zone.
    """
    import pandas as pd

    index = pd.DatetimeIndex(stamps)
    first = index.tz_localize(zone, ambiguous=np.ones(len(index), dtype=bool), nonexistent="NaT")
    lacking = np.asarray(first.isna())
    if lacking.any():
        at = int(np.argmax(lacking))
        raise WeatherError(
            f"{path}, row {file_row[at]}: {when(stamps[at])} does not exist by the clock of "
            f'{zone.key}; the file seems to keep standard time: write clock = "standard time" '
            "in its mapping"
        )
    double = np.asarray(index.tz_localize(zone, ambiguous="NaT").isna())
    summer, notes = _first_of_two(stamps, double)
    universal = index.tz_localize(zone, ambiguous=summer).tz_convert("UTC").tz_localize(None)
    offset = _standard_offset_h(zone, stamps)
    moved = universal.to_numpy().astype("datetime64[s]") + np.timedelta64(round(offset * 3600), "s")
    said = f"clock of {zone.key} turned into standard time, {offset:+g} h from universal time"
    return Moved(moved, offset, [said, *notes] if (moved != stamps).any() else notes)


def _first_of_two(stamps: Array, double: Array) -> tuple[Array, list[str]]:
    """Which stamps of doubled hours are still summer time, and what to say of them."""
    summer = np.ones(len(stamps), dtype=bool)
    nights = stamps[double].astype("datetime64[D]")
    once = []
    for night in np.unique(nights):
        rows = np.flatnonzero(double)[nights == night]
        back = np.flatnonzero(np.diff(stamps[rows]) <= np.timedelta64(0, "s"))
        if len(back):
            summer[rows[back[0] + 1 :]] = False
        else:
            once.append(str(night))
    told = len(np.unique(nights)) - len(once)
    notes = []
    if told:
        notes.append(
            f"the hour that the autumn clock has twice told apart in {told} "
            f"{'night' if told == 1 else 'nights'}"
        )
    if once:
        notes.append(
            f"the hour that the autumn clock has twice stands once on {', '.join(once[:3])}: "
            "taken as summer time, the other left as a gap"
        )
    return summer, notes


def _standard_offset_h(zone: zoneinfo.ZoneInfo, stamps: Array) -> float:
    """Standard time's offset from universal time in the middle of the record, h."""
    year = stamps[len(stamps) // 2].astype("datetime64[Y]").item().year
    from datetime import datetime

    offsets = [datetime(year, month, 1, tzinfo=zone).utcoffset() for month in (1, 7)]
    return min(offset.total_seconds() / 3600.0 for offset in offsets if offset is not None)
