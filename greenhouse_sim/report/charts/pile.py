"""The pile through the winter: what is left of it, and what must be left."""

from __future__ import annotations

from typing import TYPE_CHECKING

from greenhouse_sim.report.charts import style
from greenhouse_sim.report.woodpile_table import day_text, unit_of
from greenhouse_sim.report.words import Units, few

if TYPE_CHECKING:
    from matplotlib.axes import Axes
    from matplotlib.figure import Figure

    from greenhouse_sim.plans.woodpile import Woodpile


def pile_left(found: Woodpile, units: Units) -> Figure | None:
    """The pile that covers 90 % of winters, burnt down by all of them; None without a pile.

    The band holds 10 to 90 % of the winters; the dashed line is what must be left for the rest
    to last in 90 % of them.
    """
    import numpy as np
    from matplotlib.dates import date2num

    if not found.ready:
        return None
    unit = unit_of(found, units)
    many = len(found.seasons)
    main = next((one for one in found.ready if one.cover.share == 0.9), found.ready[-1])
    full = unit.of(main.cover.amount)
    days = date2num(list(found.used.days))
    spent = np.cumsum(found.used.kg, axis=1) * unit.per_kg
    left = np.maximum(full - spent, 0.0)
    figure = style.new_figure(10.0, 5.6)
    axes = figure.subplots()
    if many > 1:
        low, middle, high = np.percentile(left, [10.0, 50.0, 90.0], axis=0)
        axes.fill_between(days, low, high, color=style.PALE, label="10 to 90 % of winters")
        axes.plot(days, low, color="#888888", linewidth=0.7)
        axes.plot(days, high, color="#888888", linewidth=0.7)
    else:
        middle = left[0]
    name = "left, middle winter" if many > 1 else f"left, winter {found.seasons[0].winter}"
    axes.plot(days, middle, color=style.INSIDE, linewidth=2.2, label=name)
    if many > 1:
        must = main.guide_kg[:-1] * unit.per_kg
        text = "must be left to last in 90 % of winters"
        axes.plot(days, must, color=style.OUTSIDE, linestyle="--", linewidth=1.6, label=text)
    axes.axhline(0.5 * full, color=style.INK, linestyle=":", linewidth=1.2)
    axes.annotate(
        f"half, {few(0.5 * full)} {unit.unit}", (days[0], 0.5 * full), xytext=(4, 4),
        textcoords="offset points", fontsize=9, color=style.INK,
    )  # fmt: skip
    marks = [(main.half, f"half still there\n{day_text(main.half)}")]
    if found.rule is not None:
        marks.append((found.rule.day, f"midwinter rule\n{day_text(found.rule.day)}"))
    marks.sort()
    for number, (when, said) in enumerate(marks):
        at = float(date2num(when))
        right = number > 0
        axes.axvline(at, color=style.INK, linewidth=0.8, linestyle="-.")
        axes.annotate(
            said, (at, 0.96 * full), xytext=(5 if right else -5, 0), textcoords="offset points",
            fontsize=9, color=style.INK, va="center", ha="left" if right else "right",
            bbox={"facecolor": "white", "edgecolor": "none", "pad": 1.0},
        )  # fmt: skip
    axes.set_xlim(days[0], days[-1])
    axes.set_ylim(0.0, 1.06 * full)
    axes.set_ylabel(f"{found.fuel.name}, {unit.unit}")
    if many > 1:
        _months(axes)
    else:
        style.month_axis(axes)
    style.plain(axes)
    axes.legend(frameon=False, fontsize=9, loc="lower left")
    style.titled(axes, f"The pile through the winter, {found.heater}: {few(full)} {unit.unit}")
    return figure


def _months(axes: Axes) -> None:
    """Dates of no year: many winters lie over each other."""
    from matplotlib.dates import DateFormatter, MonthLocator

    axes.xaxis.set_major_locator(MonthLocator())
    axes.xaxis.set_major_formatter(DateFormatter("1 %b"))
