"""What each fault adds, as bars."""

from __future__ import annotations

from typing import TYPE_CHECKING

from greenhouse_sim.report.charts import style
from greenhouse_sim.report.faults_table import fault_words, over, signed
from greenhouse_sim.report.words import Units, counted

if TYPE_CHECKING:
    from matplotlib.figure import Figure

    from greenhouse_sim.plans.faults import Found


def fault_bars(heater: str, found: Found, damage_C: float, units: Units) -> Figure:
    """Hours below setpoint and of crop damage that each fault adds; whiskers 10 to 90 %."""
    some = found.seasons[1:]
    figure = style.new_figure(11.0, 1.6 + 0.5 * len(some))
    all_axes = figure.subplots(1, 2, sharey=True)
    panels = (
        ("cold_h", "more hours below setpoint", style.OUTSIDE, "..."),
        ("damage_h", f"more hours under {units.temperature(damage_C)}", "#a8a29a", "xxx"),
    )
    for axes, (key, head, colour, hatch) in zip(all_axes, panels, strict=True):
        told = [over(found.more(one, key)) for one in some]
        means = [float(found.more(one, key).mean()) for one in some]
        most = max([one.high for one in told] + means + [1.0])
        for place, (one, mean) in enumerate(zip(told, means, strict=True)):
            axes.barh(place, mean, 0.6, color=colour, hatch=hatch, edgecolor="white")
            axes.hlines(place, one.low, one.high, color="#000000", linewidth=1.5)
            axes.annotate(
                signed(mean), (max(one.high, mean, 0.0) + 0.02 * most, place),
                va="center", fontsize=9, color=style.INK,
            )  # fmt: skip
        axes.set_xlim(min([one.low for one in told] + [0.0]), 1.2 * most)
        axes.set_title(head, loc="left", fontsize=10)
        axes.tick_params(axis="y", length=0)
        style.plain(axes, "x")
    all_axes[0].set_yticks(
        range(len(some)), [fault_words(one.name, found.faults) for one in some], fontsize=9
    )
    all_axes[0].set_ylim(len(some) - 0.4, -0.6)
    figure.suptitle(
        f"What faults add to a season, {heater}: on average over "
        f"{counted(len(found.winters), 'winter')}, whiskers 10 to 90 %",
        x=0.01, ha="left", fontsize=12, fontweight="bold", color=style.INK,
    )  # fmt: skip
    return figure
