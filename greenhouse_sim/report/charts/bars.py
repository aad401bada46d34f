"""Heaters side by side as bars."""

from __future__ import annotations

from collections.abc import Callable, Mapping, Sequence
from typing import TYPE_CHECKING, Any, NamedTuple

from greenhouse_sim.report.charts import style
from greenhouse_sim.report.fuel_words import amount, kind_of, measure
from greenhouse_sim.report.season_tables import share_of_need
from greenhouse_sim.report.spread import Spread, spread
from greenhouse_sim.report.words import Units, few, whole

if TYPE_CHECKING:
    from matplotlib.axes import Axes
    from matplotlib.figure import Figure

    from greenhouse_sim.plans.compare import Comparison

Row = Mapping[str, Any]


class Panel(NamedTuple):
    """One column of bars."""

    head: str
    value: Callable[[Row], float]
    colour: str
    hatch: str


def comparison_bars(result: Comparison, damage_C: float, units: Units) -> Figure:
    """Share of the heat needed, times up, hours below setpoint and hours of crop damage.

    The bar is the middle winter, the whisker the 10th to the 90th percentile.
    """
    panels = [
        Panel("share of the heat\nneeded, %", share_of_need, style.FIRE, ""),
        Panel("times up\nat night", _number("night_wakeups"), "#6d4a8f", "///"),
        Panel("hours below\nsetpoint", _number("hours_below_setpoint"), style.OUTSIDE, "..."),
        Panel(
            f"hours under {units.temperature(damage_C)}\n(crop damage)",
            _number("hours_below_damage"), "#a8a29a", "xxx",
        ),
    ]  # fmt: skip
    heaters = {name: [s.ledger for s in result.of(name)] for name in result.heaters}
    figure = style.new_figure(12.0, 2.0 + 0.36 * len(heaters))
    all_axes = figure.subplots(1, len(panels), sharey=True, squeeze=False)[0]
    for axes, panel in zip(all_axes, panels, strict=True):
        _bars(axes, panel, list(heaters.values()))
    for axes in all_axes[1:]:
        axes.yaxis.set_visible(False)  # the first has the names; marks cost time though unseen
    names = [f"{name}  ({_fuel(rows, units)})" for name, rows in heaters.items()]
    all_axes[0].set_yticks(range(len(names)), names, fontsize=9)
    all_axes[0].set_ylim(len(names) - 0.4, -0.6)
    many = len(result.winters)
    of = f"middle of {many} winters, whiskers 10 to 90 %" if many > 1 else result.winters[0]
    site = result.seasons[0].ledger["site"]
    figure.suptitle(
        f"Heaters side by side, {site}: {of}",
        x=0.01, ha="left", fontsize=12, fontweight="bold", color=style.INK,
    )  # fmt: skip
    return figure


def _number(key: str) -> Callable[[Row], float]:
    return lambda row: float(row[key])


def _bars(axes: Axes, panel: Panel, heaters: Sequence[Sequence[Row]]) -> None:
    found = [spread([panel.value(row) for row in rows]) for rows in heaters]
    most = max([one.high for one in found] + [1.0])
    long = [(place, one.median) for place, one in enumerate(found) if one.median]
    axes.barh([place for place, _ in long], [wide for _, wide in long], 0.66, color=panel.colour,
              hatch=panel.hatch, edgecolor="white", linewidth=0.5)  # fmt: skip
    _whiskers(axes, [(n, one) for n, one in enumerate(found) if one.high > one.low])
    for place, one in enumerate(found):
        _label(axes, place, one, most)
    axes.set_xlim(0.0, most * 1.3)
    axes.set_title(panel.head, loc="left", fontsize=10)
    axes.tick_params(axis="y", length=0)
    style.plain(axes, "x")


def _whiskers(axes: Axes, found: Sequence[tuple[int, Spread]]) -> None:
    """From the 10th to the 90th percentile, each in its place."""
    places = [place for place, _ in found]
    low, high = [one.low for _, one in found], [one.high for _, one in found]
    axes.hlines(places, low, high, color="#000000", linewidth=1.6)
    axes.plot([*low, *high], places * 2, "|", color="#000000", markersize=5)


def _label(axes: Axes, place: int, one: Spread, most: float) -> None:
    axes.text(
        max(one.high, one.median) + 0.02 * most, place, whole(one.median),
        va="center", ha="left", fontsize=8, color=style.INK,
    )  # fmt: skip


def _fuel(rows: Sequence[Row], units: Units) -> str:
    if kind_of(rows[0]) == "none":
        return "as needed"
    middle = spread([amount(row, units) for row in rows]).median
    return f"{few(middle)} {measure(rows[0], units).unit}"
