"""What goes by the clock or the light: setpoints and the night curtain."""

from __future__ import annotations

from typing import Any

import numpy as np

Array = np.ndarray


def hour_of_day(weather: Any) -> Array:
    """Clock hour at the middle of each hour, local standard time, 0 to 24."""
    return (weather.start.hour + 0.5 + np.arange(len(weather.t_out_C))) % 24.0


def between(hour: Array, start_h: float, end_h: float) -> Array:
    """Whether a clock hour lies from ``start_h`` to ``end_h``, over midnight if that is earlier."""
    if start_h <= end_h:
        return (hour >= start_h) & (hour < end_h)
    return (hour >= start_h) | (hour < end_h)


def setpoints(crop: Any, hour: Array, sun_up: Array) -> Array:
    """Setpoint in force, °C: by schedule where there is one, else by day and night.

    The first span that holds the hour wins; a span without hours holds all that is left.
    By day and night the setpoint falls at once and rises at ``crop.rise`` K/h.
    """
    if not crop.schedule:
        wanted = np.where(sun_up, float(crop.setpoint_day), float(crop.setpoint_night))
        for jump in np.flatnonzero(np.diff(wanted) > crop.rise) + 1:
            h = int(jump)
            while h < len(wanted) and wanted[h] > wanted[h - 1] + crop.rise:
                wanted[h] = wanted[h - 1] + crop.rise
                h += 1
        return wanted
    wanted = np.full(len(hour), np.nan)
    for span in sorted(crop.schedule, key=lambda span: span.start_h is None):
        if span.start_h is None:
            holds = np.ones(len(hour), dtype=bool)
        else:
            holds = between(hour, span.start_h, span.end_h)
        wanted = np.where(np.isnan(wanted) & holds, float(span.at), wanted)
    lowest = min(float(span.at) for span in crop.schedule)
    return np.where(np.isnan(wanted), lowest, wanted)


def curtain_closed(curtain: Any, hour: Array, sun_up: Array) -> Array:
    """1.0 where the night curtain is closed."""
    if curtain is None or curtain.closed == "never":
        return np.zeros(len(hour))
    if curtain.closed == "dark":
        return np.where(sun_up, 0.0, 1.0)
    start_h, end_h = curtain.closed
    return between(hour, start_h, end_h).astype(float)
