"""Size of a part against times up and hours below setpoint."""

from __future__ import annotations

from collections.abc import Sequence
from typing import TYPE_CHECKING

from greenhouse_sim.plans.parts import COUNT
from greenhouse_sim.report.charts import style
from greenhouse_sim.report.size_words import SHOWN, size_number, size_text
from greenhouse_sim.report.words import Units

if TYPE_CHECKING:
    from matplotlib.axes import Axes
    from matplotlib.figure import Figure

    from greenhouse_sim.plans.sizing import Sized, Target, Tried


def size_curves(
    heater: str, found: Sequence[Sized], target: Target, winters: int, units: Units
) -> Figure:
    """A row a part: times up on the left, hours below setpoint on the right."""
    figure = style.new_figure(11.0, 1.0 + 3.1 * len(found))
    all_axes = figure.subplots(len(found), 2, squeeze=False)
    for row, one in zip(all_axes, found, strict=True):
        _curve(row[0], one, "wakeups", target.wakeups, "times up", units)
        _curve(row[1], one, "cold_h", target.cold_h, "hours below setpoint", units)
    of = "one winter" if winters == 1 else f"not exceeded in {target.winters(winters)} of {winters}"
    figure.suptitle(
        f"Times up and cold hours by size, {heater}: {of}", x=0.01, ha="left", fontsize=12,
        fontweight="bold", color=style.INK,
    )  # fmt: skip
    return figure


def _curve(axes: Axes, one: Sized, key: str, limit: float | None, word: str, units: Units) -> None:
    def at(tried: Tried) -> tuple[float, float]:
        return size_number(one.part, tried.size, units), float(getattr(tried, key))

    x, y = zip(*(at(tried) for tried in one.standard), strict=True)
    axes.plot(x, y, "-o", color=style.OUTSIDE, markersize=4)
    axes.plot(*at(one.now), "s", color=style.INK, markersize=7, label="now", fillstyle="none")
    if one.smallest is not None:
        text = f"smallest that keeps it, {size_text(one.part, one.smallest.size, units)}"
        axes.plot(*at(one.smallest), "*", color=style.INSIDE, markersize=13, label=text)
    if limit is not None:
        axes.axhline(limit, color=style.INK, linestyle="--", linewidth=1.0, label="target")
    axes.set_ylim(bottom=0.0)
    counted = one.part.key == COUNT
    unit = "" if counted else f", {SHOWN[one.part.name][1 if units.us else 3]}"
    axes.set_xlabel("how many" if counted else f"{one.part.name}{unit}")
    axes.set_ylabel(word)
    if counted:
        axes.set_xticks([float(size) for size in x])
    axes.legend(frameon=False, fontsize=8)
    style.plain(axes, "both")
