"""Fuel and cold hours against the day on which heating starts or stops."""

from __future__ import annotations

from collections.abc import Sequence
from datetime import date
from typing import TYPE_CHECKING

from greenhouse_sim.plans.dates import REST, START, STOP, Dated
from greenhouse_sim.report.charts import style
from greenhouse_sim.report.dates_table import Amount, choice_words
from greenhouse_sim.report.spread import spread

if TYPE_CHECKING:
    from matplotlib.axes import Axes
    from matplotlib.figure import Figure

    from greenhouse_sim.scenario import Scenario


def date_curves(found: Sequence[Dated], scenario: Scenario, amount: Amount) -> Figure:
    """Fuel on top, times up and hours below setpoint under it; starts left, stops right."""
    figure = style.new_figure(11.0, 6.8)
    axes = figure.subplots(2, 2, sharex="col", sharey="row")
    site = scenario.site
    for column, group, day in ((0, START, site.season_start), (1, STOP, site.season_end)):
        some = [one for one in found if one.choice.group == group]
        if group == START:
            days = [day, *(one.choice.first for one in some if one.choice.first)]
        else:
            days = [day, *(one.choice.last for one in some if one.choice.last)]
        at = [_in_one_winter(one, site.season_start) for one in days]
        _fuel(axes[0][column], at, [found[0], *some], amount)
        _cold(axes[1][column], at, [found[0], *some])
        axes[1][column].set_xlabel("heating starts on" if group == START else "last day of heating")
    for one in found:
        if one.choice.group == REST:
            level = spread(amount.of(one)).median
            for top in axes[0]:
                top.axhline(level, color=style.INK, linewidth=1.0, linestyle=":")
            text = f"rest, {choice_words(one.choice, amount.units)}"
            axes[0][0].annotate(
                text, (0.02, level), xycoords=("axes fraction", "data"), xytext=(0, 3),
                textcoords="offset points", fontsize=8, color=style.INK,
            )  # fmt: skip
    axes[0][0].set_ylim(bottom=0.0)
    axes[1][0].set_ylim(bottom=0.0)
    axes[0][0].set_ylabel(amount.unit)
    axes[1][0].set_ylabel("hours, times")
    axes[1][1].legend(frameon=False, fontsize=9)
    style.titled(axes[0][0], f"What other season dates save and cost, {scenario.heater.kind}")
    return figure


def _in_one_winter(day: tuple[int, int], start: tuple[int, int]) -> date:
    return date(2026 if day >= start else 2027, *day)


def _fuel(axes: Axes, at: Sequence[date], some: Sequence[Dated], amount: Amount) -> None:
    told = [spread(amount.of(one)) for one in some]
    days, low, high, middle = _sorted(
        at, [s.low for s in told], [s.high for s in told], [s.median for s in told]
    )
    axes.fill_between(days, low, high, color=style.PALE)
    axes.plot(days, middle, "-o", color=style.INSIDE, markersize=4)
    style.plain(axes, "both")


def _cold(axes: Axes, at: Sequence[date], some: Sequence[Dated]) -> None:
    from matplotlib.dates import DateFormatter

    cold = [spread([float(h) for h in one.cold_h]).median for one in some]
    ups = [spread([float(n) for n in one.wakeups]).median for one in some]
    days, cold, ups = _sorted(at, cold, ups)
    axes.plot(days, cold, "-o", color=style.OUTSIDE, markersize=4, label="hours below setpoint")
    axes.plot(days, ups, "--s", color="#6d4a8f", markersize=4, label="times up at night")
    axes.set_xticks(days)
    axes.xaxis.set_major_formatter(DateFormatter("%-d %b"))
    style.plain(axes, "both")


def _sorted(at: Sequence[date], *values: Sequence[float]) -> list[list]:
    """Days in order, and each list of values in the same order."""
    order = sorted(range(len(at)), key=lambda n: at[n])
    return [[column[n] for n in order] for column in (at, *values)]
