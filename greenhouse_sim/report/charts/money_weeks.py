"""What a week's heat costs beside what it brings."""

from __future__ import annotations

from typing import TYPE_CHECKING

from greenhouse_sim.plans.worth import Worth
from greenhouse_sim.report.charts import style

if TYPE_CHECKING:
    from matplotlib.figure import Figure


def week_bars(found: Worth, site: str) -> Figure:
    """Bars of heat, a line of crop, week by week: the setpoint against keeping the crop alive."""
    import numpy as np
    from matplotlib.dates import DateFormatter, MonthLocator, date2num

    days = date2num([week.first for week in found.weeks]) + 3.5
    cost = np.array([week.cost for week in found.weeks])
    figure = style.new_figure(10.0, 5.0)
    axes = figure.subplots()
    axes.bar(
        days, cost, width=5.6, color=style.FIRE, hatch="///", edgecolor="white", label="heat costs"
    )
    if found.crop_value is not None:
        brings = [week.brings or 0.0 for week in found.weeks]
        axes.plot(
            days, brings, color=style.OUTSIDE, marker="o", markersize=4, linewidth=1.6,
            label=f"crop brings, at ${found.crop_value:.2f} a square foot and week",
        )  # fmt: skip
    axes.axhline(0.0, color=style.INK, linewidth=0.8)
    axes.set_xlim(days[0] - 3.5, days[-1] + 3.5)
    axes.set_ylabel("dollars a week more than\nonly keeping the crop alive")
    if len(found.winters) > 1:
        axes.xaxis.set_major_locator(MonthLocator())
        axes.xaxis.set_major_formatter(DateFormatter("1 %b"))
    else:
        style.month_axis(axes)
    style.plain(axes)
    axes.legend(frameon=False, fontsize=9, loc="best")
    style.titled(axes, f"When winter heat pays, {site}")
    return figure
