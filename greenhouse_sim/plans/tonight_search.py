"""The least load at the last look-in that holds the night, and whether somebody must get up.

Both are judged on the careful forecast: the cold side that one night in ten passes. Fuel after
loading goes up in twelfths of a full charge; of the air's settings some even steps are tried. The
first hours after a load are not judged, since a cold house needs them to warm up.

Colder weather leaves fewer pairs of load and setting that hold the night, and where none holds it
the load is a full one: a colder forecast asks for no less wood (a test holds it to that).

The careful forecast is colder in every hour alike and has the forecast's wind, so that with wind
and all a little more than one night in ten may come out colder than what was asked.
"""

from __future__ import annotations

from typing import NamedTuple

import numpy as np

from greenhouse_sim.heater.numbers import SET_AND_LEAVE, Heater
from greenhouse_sim.plans.tonight_error import number
from greenhouse_sim.plans.tonight_night import CROP, Act, Here, Night, Ran, spend
from greenhouse_sim.season import numbers as places
from greenhouse_sim.season.hour import COLD_BAND_K
from greenhouse_sim.season.modes import Walk

Array = np.ndarray
STEPS = 12
SETTINGS = 7
WORTH_K = 0.5
"""A visit that warms the coldest hour by less is not worth getting up for (judgement)."""


class Found(NamedTuple):
    """A load and a setting."""

    act: Act
    holds: bool
    """Whether the night is held at what was asked."""
    lowest: float
    """Coldest judged hour at the plants on the careful forecast, °C."""
    ran: Ran


def settings(heater: Heater) -> Array:
    """Settings of the air that are tried, W of fuel; one where there is no air to set."""
    if heater.law != SET_AND_LEAVE:
        return np.array([heater.burn_max_w])
    return np.linspace(heater.burn_min_w, heater.burn_max_w, SETTINGS)


def setting_share(heater: Heater, setting_w: float) -> float:
    """How far the air is open: 0 at the lowest steady fire, 1 at the highest."""
    return (setting_w - heater.burn_min_w) / max(heater.burn_max_w - heater.burn_min_w, 1.0)


def best_load(night: Night, walk: Walk, here: Here, hold: float, settles: int) -> Found:
    """The least load at the hour of ``here`` that keeps the plants at ``hold`` until morning.

    Of several settings that do, the lowest: most is then left in the morning. Where nothing
    does, a full load with the air that keeps the plants warmest. The first ``settles`` hours are
    not judged.
    """
    heater = night.task.heater
    has = float(here.state[places.FUEL])
    steps = np.arange(1, STEPS + 1) / STEPS * heater.charge_kg
    levels = [has, *(float(step) for step in steps if step > has + 1e-9)]
    if heater.hand_fed < 0.5:
        levels = [has]

    def tried(level: float) -> Found:
        return _tried(night, walk, here, level, hold, settles)

    least = tried(levels[0])
    if least.holds or len(levels) == 1:
        return least
    best = tried(levels[-1])
    if not best.holds:
        return best
    low, high = 0, len(levels) - 1
    while high - low > 1:
        half = (low + high) // 2
        found = tried(levels[half])
        if found.holds:
            high, best = half, found
        else:
            low = half
    return best


def _tried(night: Night, walk: Walk, here: Here, level: float, hold: float, settles: int) -> Found:
    """This much in the box under every setting: the lowest that holds, else the warmest."""
    found: list[Found] = []
    judged = slice(min(settles, night.morning - here.hour - 1), None)
    for setting_w in settings(night.task.heater):
        act = Act(here.hour, level, float(setting_w))
        ran = spend(night, walk, here, (act,), here.hour)
        lowest = float(ran.trace[judged, CROP].min())
        found.append(Found(act, lowest >= hold, lowest, ran))
        if found[-1].holds:
            return found[-1]
    return max(found, key=lambda one: one.lowest)


def bedtime(night: Night, walk: Walk, here: Here) -> Found:
    """The load at the last look-in that holds the setpoint."""
    return best_load(night, walk, here, night.hold - COLD_BAND_K, int(number("settles")))


def visit(
    night: Night, walk: Walk, here: Here, bed: Found, limit: float
) -> tuple[Found, Found] | None:
    """The last look-in and the one visit that keep the plants over ``limit``.

    The hour is the latest at which a full load does it, and where none does the one that leaves the
    plants warmest. The air at the last look-in is set for the hours up to it, and the load is the
    least that will do.

    None where nobody need come, where nobody can help (nothing to feed, a fire that must be
    watched), or where coming does not warm the coldest hour.

    Parameters
    ----------
    here, bed
        The state at the last look-in, and what is done at it if nobody comes later.
    limit
        Air at the plants for which somebody gets up, °C.
    """
    heater = night.task.heater
    settles = int(number("settles"))
    if bed.lowest >= limit or heater.hand_fed < 0.5 or heater.watch_share > 0.0:
        return None
    best: tuple[float, Found, Found] | None = None
    for hour in reversed(range(here.hour + settles, night.morning)):
        first = _tried(
            night._replace(morning=hour), walk, here, bed.act.level_kg, limit, settles - 1
        )
        there = first.ran.end
        second = _tried(night, walk, there, heater.charge_kg, limit, 0)
        lowest = min(first.lowest, second.lowest)
        if best is None or lowest > best[0]:
            best = lowest, first, second
        if lowest >= limit:
            best = lowest, first, second
            break
    if best is None or best[0] < bed.lowest + WORTH_K:
        return None
    _, first, second = best
    return first, best_load(night, walk, first.ran.end, limit, 0)
