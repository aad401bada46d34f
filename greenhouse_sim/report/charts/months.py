"""Fuel by month, winter beside winter."""

from __future__ import annotations

from collections.abc import Sequence
from typing import TYPE_CHECKING

from greenhouse_sim.report.charts import style
from greenhouse_sim.report.fuel_words import amount, measure
from greenhouse_sim.report.season_tables import month_name
from greenhouse_sim.report.spread import spread
from greenhouse_sim.report.words import Units, few, winter_words

if TYPE_CHECKING:
    from matplotlib.axes import Axes
    from matplotlib.figure import Figure

    from greenhouse_sim.season.run import Season

SIDE_BY_SIDE = 4


def fuel_by_month(seasons: Sequence[Season], units: Units) -> Figure | None:
    """Bars of each month's fuel; with more than four winters the middle and the range.

    None where the heater burns nothing that is weighed.
    """
    rows = [season.ledger for season in seasons]
    weighed = [row for row in rows if row["fuel_kg"] > 0.0]
    if not weighed:
        return None
    unit = measure(weighed[0], units)
    months = list(dict.fromkeys(key[5:] for row in rows for key in row["fuel_by_month"]))
    used = [
        [
            sum(unit.of(kg) for key, kg in row["fuel_by_month"].items() if key[5:] == m)
            for row in rows
        ]
        for m in months
    ]
    figure = style.new_figure(9.0, 5.0)
    axes = figure.subplots()
    if len(rows) <= SIDE_BY_SIDE:
        totals = [amount(row, units) for row in rows]
        names = [
            f"{winter_words(row['winter'])}: {few(total)} {unit.unit} in all"
            for row, total in zip(rows, totals, strict=True)
        ]
        _beside(axes, used, names)
        axes.legend(frameon=False, fontsize=9, loc="upper right")
    else:
        _ranges(axes, used)
        axes.set_xlabel(f"middle of {len(rows)} winters; whiskers from 10 to 90 % of them")
    axes.set_xticks(range(len(months)), [month_name(m)[:3] for m in months])
    axes.set_ylabel(f"{rows[0]['fuel']}, {unit.unit}")
    axes.set_ylim(0.0, 1.25 * max(max(values) for values in used) or 1.0)
    style.plain(axes)
    style.titled(axes, f"Fuel by month, {seasons[0].heater}")
    return figure


def _beside(axes: Axes, used: Sequence[Sequence[float]], names: Sequence[str]) -> None:
    width = 0.8 / len(names)
    for number, name in enumerate(names):
        places = [m - 0.4 + width * (number + 0.5) for m in range(len(used))]
        heights = [values[number] for values in used]
        axes.bar(places, heights, width, color=style.SEVERAL[number], label=name,
                 hatch=style.HATCHES[number], edgecolor="white", linewidth=0.8)  # fmt: skip
        for place, height in zip(places, heights, strict=True):
            axes.annotate(few(height), (place, height), ha="center", va="bottom",
                          fontsize=8 if len(names) < 3 else 7, color=style.INK)  # fmt: skip


def _ranges(axes: Axes, used: Sequence[Sequence[float]]) -> None:
    for place, values in enumerate(used):
        found = spread(values)
        axes.bar(place, found.median, 0.7, color=style.SEVERAL[0])
        axes.vlines(place, found.low, found.high, color=style.INK, linewidth=2.0)
        axes.annotate(few(found.median), (place + 0.06, found.high), ha="center", va="bottom",
                      fontsize=9, color=style.INK)  # fmt: skip
