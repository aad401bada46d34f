"""A fit to a thermometer log: the air before and after, what is left, and the factors."""

from __future__ import annotations

from typing import TYPE_CHECKING

from greenhouse_sim.report.charts import style
from greenhouse_sim.report.fit_table import NAMES
from greenhouse_sim.report.words import Units

if TYPE_CHECKING:
    from matplotlib.axes import Axes
    from matplotlib.figure import Figure

    from greenhouse_sim.plans.fit import Fit

SHOWN_D = 10
"""Days that are shown closely: the coldest in a row."""


def before_and_after(found: Fit, units: Units) -> Figure:
    """The coldest days closely, measured and simulated; below, what is left over the whole log."""
    import numpy as np
    from matplotlib.dates import date2num

    times = date2num(found.model.weather.times())
    scale = 1.8 if units.us else 1.0
    read = np.asarray(found.model.log.indoor_C)
    figure = style.new_figure(10.0, 8.0)
    close, whole = figure.subplots(2, 1)
    window = min(SHOWN_D * 24, len(times))
    cold = np.convolve(found.model.drive.t_out, np.ones(window), mode="valid")
    own = slice(int(np.argmin(cold)), int(np.argmin(cold)) + window)
    for name, air, colour, dash in (
        ("outdoors", found.model.drive.t_out, style.OUTSIDE, ":"),
        ("simulated, tables", found.before_C, "#888888", "--"),
        ("simulated, fitted", found.after_C, style.INSIDE, "-"),
    ):
        close.plot(
            times[own], [units.degrees(t) for t in air[own]], color=colour, linestyle=dash,
            linewidth=1.5, label=name,
        )  # fmt: skip
    close.plot(
        times[own], [units.degrees(t) for t in read[own]], color=style.INK, linestyle="none",
        marker=".", markersize=4, label="measured",
    )  # fmt: skip
    close.set_ylabel(f"air, {units.degree}")
    style.titled(close, "Air measured and simulated, the coldest days")
    off = {"tables": read - found.before_C, "fitted": read - found.after_C}
    for (name, values), colour, dash in zip(
        off.items(), ("#888888", style.INSIDE), ("--", "-"), strict=True
    ):
        whole.plot(times, values * scale, color=colour, linestyle=dash, linewidth=0.9, label=name)
    doubted = found.counted & (found.solved.weight <= 0.0)
    whole.plot(
        times[doubted], off["fitted"][doubted] * scale, color=style.INK, linestyle="none",
        marker="x", markersize=5, label="did not count",
    )  # fmt: skip
    whole.axhline(0.0, color=style.INK, linewidth=0.8)
    whole.set_ylabel(f"measured less simulated, {units.degree}")
    style.titled(whole, "What the simulation misses")
    for axes, span in ((close, times[own]), (whole, times)):
        axes.set_xlim(span[0], span[-1])
        style.month_axis(axes)
        style.plain(axes)
        axes.legend(frameon=False, fontsize=9, ncols=4, loc="upper left")
        _headroom(axes)
    return figure


def _headroom(axes: Axes) -> None:
    """Room for the legend over the lines."""
    low, high = axes.get_ylim()
    axes.set_ylim(low, high + 0.15 * (high - low))


def by_hour(found: Fit, units: Units) -> Figure:
    """What is left by hour of the day, before and after."""
    import numpy as np

    scale = 1.8 if units.us else 1.0
    figure = style.new_figure(10.0, 4.4)
    axes = figure.subplots()
    hours = np.arange(24) + 0.5
    for name, air, colour, dash, mark in (
        ("tables", found.before_C, "#888888", "--", "s"),
        ("fitted", found.after_C, style.INSIDE, "-", "o"),
    ):
        axes.plot(
            hours, found.by_hour(air) * scale, color=colour, linestyle=dash, marker=mark,
            markersize=4, label=name,
        )  # fmt: skip
    axes.axhline(0.0, color=style.INK, linewidth=0.8)
    axes.set_xlim(0.0, 24.0)
    axes.set_xticks(range(0, 25, 3))
    axes.set_xlabel("hour of the day, standard time")
    axes.set_ylabel(f"measured less simulated, {units.degree}")
    style.plain(axes)
    axes.legend(frameon=False, fontsize=9)
    style.titled(axes, "What the simulation misses by hour of the day")
    return figure


def factors(found: Fit) -> Figure:
    """Each factor with its 95 % interval over what was believed before."""
    figure = style.new_figure(10.0, 0.6 * len(found.estimates) + 1.6)
    axes = figure.subplots()
    for row, one in enumerate(reversed(found.estimates)):
        axes.plot(
            [one.prior_low, one.prior_high], [row, row], color=style.PALE, linewidth=11,
            solid_capstyle="butt", label="believed before" if row == 0 else None,
        )  # fmt: skip
        axes.plot(
            [one.low, one.high], [row, row], color=style.INSIDE, linewidth=3,
            label="95 % interval by the log" if row == 0 else None,
        )  # fmt: skip
        axes.plot([one.value], [row], color=style.INK, marker="o", linestyle="none", markersize=6)
    axes.axvline(1.0, color=style.INK, linewidth=0.8, linestyle="--")
    axes.set_yticks(range(len(found.estimates)), [NAMES[o.name] for o in reversed(found.estimates)])
    axes.set_xscale("log")
    ticks = (0.4, 0.5, 0.7, 1.0, 1.4, 2.0, 2.5)
    axes.set_xticks(ticks, [f"{tick:g}" for tick in ticks])
    axes.minorticks_off()
    axes.set_xlabel("factor on the tables' value")
    axes.set_ylim(-0.6, len(found.estimates) - 0.4)
    style.plain(axes, "x")
    figure.legend(frameon=False, fontsize=9, loc="outside lower right", ncols=2)
    style.titled(axes, "What the log says of this greenhouse")
    return figure
