"""What heaters cost a year, stacked by kind."""

from __future__ import annotations

from typing import TYPE_CHECKING

from greenhouse_sim.plans.cost_lines import KINDS
from greenhouse_sim.plans.money import Money
from greenhouse_sim.report.charts import style
from greenhouse_sim.report.dollars import rough
from greenhouse_sim.report.money_table import ordered

if TYPE_CHECKING:
    from matplotlib.figure import Figure

LOOK = {
    "purchase": (style.OUTSIDE, ""), "fuel": (style.FIRE, "///"),
    "electricity": ("#a8a29a", "..."), "back-up": (style.BACKUP, "xxx"),
    "own hours": ("#d8c9a3", "\\\\"), "repairs": (style.SETPOINT, ""),
    "crop lost": (style.INSIDE, "ooo"),
}  # fmt: skip
NEVER_WIDER = 2.5
"""Bars are cut at so many times the middle one."""


def cost_bars(found: Money, site: str) -> Figure:
    """A bar a heater, the kinds of cost one after another, in the order of the table."""
    import numpy as np

    costs = [cost for cost in ordered(found) if cost.yearly is not None]
    figure = style.new_figure(11.0, 1.8 + 0.36 * max(len(costs), 2))
    axes = figure.subplots()
    totals = [cost.yearly or 0.0 for cost in costs]
    most = max(NEVER_WIDER * float(np.median(totals)), totals[0] * 1.3) if totals else 1.0
    widest = min(max(totals, default=1.0), most)
    left = np.zeros(len(costs))
    for kind in KINDS:
        wide = np.array([cost.of(kind) for cost in costs])
        paid = np.flatnonzero(wide)
        if not len(paid):
            continue
        colour, hatch = LOOK[kind]
        axes.barh(
            paid, wide[paid], left=left[paid], color=colour, hatch=hatch, edgecolor="white",
            linewidth=0.5, label=kind,
        )  # fmt: skip
        left = left + wide
    for place, cost in enumerate(costs):
        total = cost.yearly or 0.0
        cut = total > widest
        axes.text(
            min(total, widest) + 0.01 * widest, place, rough(total) + (" (cut)" if cut else ""),
            va="center", fontsize=9, color=style.INK,
        )  # fmt: skip
    names = [
        cost.heater + ("" if cost in found.doing else "  (too cold or crop lost)") for cost in costs
    ]
    axes.set_yticks(range(len(costs)), names, fontsize=9)
    axes.set_ylim(len(costs) - 0.4, -0.6)
    axes.set_xlim(0.0, 1.16 * widest)
    axes.set_xlabel("dollars a year")
    style.plain(axes, "x")
    axes.legend(frameon=False, fontsize=9, loc="upper right")
    style.titled(axes, f"What heaters cost a year, {site}")
    return figure
