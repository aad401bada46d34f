"""Heat into and out of the greenhouse by path, two stacked columns a winter."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from typing import TYPE_CHECKING, Any

from greenhouse_sim.plans.heat import GAINS, LOSSES, sides
from greenhouse_sim.report.charts import style
from greenhouse_sim.report.spread import spread
from greenhouse_sim.report.words import Units, few, winter_words

if TYPE_CHECKING:
    from matplotlib.axes import Axes
    from matplotlib.figure import Figure

Row = Mapping[str, Any]
SIDE_BY_SIDE = 4
LEAST_LABEL = 0.03
"""Parts of a column that are lower than this share of the highest have no number in them."""
LEAST_NAMED = 0.005
"""Parts that are lower than this share of it cannot be seen, and are not named."""
LOOK = {
    "sun": (style.FIRE, ""),
    "heater": (style.INSIDE, "///"),
    "other": ("#888888", "ooo"),
    "from the ground": ("#8c6d46", "---"),
    "given back by soil, water, walls": (style.PALE, "..."),
    "covers and walls": (style.OUTSIDE, ""),
    "leaks": ("#8fc1e3", "\\\\\\"),
    "ground": ("#8c6d46", "---"),
    "evaporation": (style.BACKUP, "xxx"),
    "vents": ("#f0d9a8", "+++"),
    "kept in soil, water, walls": (style.PALE, "..."),
}
"""Colour and hatch of each path."""


def heat_paths(rows: Sequence[Row], units: Units) -> Figure:
    """Gains and losses side by side; of more than four winters the middle of each path.

    Parameters
    ----------
    rows
        A row a winter, as `greenhouse_sim.plans.heat.winter_heat` gives them.
    units
        The reader's units.
    """
    many = len(rows) > SIDE_BY_SIDE
    shown = [middle(rows)] if many else list(rows)
    figure = style.new_figure(5.6 + 2.2 * len(shown), 6.0)
    axes = figure.subplots()
    columns = [side for row in shown for side in sides(row)]
    scale = units.heat(1.0) if units.us else 1.0 / 1000.0
    highest = max(scale * sum(column.values()) for column in columns) or 1.0
    places = [3 * (n // 2) + n % 2 for n in range(len(columns))]
    drawn: dict[str, Any] = {}
    for place, column in zip(places, columns, strict=True):
        _column(axes, place, {name: scale * kWh for name, kWh in column.items()}, highest, drawn)
    axes.set_xticks(places, [("in", "out")[n % 2] for n in range(len(columns))])
    axes.tick_params(axis="x", length=0)
    for number, row in enumerate(shown):
        name = f"middle of {len(rows)} winters" if many else winter_words(row["winter"])
        axes.annotate(
            name, (3 * number + 0.5, 0.0), xytext=(0, -26), textcoords="offset points",
            ha="center", va="top", fontsize=9, color=style.INK, annotation_clip=False,
        )  # fmt: skip
    axes.set_xlabel(" ", fontsize=14)
    axes.set_xlim(-0.7, places[-1] + 0.7)
    axes.set_ylim(0.0, 1.08 * highest)
    axes.set_ylabel("million Btu" if units.us else "MWh")
    order = [name for name in LOOK if name in drawn] + [n for n in drawn if n not in LOOK]
    axes.legend(
        [drawn[name] for name in reversed(order)], list(reversed(order)), frameon=False,
        fontsize=9, loc="center left", bbox_to_anchor=(1.0, 0.5), handleheight=1.6,
        handlelength=2.2,
    )  # fmt: skip
    style.plain(axes)
    style.titled(axes, f"Where the heat comes from and goes, {rows[0]['site']}")
    return figure


def middle(rows: Sequence[Row]) -> dict[str, Any]:
    """Each path's median over winters; medians of the two sides need not add up to the same."""
    return {
        side: {name: spread([row[side][name] for row in rows]).median for name in names}
        for side, names in (("gains_kWh", GAINS), ("losses_kWh", LOSSES))
    }


def _column(
    axes: Axes, place: int, column: Mapping[str, float], highest: float, drawn: dict[str, Any]
) -> None:
    bottom = 0.0
    for name, height in column.items():
        colour, hatch = LOOK.get(name, ("#bbbbbb", "***"))
        bars = axes.bar(
            place, height, 0.9, bottom=bottom, color=colour, hatch=hatch, edgecolor="white",
            linewidth=0.8,
        )  # fmt: skip
        if height > LEAST_NAMED * highest:
            drawn.setdefault(name, bars)
        if height > LEAST_LABEL * highest:
            axes.annotate(
                few(height), (place, bottom + 0.5 * height), ha="center", va="center", fontsize=9,
                color=style.INK,
                bbox={"boxstyle": "round,pad=0.15", "facecolor": "white", "edgecolor": "none"},
            )  # fmt: skip
        bottom += height
    axes.annotate(
        few(bottom), (place, bottom), xytext=(0, 3), textcoords="offset points", ha="center",
        va="bottom", fontsize=9, fontweight="bold", color=style.INK,
    )  # fmt: skip
