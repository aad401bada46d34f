"""Date by length of absence: the share of winters in which it goes well."""

from __future__ import annotations

from typing import TYPE_CHECKING

from greenhouse_sim.plans.absence_sums import chances
from greenhouse_sim.report.charts import style
from greenhouse_sim.report.charts.away_calendar import months_of
from greenhouse_sim.report.words import counted

if TYPE_CHECKING:
    from matplotlib.figure import Figure

    from greenhouse_sim.plans.absence import Absence


def away_chance(found: Absence) -> Figure:
    """A column an evening, a row a length in days: dark where it seldom goes well."""
    import numpy as np
    from matplotlib.dates import date2num

    shares = chances(found.own)
    figure = style.new_figure(11.0, 5.0)
    axes = figure.subplots()
    days = date2num(list(found.evenings.days))
    lengths = len(shares)
    axes.set_facecolor(style.PALE)
    drawn = axes.pcolormesh(
        np.append(days, days[-1] + 1.0), np.arange(lengths + 1) + 0.5, 100.0 * shares,
        cmap="inferno", vmin=0.0, vmax=100.0, rasterized=True,
    )  # fmt: skip
    axes.set_xlim(days[0], days[-1] + 1.0)
    axes.set_yticks([1, 2, 3, 5, 7, 10, 14])
    axes.set_ylabel("days away")
    axes.set_xlabel("evening on which the grower leaves (grey: the season ends before the return)")
    months_of(axes)
    bar = figure.colorbar(drawn, ax=axes)
    bar.set_label("winters in which the crop is unhurt, %")
    many = counted(len(found.winters), "winter")
    style.titled(axes, f"The chance of a safe absence, {found.heater}, {many}")
    return figure
