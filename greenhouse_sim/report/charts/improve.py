"""Cost against nights: every package run, and those that no other beats."""

from __future__ import annotations

import textwrap
from collections.abc import Sequence
from typing import TYPE_CHECKING

from greenhouse_sim.plans.outcome import Outcome
from greenhouse_sim.report.charts import style
from greenhouse_sim.report.improve_table import letters, named

if TYPE_CHECKING:
    from matplotlib.figure import Figure

LINE = 140


def trade_off(
    outcomes: Sequence[Outcome], front: Sequence[Outcome], base: Outcome, site: str, how: str
) -> Figure:
    """Yearly cost over wake-ups of each package; the front as steps with letters, named below."""
    names = [
        textwrap.fill(f"{letter}: {named(out)}", LINE, subsequent_indent="     ")
        for letter, out in zip(letters(len(front)), front, strict=True)
    ]
    text = "\n".join([*names, "", textwrap.fill(how, LINE)])
    rows = text.count("\n") + 1
    figure = style.new_figure(10.0, 5.4 + 0.175 * rows)
    grid = figure.add_gridspec(2, 1, height_ratios=[5.2, 0.175 * rows])
    axes, below = figure.add_subplot(grid[0]), figure.add_subplot(grid[1])
    axes.scatter(
        [out.wakeups for out in outcomes], [out.yearly for out in outcomes], s=14,
        color="#b9bdc6", label="packages run",
    )  # fmt: skip
    ends = sorted(front, key=lambda out: out.wakeups)
    axes.step(
        [out.wakeups for out in ends], [out.yearly for out in ends], where="post",
        color=style.OUTSIDE, linewidth=1.4,
    )  # fmt: skip
    axes.scatter(
        [out.wakeups for out in front], [out.yearly for out in front], s=44, marker="s",
        color=style.OUTSIDE, label="no other is better in both", zorder=3,
    )  # fmt: skip
    axes.scatter(
        [base.wakeups], [base.yearly], s=70, marker="X", color=style.INSIDE,
        label="the farm as it is", zorder=3,
    )  # fmt: skip
    for place, (letter, out) in enumerate(zip(letters(len(front)), front, strict=True)):
        axes.annotate(
            letter, (out.wakeups, out.yearly), xytext=(-3, -16 - 12 * (place % 2)),
            textcoords="offset points", fontsize=10, fontweight="bold", color=style.INK,
        )  # fmt: skip
    axes.set_xlabel("times up at night, a winter")
    axes.set_ylabel("dollars a year")
    least = min(out.yearly for out in outcomes)
    axes.set_ylim(bottom=0.8 * least)
    axes.set_xlim(left=-0.02 * max(1.0, *(out.wakeups for out in outcomes)))
    style.plain(axes, "both")
    axes.legend(frameon=False, fontsize=9, loc="lower right")
    style.titled(axes, f"What nights of sleep cost: improvements of {site}")
    below.axis("off")
    below.text(0.0, 1.0, text, va="top", ha="left", fontsize=8.5, color=style.INK)
    return figure
