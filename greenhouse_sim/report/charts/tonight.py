"""Tonight: the air at the plants under each way, and outside, with the forecast's error."""

from __future__ import annotations

from typing import TYPE_CHECKING, Any

from greenhouse_sim.plans.tonight import BEST, NOTHING, ROUTINE, VISIT, Tonight
from greenhouse_sim.report.charts import style
from greenhouse_sim.report.tonight_words import NAMES
from greenhouse_sim.report.words import Units

if TYPE_CHECKING:
    from matplotlib.figure import Figure

LOOKS: dict[str, tuple[str, Any]] = {
    NOTHING: ("#888888", ":"),
    ROUTINE: (style.BACKUP, "-."),
    BEST: (style.INSIDE, "-"),
    VISIT: (style.DAMAGE, "--"),
}


def tonight_chart(found: Tonight, units: Units) -> Figure:
    """Lines under the forecast; bands where 8 of 10 perturbed forecasts lie."""
    import numpy as np

    night = found.night
    hours = np.arange(night.now, night.morning) + 0.5
    figure = style.new_figure(10.0, 6.0)
    axes = figure.subplots()

    def shown(values: np.ndarray) -> np.ndarray:
        return np.array([units.degrees(float(t)) for t in values])

    low, high = (shown(row) for row in found.out_band)
    axes.fill_between(hours, low, high, color=style.PALE)
    axes.plot(hours, shown(found.out), color=style.OUTSIDE, linestyle=(0, (1, 3)), linewidth=1.8,
              label="outside")  # fmt: skip
    plan = found.plan
    low, high = (shown(row) for row in plan.band)
    axes.fill_between(hours, low, high, color=style.FIRE, alpha=0.3,
                      label="8 of 10 perturbed forecasts")  # fmt: skip
    for way in found.ways:
        colour, dash = LOOKS[way.name]
        wide = 2.6 if way is plan else 1.5
        axes.plot(hours, shown(way.crop), color=colour, linestyle=dash, linewidth=wide,
                  label=f"plants: {NAMES[way.name]}")  # fmt: skip
    lines: tuple[tuple[float, str, Any], ...] = (
        (night.hold, "to be held", (0, (6, 3))),
        (found.limit, "somebody gets up", (0, (2, 2))),
        (found.damage, "crop hurt", "-"),
    )
    for level, name, line in lines:
        axes.axhline(units.degrees(level), color=style.INK, linewidth=0.9, linestyle=line)
        axes.annotate(
            f"{name},\n{units.temperature(level)}",
            (1.005, units.degrees(level)),
            xycoords=axes.get_yaxis_transform(),
            fontsize=8,
            va="center",
        )
    for hour, kg in plan.loads:
        at = hour - night.now
        axes.plot([hour + 0.5], [units.degrees(float(plan.crop[at]))], "^", color=style.INK,
                  markersize=9, label="_load")  # fmt: skip
        axes.annotate(f"{units.pounds(kg):.0f} {'lb' if units.us else 'kg'}",
                      (hour + 0.5, units.degrees(float(plan.crop[at]))), xytext=(0, 9),
                      textcoords="offset points", fontsize=9, ha="center")  # fmt: skip
    ticks = np.arange(night.now, night.morning + 1)
    step = max(1, len(ticks) // 12)
    axes.set_xticks(ticks[::step], [f"{found.moment(int(h)):%H:%M}" for h in ticks[::step]])
    axes.set_xlim(night.now, night.morning)
    axes.set_ylabel(f"hourly mean, {units.degree}")
    axes.set_xlabel(f"night of {found.at.day} {found.at:%B}; triangles: loads of the advised night")
    style.plain(axes)
    style.titled(axes, f"Tonight: {found.scenario.heater.kind}")
    figure.legend(loc="outside lower center", ncols=2, frameon=False, fontsize=9)
    return figure
