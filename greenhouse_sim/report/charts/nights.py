"""Nights of many winters: a calendar of visits, and what getting up is worth."""

from __future__ import annotations

from collections.abc import Sequence
from datetime import date
from typing import TYPE_CHECKING

from greenhouse_sim.report.charts import style
from greenhouse_sim.report.nights_table import over_winters, rule_words
from greenhouse_sim.report.words import Units, winter_words

if TYPE_CHECKING:
    import numpy as np
    from matplotlib.axes import Axes
    from matplotlib.figure import Figure

    from greenhouse_sim.plans.night_log import Night
    from greenhouse_sim.plans.nights import Nights

CALM, COLD, ONCE, MORE = 0.0, 1.0, 2.0, 3.0
SHADES = ("white", "#c9cfda", "#8d6aa8", "#2b0845")
WORDS = ("asleep and warm", "asleep, below setpoint", "up once", "up more than once")


def night_calendar(found: Nights, units: Units) -> Figure:
    """A column a date, a row a winter: darker the more often somebody got up."""
    from matplotlib.colors import ListedColormap
    from matplotlib.dates import date2num
    from matplotlib.patches import Patch

    days, cells = calendar_cells(found.log, found.winters)
    many = len(found.winters)
    figure = style.new_figure(11.0, 2.2 + 0.26 * many)
    axes = figure.subplots()
    first = date2num(days[0])
    axes.pcolormesh(
        [first + n for n in range(len(days) + 1)], range(many + 1), cells,
        cmap=ListedColormap(list(SHADES)), vmin=-0.5, vmax=3.5, edgecolors="#f2f2f2",
        linewidth=0.3,
    )  # fmt: skip
    axes.set_xlim(first, first + len(days))
    axes.set_ylim(many, 0)
    axes.set_yticks([n + 0.5 for n in range(many)], [winter_words(w) for w in found.winters],
                    fontsize=9 if many < 15 else 7)  # fmt: skip
    axes.tick_params(axis="y", length=0)
    dated(axes)
    axes.set_xlabel("evening on which the night begins")
    alarm = rule_words(found.of(found.heater)[1].rule, units)
    style.titled(axes, f"Nights on which somebody got up, {found.heater}, {alarm}")
    figure.legend(
        handles=[
            Patch(facecolor=shade, edgecolor="#999999", label=word)
            for shade, word in zip(SHADES, WORDS, strict=True)
        ],
        loc="outside lower center", ncols=4, frameon=False, fontsize=9,
    )  # fmt: skip
    for side in ("top", "right"):
        axes.spines[side].set_visible(False)
    return figure


def calendar_cells(log: Sequence[Night], winters: Sequence[str]) -> tuple[list[date], np.ndarray]:
    """Days of a winter without their year, and a state for each winter and day.

    The season's first day decides the order; 29 February has a place of its own.
    """
    import numpy as np

    first: dict[str, date] = {}
    for night in log:
        first.setdefault(night.winter, night.evening)
    begins = min(first.values(), key=lambda day: (day.month, day.day))
    leap = date(2027 if begins.month > 2 else 2028, begins.month, begins.day)
    place = {night: _offset(night.evening, leap) for night in log}
    days = [date.fromordinal(leap.toordinal() + n) for n in range(max(place.values()) + 1)]
    cells = np.zeros((len(winters), len(days)))
    row = {winter: number for number, winter in enumerate(winters)}
    for night, column in place.items():
        cells[row[night.winter], column] = state(night)
    return days, cells


def _offset(day: date, begins: date) -> int:
    """Days from ``begins`` to this month and day after it."""
    for year in (begins.year, begins.year + 1):
        try:
            moved = day.replace(year=year)
        except ValueError:  # 29 February of a year without one
            continue
        if moved >= begins:
            return (moved - begins).days
    return 0


def state(night: Night) -> float:
    """How a night is drawn."""
    if night.times_up > 1:
        return MORE
    if night.times_up == 1:
        return ONCE
    return COLD if night.cold_h > 0 else CALM


def dated(axes: Axes) -> None:
    """Dates of no year: many winters lie over each other."""
    from matplotlib.dates import DateFormatter, MonthLocator

    axes.xaxis_date()
    axes.xaxis.set_major_locator(MonthLocator())
    axes.xaxis.set_major_formatter(DateFormatter("1 %b"))


def night_trade(found: Nights, units: Units) -> Figure:
    """Times up against hours below setpoint: a point a rule, the middle winter."""
    figure = style.new_figure(9.0, 5.0)
    axes = figure.subplots()
    points: dict[tuple[float, float], list[str]] = {}
    for one in found.of(found.heater):
        up = over_winters(one, "night_wakeups")
        cold = over_winters(one, "hours_below_setpoint")
        axes.hlines(cold.median, up.low, up.high, color="#999999", linewidth=1.0)
        axes.vlines(up.median, cold.low, cold.high, color="#999999", linewidth=1.0)
        axes.plot(up.median, cold.median, "o", color=style.INSIDE, markersize=7)
        points.setdefault((up.median, cold.median), []).append(rule_words(one.rule, units))
    for number, ((x, y), names) in enumerate(sorted(points.items())):
        axes.annotate(
            ", ".join(names), (x, y), xytext=(7, 7 if number % 2 else -14),
            textcoords="offset points", fontsize=9, color=style.INK,
            bbox={"facecolor": "white", "edgecolor": "none", "pad": 0.8, "alpha": 0.85},
        )  # fmt: skip
    axes.set_xlim(left=0.0)
    axes.set_ylim(bottom=0.0)
    axes.margins(x=0.15, y=0.1)
    axes.set_xlabel("times up at night in a winter")
    axes.set_ylabel("hours below setpoint in a winter")
    style.plain(axes, "both")
    many = len(found.winters)
    of = f"the middle of {many} winters, lines 10 to 90 %" if many > 1 else "one winter"
    style.titled(axes, f"What getting up is worth, {found.heater}: {of}")
    return figure
