"""A winter reviewed: plan against journal by month, and the bridge of causes."""

from __future__ import annotations

import calendar
from typing import TYPE_CHECKING

from greenhouse_sim.report.charts import style
from greenhouse_sim.report.review_table import CAUSES, fuel_text, measure_of, signed
from greenhouse_sim.report.words import Units

if TYPE_CHECKING:
    from matplotlib.axes import Axes
    from matplotlib.figure import Figure

    from greenhouse_sim.plans.review import Review

BAR = 0.27
Look = tuple[str, str]
"""Colour and hatch."""
PLAN, JOURNAL = (style.SEVERAL[0], ""), (style.SEVERAL[2], "...")
MORE, LESS, REST = (style.FIRE, ""), (style.BACKUP, "xxx"), (style.SEVERAL[5], "\\\\\\")


def review_picture(found: Review, units: Units) -> Figure:
    """Two panels: fuel by month, and the way from the plan's fuel to the journal's."""
    figure = style.new_figure(12.0, 5.2)
    months, causes = figure.subplots(1, 2, width_ratios=[1.15, 1.0])
    _months(months, found, units)
    _bridge(causes, found, units)
    return figure


def _months(axes: Axes, found: Review, units: Units) -> None:
    unit = measure_of(found, units)
    names = [calendar.month_abbr[int(month[5:])] for month in found.noted.span.months]
    shown = {"plan": found.plan, "as it was": found.was, "journal": found.noted.months}
    for number, (name, one) in enumerate(shown.items()):
        places = [place + BAR * (number - 1) for place in range(len(names))]
        axes.bar(
            places, one.fuel * unit.per_kg, BAR, label=name, color=style.SEVERAL[number],
            hatch=style.HATCHES[number], edgecolor="white", linewidth=0.6,
        )  # fmt: skip
    axes.set_xticks(range(len(names)), names)
    axes.set_ylabel(f"{found.fuel.name} burnt, {unit.unit}")
    style.plain(axes)
    axes.legend(frameon=False, fontsize=9)
    style.titled(axes, f"By month, winter {found.noted.span.winter}")


def _bridge(axes: Axes, found: Review, units: Units) -> None:
    unit = measure_of(found, units)
    fuel = found.bridges["fuel"]
    steps = [(CAUSES[one.name], one.mean) for one in fuel.causes] + [("not explained", fuel.rest)]
    names, level = ["plan"], fuel.plan
    _bar(axes, 0, 0.0, unit.of(level), PLAN, fuel_text(unit.of(level)))
    for place, (name, adds) in enumerate(steps, start=1):
        rest = name == "not explained"
        look = REST if rest else MORE if adds > 0.0 else LESS
        _bar(axes, place, unit.of(level), unit.of(level + adds), look, signed(unit.of(adds)))
        level += adds
        names.append(name)
    _bar(axes, len(names), 0.0, unit.of(level), JOURNAL, fuel_text(unit.of(level)))
    axes.set_yticks(range(len(names) + 1), [*names, "journal"])
    axes.invert_yaxis()
    axes.set_xlim(0.0, axes.get_xlim()[1] * 1.12)
    axes.set_xlabel(unit.unit)
    axes.tick_params(axis="y", length=0)
    style.plain(axes, "x")
    style.titled(axes, "What the difference is due to")


def _bar(axes: Axes, place: int, start: float, stop: float, look: Look, text: str) -> None:
    colour, hatch = look
    axes.barh(
        place, stop - start, 0.62, left=start, color=colour, hatch=hatch, edgecolor="white",
        linewidth=0.6,
    )  # fmt: skip
    axes.annotate(
        text, (max(start, stop), place), xytext=(4, 0), textcoords="offset points", va="center",
        fontsize=9, color=style.INK,
    )  # fmt: skip
