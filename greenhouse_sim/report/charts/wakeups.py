"""Nights of a season, hour by hour: when somebody got up, and when it was cold."""

from __future__ import annotations

from typing import TYPE_CHECKING

from greenhouse_sim.report.charts import style
from greenhouse_sim.report.words import counted

if TYPE_CHECKING:
    import numpy as np
    import pandas as pd
    from matplotlib.axes import Axes
    from matplotlib.figure import Figure

    from greenhouse_sim.season.run import Season

NIGHT = (18, 15)
"""First hour and length of the night as it is drawn: from 18:00 to 09:00."""
ALL_DAY = (12, 24)
"""The same for somebody who sleeps by day: from noon to noon."""
WARM, COLD, UP = 0.0, 1.0, 2.0


def wakeup_picture(season: Season) -> Figure:
    """A column a night, a row an hour: dark where somebody got up, pale where it was cold."""
    from matplotlib.colors import ListedColormap
    from matplotlib.dates import date2num
    from matplotlib.patches import Patch

    first_h, hours = span = drawn_hours(season.trace)
    evenings, cells = night_cells(season.trace, span)
    figure = style.new_figure(11.0, 4.6)
    axes = figure.subplots()
    first, last = date2num(evenings[0]), date2num(evenings[-1]) + 1.0
    shades = ListedColormap(["white", style.PALE, "#3b0f5c"])
    axes.pcolormesh(
        [first + n for n in range(len(evenings) + 1)], range(hours + 1), cells,
        cmap=shades, vmin=-0.5, vmax=2.5, rasterized=True,
    )  # fmt: skip
    axes.set_xlim(first, last)
    axes.set_ylim(hours, 0)
    axes.xaxis_date()
    style.month_axis(axes)
    marks = range(0, hours + 1, 3)
    axes.set_yticks(list(marks), [f"{(first_h + m) % 24:02d}:00" for m in marks])
    axes.set_ylabel("hour of the night")
    axes.set_xlabel("evening on which the night begins")
    _by_month(axes, evenings, cells)
    times = int(season.ledger["night_wakeups"])
    nights = int(season.ledger["nights_with_wakeup"])
    said = f"{counted(times, 'time')} on {counted(nights, 'night')}" if times else "never"
    style.titled(axes, f"Up at night: {said}, {style.subject(season)}\n")
    figure.legend(
        handles=[
            Patch(facecolor="#3b0f5c", label="up to tend the fire"),
            Patch(facecolor=style.PALE, label="inside below setpoint"),
            Patch(facecolor="white", edgecolor="#999999", label="warm enough"),
        ],
        loc="outside lower center", ncols=3, frameon=False, fontsize=9,
    )  # fmt: skip
    for side in ("top", "right"):
        axes.spines[side].set_visible(False)
    return figure


def drawn_hours(trace: pd.DataFrame) -> tuple[int, int]:
    """First hour and number of hours that hold every time up."""
    first, hours = NIGHT
    woken = trace.index.hour[trace["woken"].to_numpy() > 0.5]
    return NIGHT if ((woken - first) % 24 < hours).all() else ALL_DAY


def night_cells(
    trace: pd.DataFrame, span: tuple[int, int] = NIGHT
) -> tuple[pd.DatetimeIndex, np.ndarray]:
    """Evenings, and for each hour of each night whether it was warm, cold, or somebody got up.

    Parameters
    ----------
    trace
        Hour by hour.
    span
        First hour of the day and number of hours to draw.

    Returns
    -------
    evenings
        Dates, one a night; the morning after belongs to the evening before.
    cells
        Shape (hours, nights).
    """
    import numpy as np
    import pandas as pd

    first_h, hours = span
    shifted = trace.index - pd.Timedelta(hours=first_h)
    row = shifted.hour.to_numpy()
    dates = shifted.normalize()
    evenings = pd.date_range(dates[0], dates[-1], freq="D")
    column = (dates - evenings[0]).days.to_numpy()
    state = np.where(trace["cause"].to_numpy() != "", COLD, WARM)
    state = np.where(trace["woken"].to_numpy() > 0.5, UP, state)
    cells = np.zeros((hours, len(evenings)))
    seen = row < hours
    cells[row[seen], column[seen]] = state[seen]
    return evenings, cells


def _by_month(axes: Axes, evenings: pd.DatetimeIndex, cells: np.ndarray) -> None:
    """How often in each month, over its columns."""
    ups = (cells == UP).sum(axis=0)
    if not ups.any():
        return
    for month in dict.fromkeys(zip(evenings.year, evenings.month, strict=True)):
        own = (evenings.year == month[0]) & (evenings.month == month[1])
        if own.sum() < 8:
            continue
        middle = evenings[own][int(own.sum()) // 2]
        axes.annotate(
            f"{int(ups[own].sum())} ×", (middle, 1.0), xycoords=("data", "axes fraction"),
            xytext=(0, 4), textcoords="offset points", ha="center", fontsize=9, color=style.INK,
        )  # fmt: skip
