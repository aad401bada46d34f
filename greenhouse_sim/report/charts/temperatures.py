"""The season's temperatures: inside, outside, what was wanted, what hurts."""

from __future__ import annotations

from typing import TYPE_CHECKING, Any

from greenhouse_sim.drive.rest import NO_HEAT_C
from greenhouse_sim.report.charts import style
from greenhouse_sim.report.words import Units

if TYPE_CHECKING:
    from matplotlib.axes import Axes
    from matplotlib.figure import Figure

    from greenhouse_sim.season.run import Season


def season_temperatures(season: Season, damage_C: float, units: Units) -> Figure:
    """Each day's low to high inside as a band, outside lows and highs, setpoints, damage line.

    Parameters
    ----------
    season
        With its hourly trace.
    damage_C
        The crop's damage temperature.
    units
        The reader's units.
    """
    figure = style.new_figure(11.0, 5.6)
    axes = figure.subplots()
    trace = season.trace
    degrees = trace[["out_C", "setpoint_C", "air_C"]].apply(units.degrees)
    days = degrees.resample("D")
    low, high, mean = days.min(), days.max(), days.mean()
    noon = low.index + (low.index[1] - low.index[0]) / 2 if len(low) > 1 else low.index
    axes.fill_between(
        noon, low["out_C"], high["out_C"], color=style.OUTSIDE, alpha=0.22, linewidth=0,
        label="outside, low to high of the day",
    )  # fmt: skip
    axes.plot(noon, mean["out_C"], color=style.OUTSIDE, linewidth=1.0, linestyle="--",
              label="outside, mean of the day")  # fmt: skip
    axes.fill_between(
        noon, low["air_C"], high["air_C"], color=style.INSIDE, alpha=0.30, linewidth=0,
        label="inside, low to high of the day",
    )  # fmt: skip
    axes.plot(noon, low["air_C"], color=style.INSIDE, linewidth=1.3, label="inside, low of the day")
    night = low["setpoint_C"].where(low["setpoint_C"] > units.degrees(NO_HEAT_C))
    axes.plot(noon, night, color=style.SETPOINT, linewidth=1.2, linestyle=(0, (5, 2)),
              label="setpoint by night")  # fmt: skip
    hurts = units.degrees(damage_C)
    axes.axhline(hurts, color=style.DAMAGE, linewidth=1.3, linestyle=":",
                 label=f"crop damage under {units.temperature(damage_C)}")  # fmt: skip
    _damage_marks(axes, trace["air_C"], damage_C)
    axes.set_xlim(trace.index[0], trace.index[-1])
    axes.set_ylabel(f"temperature, {units.degree}")
    style.month_axis(axes)
    style.plain(axes, "both")
    style.titled(axes, f"Inside and outside temperature, {style.subject(season)}")
    figure.legend(loc="outside lower center", ncols=3, frameon=False, fontsize=9)
    return figure


def _damage_marks(axes: Axes, air_C: Any, damage_C: float) -> None:
    """A strip at the foot: black where the air was under the damage temperature."""
    hurt = air_C.index[air_C.to_numpy() < damage_C]
    if not len(hurt):
        return
    low, high = axes.get_ylim()
    axes.set_ylim(low - 0.07 * (high - low), high)
    axes.vlines(
        hurt, 0.0, 0.03, transform=axes.get_xaxis_transform(), color="black", linewidth=0.7,
        label=f"{len(hurt)} hours of crop damage (marks at the foot)",
    )  # fmt: skip
