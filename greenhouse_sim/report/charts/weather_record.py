"""A weather record drawn: each day's temperatures and sun, with its gaps."""

from __future__ import annotations

from typing import TYPE_CHECKING

import numpy as np

from greenhouse_sim.report.charts import style
from greenhouse_sim.report.words import Units
from greenhouse_sim.units import BTU_J, FT_M

if TYPE_CHECKING:
    from matplotlib.axes import Axes
    from matplotlib.figure import Figure

    from greenhouse_sim.weather.examine import Findings

LONG_D = 800
"""Records longer than this, in days, are dated by years."""
SUN = "#e0a030"


def weather_record(found: Findings, units: Units) -> Figure:
    """Temperature and sun day by day, one panel each, gaps hatched."""
    from greenhouse_sim.weather.examine import known

    record = found.record
    figure = style.new_figure(11.0, 6.4)
    upper, lower = figure.subplots(2, 1, sharex=True, height_ratios=(3, 1.4))
    dates, first = np.unique(record.times().astype("datetime64[D]"), return_index=True)
    good = known(record)
    hours = np.add.reduceat(good.astype(float), first)
    gone = hours < 24.0

    def by_day(values: np.ndarray, how: np.ufunc) -> np.ndarray:
        return np.where(gone, np.nan, how.reduceat(values, first))

    degrees = np.array([units.degrees(t) for t in record.t_out_C])
    low, high = by_day(degrees, np.minimum), by_day(degrees, np.maximum)
    mean = by_day(degrees, np.add) / 24.0
    thin = 0.9 if len(dates) <= LONG_D else 0.5
    noon = dates + np.timedelta64(12, "h")
    upper.fill_between(noon, low, high, color=style.OUTSIDE, alpha=0.35, linewidth=0, step="mid",
                       label="low to high of the day")  # fmt: skip
    upper.plot(noon, mean, color=style.OUTSIDE, linewidth=thin, label="mean of the day")
    _lines(upper, found, units)
    upper.set_ylabel(f"outdoor temperature, {units.degree}")
    light = by_day(record.ghi_W, np.add)
    per = 3600.0 / BTU_J * FT_M * FT_M if units.us else 1.0e-3
    lower.bar(noon, light * per, width=1.0, color=SUN, linewidth=0)
    lower.set_ylabel("sun a day, " + ("Btu/ft²" if units.us else "kWh/m²"))
    for axes in (upper, lower):
        _gaps(axes, found)
        style.plain(axes, "both")
    upper.set_xlim(dates[0], dates[-1] + np.timedelta64(1, "D"))
    _dates(lower, len(dates))
    style.titled(upper, f"Weather record of {record.site}")
    figure.legend(loc="outside lower center", ncols=5, frameon=False, fontsize=9)
    return figure


def _lines(axes: Axes, found: Findings, units: Units) -> None:
    """Freezing, and the temperature that 99 % of hours exceed."""
    axes.axhline(units.degrees(0.0), color=style.SETPOINT, linewidth=0.8, linestyle=(0, (5, 2)),
                 label="freezing")  # fmt: skip
    if found.design_99_C is not None:
        text = units.temperature(found.design_99_C)
        axes.axhline(units.degrees(found.design_99_C), color=style.DAMAGE, linewidth=1.3,
                     linestyle=":", label=f"99 % of hours are above {text}")  # fmt: skip


def _gaps(axes: Axes, found: Findings) -> None:
    times = found.record.times()
    for at, gap in enumerate(found.record.gaps):
        label = "gap" if at == 0 and axes.get_subplotspec().rowspan.start == 0 else None  # type: ignore[union-attr]
        axes.axvspan(times[gap.first], times[gap.stop - 1], facecolor="none", hatch="////",
                     edgecolor=style.INSIDE, linewidth=0.6, label=label)  # fmt: skip


def _dates(axes: Axes, days: int) -> None:
    if days <= LONG_D:
        style.month_axis(axes)
        return
    from matplotlib.dates import AutoDateLocator, ConciseDateFormatter

    locator = AutoDateLocator(maxticks=14)
    axes.xaxis.set_major_locator(locator)
    axes.xaxis.set_major_formatter(ConciseDateFormatter(locator))
