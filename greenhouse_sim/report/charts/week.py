"""The worst week, hour by hour, with every load and every time up."""

from __future__ import annotations

from collections.abc import Iterator
from datetime import datetime, time, timedelta
from typing import TYPE_CHECKING, Any

from greenhouse_sim.report.charts import style
from greenhouse_sim.report.hours import Hours, hours
from greenhouse_sim.report.words import Units, day

if TYPE_CHECKING:
    from matplotlib.axes import Axes
    from matplotlib.figure import Figure

    from greenhouse_sim.season.run import Season

WEEK_H = 168
SHOWN = (
    "out_C", "setpoint_C", "air_C", "heater_W", "backup_W", "loaded_kg", "woken",
)  # fmt: skip
"""Of the hours of the week, what its picture shows."""


def worst_week(trace: Hours) -> Hours:
    """The seven days furthest below setpoint; where none is, the coldest outside.

    They begin at midnight. A season shorter than a week is given whole.
    """
    import numpy as np

    short = np.clip(trace["setpoint_C"] - trace["air_C"] - 0.5, 0.0, None)
    badness = short if short.sum() > 0.0 else -trace["out_C"]
    midnights = np.flatnonzero(trace.times.astype("datetime64[h]").astype(int) % 24 == 0)
    starts = midnights[midnights + WEEK_H <= len(trace.times)]
    if not len(starts):
        return trace
    total = np.concatenate([[0.0], np.cumsum(badness)])
    start = int(starts[np.argmax(total[starts + WEEK_H] - total[starts])])
    return trace.part(start, start + WEEK_H)


def worst_week_picture(season: Season, routine: Any, damage_C: float, units: Units) -> Figure:
    """Temperatures above, the heater's output below, loads and times up as marks.

    Parameters
    ----------
    season
        With its hourly trace.
    routine
        The scenario's routine, for the hours of sleep.
    damage_C
        The crop's damage temperature.
    units
        The reader's units.
    """
    week = worst_week(hours(season, *SHOWN))
    figure = style.new_figure(11.0, 7.0)
    top, bottom = figure.subplots(2, 1, sharex=True, height_ratios=[3, 2])
    for axes in (top, bottom):
        _nights(axes, week, routine)
    _temperatures(top, week, damage_C, units)
    _marks(top, week)
    _output(bottom, week, units)
    _dates(bottom, week)
    first, last = week.when(0), week.when(-1)
    style.titled(
        top, f"The worst week, {day(first)} to {day(last)} {last.year}, {style.subject(season)}"
    )
    figure.legend(loc="outside lower center", ncols=4, frameon=False, fontsize=9)
    return figure


def _temperatures(axes: Axes, week: Hours, damage_C: float, units: Units) -> None:
    out, wanted, air = (units.degrees(week[name]) for name in ("out_C", "setpoint_C", "air_C"))
    axes.plot(week.times, air, color=style.INSIDE, linewidth=2.0, label="inside")
    axes.plot(week.times, out, color=style.OUTSIDE, linewidth=1.4, linestyle="--",
              label="outside")  # fmt: skip
    axes.step(week.times, wanted, where="post", color=style.SETPOINT,
              linewidth=1.1, linestyle=(0, (5, 2)), label="setpoint")  # fmt: skip
    axes.axhline(units.degrees(damage_C), color=style.DAMAGE, linewidth=1.3, linestyle=":",
                 label=f"crop damage under {units.temperature(damage_C)}")  # fmt: skip
    axes.set_ylabel(f"temperature, {units.degree}")
    style.plain(axes)


def _marks(axes: Axes, week: Hours) -> None:
    """Loads and times up in two rows at the foot."""
    low, high = axes.get_ylim()
    axes.set_ylim(low - 0.16 * (high - low), high)
    across = axes.get_xaxis_transform()
    loads = week.times[week["loaded_kg"] > 0.0]
    woken = week.times[week["woken"] > 0.5]
    if len(loads):
        axes.plot(loads, [0.03] * len(loads), "^", color=style.INK, markersize=5, transform=across,
                  label=f"fuel put in ({len(loads)} hours)", linestyle="none")  # fmt: skip
    if len(woken):
        axes.plot(woken, [0.09] * len(woken), "o", markerfacecolor="white", markersize=7,
                  markeredgecolor=style.DAMAGE, markeredgewidth=2.0, transform=across,
                  label=f"up at night ({int(week['woken'].sum())} times)",
                  linestyle="none")  # fmt: skip


def _output(axes: Axes, week: Hours, units: Units) -> None:
    import numpy as np

    heater = units.power(week["heater_W"])
    backup = units.power(week["backup_W"])
    axes.fill_between(week.times, 0.0, heater, step="post", color=style.FIRE, linewidth=0,
                      label="heat of the heater")  # fmt: skip
    if np.any(backup > 0.0):
        axes.fill_between(week.times, heater, heater + backup, step="post", facecolor=style.BACKUP,
                          hatch="///", edgecolor="white", linewidth=0.0,
                          label="heat of the back-up")  # fmt: skip
    axes.set_ylim(bottom=0.0)
    axes.set_ylabel(f"heat, {units.power_word}")
    style.plain(axes)


def _dates(axes: Axes, week: Hours) -> None:
    from matplotlib.dates import DateFormatter, DayLocator, HourLocator

    axes.set_xlim(week.when(0), week.when(-1))
    axes.xaxis.set_major_locator(DayLocator())
    axes.xaxis.set_major_formatter(DateFormatter("%a %d %b"))
    axes.xaxis.set_minor_locator(HourLocator(byhour=(6, 12, 18)))
    for label in axes.get_xticklabels():
        label.set_horizontalalignment("left")


def _nights(axes: Axes, week: Hours, routine: Any) -> None:
    first = True
    for start, end in sleeping(week, routine):
        axes.axvspan(start, end, color=style.NIGHT, linewidth=0, zorder=0,
                     label="asleep" if first and axes.get_subplotspec().is_first_row() else None)  # type: ignore[union-attr]  # fmt: skip
        first = False


def sleeping(week: Hours, routine: Any) -> Iterator[tuple[Any, Any]]:
    """From bed to getting up, night by night, within the week."""
    first, last = week.when(0), week.when(-1)
    midnight = datetime.combine(first, time()) - timedelta(days=1)
    while midnight <= last:
        weekend = midnight.weekday() >= 5
        bed = routine.bed_weekend if weekend else routine.bed_weekday
        following = (midnight.weekday() + 1) % 7 >= 5
        up = routine.up_weekend if following else routine.up_weekday
        start = midnight + timedelta(hours=bed + 24.0 if bed < 12.0 else bed)
        end = midnight + timedelta(hours=up + 24.0 if up < 18.0 else up)
        start, end = max(start, first), min(end, last)
        if start < end:
            yield start, end
        midnight += timedelta(days=1)
