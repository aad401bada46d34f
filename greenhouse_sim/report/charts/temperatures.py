"""The season's temperatures: inside, outside, what was wanted, what hurts."""

from __future__ import annotations

from typing import TYPE_CHECKING

from greenhouse_sim.drive.rest import NO_HEAT_C
from greenhouse_sim.report.charts import style
from greenhouse_sim.report.hours import DAY, Hours, by_day, days_of, hours
from greenhouse_sim.report.words import Units

if TYPE_CHECKING:
    from matplotlib.axes import Axes
    from matplotlib.figure import Figure

    from greenhouse_sim.season.run import Season

SHOWN = ("out_C", "setpoint_C", "air_C")
"""Of the hours of a winter, what its picture shows."""


def season_temperatures(
    season: Season, damage_C: float, units: Units, seen: Hours | None = None
) -> Figure:
    """Each day's low to high inside as a band, outside lows and highs, setpoints, damage line.

    Parameters
    ----------
    season
        With its hourly trace.
    damage_C
        The crop's damage temperature.
    units
        The reader's units.
    seen
        The hours that are shown, where the season itself has none any more.
    """
    import numpy as np

    figure = style.new_figure(11.0, 5.6)
    axes = figure.subplots()
    seen = seen or hours(season, *SHOWN)
    dates, firsts = days_of(seen.times)
    out, wanted, air = (by_day(units.degrees(seen[name]), firsts) for name in SHOWN)
    noon = dates + DAY // 2 if len(dates) > 1 else dates
    axes.fill_between(
        noon, out.low, out.high, color=style.OUTSIDE, alpha=0.22, linewidth=0,
        label="outside, low to high of the day",
    )  # fmt: skip
    axes.plot(noon, out.mean, color=style.OUTSIDE, linewidth=1.0, linestyle="--",
              label="outside, mean of the day")  # fmt: skip
    axes.fill_between(
        noon, air.low, air.high, color=style.INSIDE, alpha=0.30, linewidth=0,
        label="inside, low to high of the day",
    )  # fmt: skip
    axes.plot(noon, air.low, color=style.INSIDE, linewidth=1.3, label="inside, low of the day")
    night = np.where(wanted.low > units.degrees(NO_HEAT_C), wanted.low, np.nan)
    axes.plot(noon, night, color=style.SETPOINT, linewidth=1.2, linestyle=(0, (5, 2)),
              label="setpoint by night")  # fmt: skip
    hurts = units.degrees(damage_C)
    axes.axhline(hurts, color=style.DAMAGE, linewidth=1.3, linestyle=":",
                 label=f"crop damage under {units.temperature(damage_C)}")  # fmt: skip
    _damage_marks(axes, seen, damage_C)
    axes.set_xlim(seen.when(0), seen.when(-1))
    axes.set_ylabel(f"temperature, {units.degree}")
    style.month_axis(axes)
    style.plain(axes, "both")
    style.titled(axes, f"Inside and outside temperature, {style.subject(season)}")
    figure.legend(loc="outside lower center", ncols=3, frameon=False, fontsize=9)
    return figure


def _damage_marks(axes: Axes, seen: Hours, damage_C: float) -> None:
    """A strip at the foot: black where the air was under the damage temperature."""
    hurt = seen.times[seen["air_C"] < damage_C]
    if not len(hurt):
        return
    low, high = axes.get_ylim()
    axes.set_ylim(low - 0.07 * (high - low), high)
    axes.vlines(
        hurt, 0.0, 0.03, transform=axes.get_xaxis_transform(), color="black", linewidth=0.7,
        label=f"{len(hurt)} hours of crop damage (marks at the foot)",
    )  # fmt: skip
