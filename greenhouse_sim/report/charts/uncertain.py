"""Which unknowns move fuel and cold hours, as bars."""

from __future__ import annotations

from typing import TYPE_CHECKING

from greenhouse_sim.plans.uncertain import ANSWERS, Uncertain
from greenhouse_sim.report.charts import style
from greenhouse_sim.report.uncertain_table import fuel_unit, order, range_words

if TYPE_CHECKING:
    from matplotlib.axes import Axes
    from matplotlib.figure import Figure

    from greenhouse_sim.plans.rank import Shares
    from greenhouse_sim.report.words import Units


def unknown_bars(found: Uncertain, units: Units) -> Figure:
    """Share of the spread of fuel and of cold hours that each unknown has a hand in.

    Within a winter: the winter's own part is taken out. The whisker is what 90 % of resamples
    give.
    """
    ranked = order(found)
    figure = style.new_figure(11.0, 2.0 + 0.36 * len(ranked))
    heads = (f"of the spread of {fuel_unit(found, units)}, %", "of the spread of cold hours, %")
    panels = ((style.FIRE, ""), (style.OUTSIDE, "..."))
    both = figure.subplots(1, 2, sharey=True, squeeze=False)[0]
    for axes, name, head, panel in zip(both, ANSWERS, heads, panels, strict=True):
        one = found.ranking.get(name)
        if one is not None:
            _bars(axes, one.indices.within, ranked, *panel)
        else:
            axes.text(0.5, 0.5, "nothing moves them", ha="center", transform=axes.transAxes)
        axes.set_title(head, loc="left", fontsize=10)
        axes.tick_params(axis="y", length=0)
        style.plain(axes, "x")
    names = [f"{found.unknowns[i].name}  ({range_words(found.unknowns[i])})" for i in ranked]
    both[0].set_yticks(range(len(names)), names, fontsize=9)
    both[0].set_ylim(len(names) - 0.4, -0.6)
    figure.suptitle(
        f"What to measure first, {found.heater}: what each unknown has a hand in within a winter",
        x=0.01, ha="left", fontsize=12, fontweight="bold", color=style.INK,
    )  # fmt: skip
    return figure


def _bars(axes: Axes, found: Shares, ranked: list[int], colour: str, hatch: str) -> None:
    for place, i in enumerate(ranked):
        value, low, high = (100.0 * min(float(part[i]), 1.0) for part in found)
        axes.barh(place, value, 0.66, color=colour, hatch=hatch, edgecolor="white", linewidth=0.5)
        axes.hlines(place, low, high, color="#000000", linewidth=1.6)
        axes.plot([low, high], [place, place], "|", color="#000000", markersize=5)
    axes.set_xlim(left=0.0)
