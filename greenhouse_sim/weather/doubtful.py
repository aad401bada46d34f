"""Hours that an instrument may have got wrong: spikes, values far from the usual, stuck sensors."""

from __future__ import annotations

from typing import NamedTuple

import numpy as np

from greenhouse_sim.weather.day import height_sine
from greenhouse_sim.weather.plausible import months_of
from greenhouse_sim.weather.weather import Weather

Array = np.ndarray
SPIKE_K = 8.0
"""An hour this far from the median of the five around it is a spike (judgement)."""
FAR_SD = 5.0
"""Standard deviations from its month's mean beyond which an hour is doubtful (judgement)."""
STUCK_H = 24
"""Hours of one and the same temperature that a sensor seldom reads (judgement)."""
NIGHT_SINE = -0.2
"""With the sun this low in its middle (12 degrees under the horizon) no hour has sun."""
NIGHT_SUN_W = 20.0
"""More sun than this at night means a wrong clock (judgement)."""
MOST_TOLD = 6


class Doubt(NamedTuple):
    """A doubtful hour, or stretch of hours."""

    at: str
    what: str
    value_C: float | None
    hours: int


def doubtful(record: Weather, good: Array) -> tuple[Doubt, ...]:
    """What is doubtful in a record, the worst of each kind, in order of time.

    Parameters
    ----------
    record
        The record.
    good
        True in hours that are no stand-ins, shape (hours,).
    """
    found = _spikes(record, good) + _far(record, good) + _stuck(record, good) + _at_night(record)
    return tuple(sorted(found))


def _told(record: Weather, hours: Array, what: str) -> list[Doubt]:
    times = record.times()
    return [
        Doubt(str(times[h].astype("datetime64[m]")), what, float(record.t_out_C[h]), 1)
        for h in hours[:MOST_TOLD]
    ]


def _spikes(record: Weather, good: Array) -> list[Doubt]:
    t_out = record.t_out_C
    if record.hours < 5:
        return []
    around = np.lib.stride_tricks.sliding_window_view(t_out, 5)
    off = np.zeros(record.hours)
    off[2:-2] = np.abs(t_out[2:-2] - np.median(around, axis=1))
    off[~good] = 0.0
    worst = np.argsort(-off)
    return _told(record, worst[off[worst] > SPIKE_K], "spike")


def _far(record: Weather, good: Array) -> list[Doubt]:
    months = months_of(record.times())
    off = np.zeros(record.hours)
    for month in np.unique(months[good]):
        here = good & (months == month)
        t_out = record.t_out_C[here]
        off[here] = np.abs(t_out - t_out.mean()) / max(float(t_out.std()), 1.0)
    worst = np.argsort(-off)
    return _told(record, worst[off[worst] > FAR_SD], "far from the month's usual")


def _stuck(record: Weather, good: Array) -> list[Doubt]:
    same = (np.diff(record.t_out_C) == 0.0) & good[1:] & good[:-1]
    edges = np.flatnonzero(np.diff(np.concatenate([[False], same, [False]]).astype(int)))
    runs = [(int(b - a) + 1, int(a)) for a, b in zip(edges[::2], edges[1::2], strict=True)]
    times = record.times()
    return [
        Doubt(str(times[at].astype("datetime64[m]")), "the same value on and on",
              float(record.t_out_C[at]), hours)
        for hours, at in sorted(runs, reverse=True)[:MOST_TOLD]
        if hours >= STUCK_H
    ]  # fmt: skip


def _at_night(record: Weather) -> list[Doubt]:
    if record.ghi_W.max() <= NIGHT_SUN_W:
        return []
    times = record.times()
    sine, _ = height_sine(times, record.latitude, record.longitude, record.utc_offset_h)
    dark = (sine < NIGHT_SINE) & (record.ghi_W > NIGHT_SUN_W)
    if not dark.any():
        return []
    first = str(times[int(np.argmax(dark))].astype("datetime64[m]"))
    return [Doubt(first, "sun at night: is the clock or the place wrong?", None, int(dark.sum()))]
