"""Coast-down: the air against hours since the last load."""

from __future__ import annotations

import math
from typing import TYPE_CHECKING, Any

from greenhouse_sim.report.charts import style
from greenhouse_sim.report.season_tables import month_name
from greenhouse_sim.report.words import Units, winter_words

if TYPE_CHECKING:
    from matplotlib.axes import Axes
    from matplotlib.figure import Figure

    from greenhouse_sim.plans.coast import Coast

SPOT: dict[str, Any] = {
    "markersize": 8,
    "markerfacecolor": "white",
    "markeredgewidth": 2.0,
    "linestyle": "none",
}


def away_coast(found: Coast, heater: str, damage_C: float, units: Units) -> Figure:
    """Air of the middle winter's coldest month (band and middle), and after the coldest evening.

    Circles mark where the fire goes out.
    """
    import numpy as np

    figure = style.new_figure(10.0, 5.8)
    axes = figure.subplots()
    air = np.array([[units.degrees(float(t)) for t in curve.air] for curve in found.middle])
    hours = np.arange(air.shape[1])
    low, half, high = np.percentile(air, [10.0, 50.0, 90.0], axis=0)
    month = month_name(found.month[5:])
    winter = winter_words(found.middle[0].winter)
    axes.fill_between(hours, low, high, color=style.PALE, label=f"{month}, 8 of 10 evenings")
    axes.plot(hours, half, color=style.INSIDE, linewidth=2.2, label=f"{month} of {winter}, middle")
    coldest = found.coldest
    cold_air = np.array([units.degrees(float(t)) for t in coldest.air])
    out = np.array([units.degrees(float(t)) for t in coldest.out])
    name = f"coldest evening, {coldest.start.astype(object):%d %b} {winter_words(coldest.winter)}"
    axes.plot(hours, cold_air, color=style.DAMAGE, linewidth=2.0, linestyle="--", label=name)
    axes.plot(hours, out, color=style.OUTSIDE, linewidth=1.3, linestyle="-.", label="outside then")
    setpoint = [units.degrees(float(t)) for t in coldest.setpoint]
    axes.step(hours, setpoint, where="post", color=style.SETPOINT, linewidth=1.0,
              linestyle=(0, (5, 2)), label="setpoint")  # fmt: skip
    axes.axhline(units.degrees(damage_C), color=style.INK, linewidth=1.2, linestyle=":",
                 label=f"crop hurt under {units.temperature(damage_C)}")  # fmt: skip
    ends = [curve.fire_out_h for curve in found.middle if math.isfinite(curve.fire_out_h)]
    if ends:
        _spot(axes, float(np.median(ends)), half, style.INSIDE)
    if math.isfinite(coldest.fire_out_h):
        _spot(axes, coldest.fire_out_h, cold_air, style.DAMAGE)
    if ends or math.isfinite(coldest.fire_out_h):
        axes.plot([], [], "o", color=style.INK, label="fire out", **SPOT)
    axes.set_xlim(0, len(hours) - 1)
    axes.set_xticks(range(0, len(hours) + 1, 6))
    axes.set_xlabel("hours since the last load")
    axes.set_ylabel(f"air inside, {units.degree}")
    style.plain(axes)
    figure.legend(loc="outside lower center", ncols=4, frameon=False, fontsize=9)
    style.titled(axes, f"Coasting down after the last load, nobody there: {heater}")
    return figure


def _spot(axes: Axes, hour: float, air: Any, colour: str) -> None:
    axes.plot([hour], [air[round(hour)]], "o", color=colour, **SPOT)
