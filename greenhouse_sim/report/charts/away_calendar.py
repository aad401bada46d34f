"""Date by winter: how long the crop goes unhurt if nobody comes from that evening on."""

from __future__ import annotations

from typing import TYPE_CHECKING

from greenhouse_sim.plans.absence_sums import safe_hours
from greenhouse_sim.report.charts import style
from greenhouse_sim.report.words import winter_words

if TYPE_CHECKING:
    from matplotlib.axes import Axes
    from matplotlib.figure import Figure

    from greenhouse_sim.plans.absence import Absence

EDGES_H = (0.0, 12.0, 24.0, 48.0, 168.0, 336.0)
NAMES = (
    "under 12 h", "12 to 24 h", "1 to 2 days", "2 to 7 days", "7 to 14 days",
    "14 days, or to the season's end",
)  # fmt: skip
SHADES = ("#3b0f5c", "#8c2981", "#de4968", "#fe9f6d", "#fde3c0", "white")
"""Dark is soon: in order of lightness, so that black and white tells them apart."""
MOST_NAMES = 12


def away_calendar(found: Absence) -> Figure:
    """A column an evening, a row a winter: dark where the crop is soon hurt."""
    import numpy as np
    from matplotlib.colors import ListedColormap
    from matplotlib.dates import date2num
    from matplotlib.patches import Patch

    own = found.own
    cells = np.digitize(safe_hours(own), EDGES_H) - 1.0
    cells[np.isinf(own.hurt_h)] = len(EDGES_H) - 1.0
    cells[np.isnan(own.hurt_h)] = np.nan
    many = len(found.winters)
    figure = style.new_figure(11.0, min(3.0 + 0.22 * many, 9.0))
    axes = figure.subplots()
    days = date2num(list(found.evenings.days))
    axes.pcolormesh(
        np.append(days, days[-1] + 1.0), np.arange(many + 1), cells,
        cmap=ListedColormap(list(SHADES)), vmin=-0.5, vmax=len(SHADES) - 0.5, rasterized=True,
    )  # fmt: skip
    axes.set_xlim(days[0], days[-1] + 1.0)
    axes.set_ylim(many, 0)
    _winters(axes, [winter_words(winter.weather.name) for winter in found.winters])
    months_of(axes)
    axes.set_xlabel("evening on which the grower leaves")
    style.titled(axes, f"Nobody comes: how long until the crop is hurt, {found.heater}")
    figure.legend(
        handles=[
            Patch(facecolor=shade, edgecolor="#999999", label=name)
            for shade, name in zip(SHADES, NAMES, strict=True)
        ],
        loc="outside lower center", ncols=6, frameon=False, fontsize=9,
    )  # fmt: skip
    for side in ("top", "right"):
        axes.spines[side].set_visible(False)
    return figure


def _winters(axes: Axes, names: list[str]) -> None:
    step = max(1, -(-len(names) // MOST_NAMES))
    places = list(range(0, len(names), step))
    axes.set_yticks([place + 0.5 for place in places], [names[place] for place in places])
    axes.tick_params(axis="y", length=0)


def months_of(axes: Axes) -> None:
    """Dates of no year, by the month (by days in a short season)."""
    from matplotlib.dates import DayLocator, MonthLocator, num2date
    from matplotlib.ticker import FuncFormatter

    first, last = axes.get_xlim()
    if last - first < style.SHORT_D:
        axes.xaxis.set_major_locator(DayLocator(interval=max(1, round((last - first) / 8.0))))
    else:
        axes.xaxis.set_major_locator(MonthLocator())
    axes.xaxis.set_major_formatter(
        FuncFormatter(lambda value, _: f"{num2date(value).day} {num2date(value):%b}")
    )
