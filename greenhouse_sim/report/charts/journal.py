"""Fuel used through the winter so far, against the winters of the plan."""

from __future__ import annotations

from typing import TYPE_CHECKING

from greenhouse_sim.report.charts import style
from greenhouse_sim.report.woodpile_table import unit_of_fuel
from greenhouse_sim.report.words import Units

if TYPE_CHECKING:
    from matplotlib.figure import Figure

    from greenhouse_sim.plans.journal_review import SoFar


def fuel_so_far(found: SoFar, units: Units) -> Figure | None:
    """The journal's fuel as steps over the band of the winters; None without a plan."""
    import numpy as np
    from matplotlib.dates import date2num

    plan = found.plan
    if plan is None:
        return None
    unit = unit_of_fuel(found.fuel, units)
    days = date2num(list(plan.days))
    # the plan's days are those of its first winter: laid under this one
    days = days - days[0] + float(date2num(found.first))
    spent = np.cumsum(plan.daily_kg, axis=1) * unit.per_kg
    figure = style.new_figure(10.0, 5.2)
    axes = figure.subplots()
    if plan.winters > 1:
        low, middle, high = np.percentile(spent, [10.0, 50.0, 90.0], axis=0)
        axes.fill_between(days, low, high, color=style.PALE, label="plan, 10 to 90 % of winters")
    else:
        middle = spent[0]
    axes.plot(
        days, middle, color=style.OUTSIDE, linestyle="--", linewidth=1.6,
        label="plan, middle winter",
    )  # fmt: skip
    when, amount = _steps(found, unit.per_kg)
    axes.step(when, amount, where="post", color=style.INSIDE, linewidth=2.2, label="journal")
    axes.set_xlim(days[0], days[-1])
    axes.set_ylim(0.0, 1.05 * max(float(spent.max()), max(amount), 1e-6))
    axes.set_ylabel(f"{found.fuel.name} used, {unit.unit}")
    style.month_axis(axes)
    style.plain(axes)
    axes.legend(frameon=False, fontsize=9, loc="upper left")
    style.titled(axes, "Fuel used through the winter, journal against plan")
    return figure


def _steps(found: SoFar, per_kg: float) -> tuple[list[float], list[float]]:
    """Moments of the journal, and the fuel used up to each."""
    from matplotlib.dates import date2num

    from greenhouse_sim.journal.stand import used_kg

    moments = sorted({one.at for one in found.entries if one.kg is not None})
    sums = [used_kg([one for one in found.entries if one.at <= at]) * per_kg for at in moments]
    ends = [*moments, found.on]
    return (
        [float(date2num(found.first)), *(float(date2num(at)) for at in ends)],
        [0.0, *sums, sums[-1] if sums else 0.0],
    )
