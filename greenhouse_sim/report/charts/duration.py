"""How many hours of the season the inside was how cold."""

from __future__ import annotations

from collections.abc import Sequence
from typing import TYPE_CHECKING

from greenhouse_sim.drive.rest import NO_HEAT_C
from greenhouse_sim.report.charts import style
from greenhouse_sim.report.hours import hours
from greenhouse_sim.report.words import Units, winter_words

if TYPE_CHECKING:
    from matplotlib.figure import Figure

    from greenhouse_sim.season.run import Season


def duration_curves(seasons: Sequence[Season], damage_C: float, units: Units) -> Figure:
    """Inside temperature, coldest hours first: how many hours lie under each temperature."""
    import numpy as np

    figure = style.new_figure(9.0, 5.0)
    axes = figure.subplots()
    for number, season in enumerate(seasons):
        air = np.sort(units.degrees(hours(season, "air_C")["air_C"]))
        look = number % len(style.DASHES)
        axes.plot(np.arange(1, len(air) + 1), air, color=style.SEVERAL[look], linewidth=1.8,
                  linestyle=style.DASHES[look], label=winter_words(season.winter))  # fmt: skip
    setpoint = seasons[0].drive.setpoint
    wanted = units.degrees(float(setpoint[setpoint > NO_HEAT_C].min()))
    axes.axhline(wanted, color=style.SETPOINT, linewidth=1.0, linestyle=(0, (5, 2)),
                 label=f"lowest setpoint, {wanted:.0f} {units.degree}")  # fmt: skip
    axes.axhline(units.degrees(damage_C), color=style.DAMAGE, linewidth=1.3, linestyle=":",
                 label=f"crop damage under {units.temperature(damage_C)}")  # fmt: skip
    axes.set_xlim(0.0, max(season.weather.hours for season in seasons))
    axes.set_xlabel("hours of the season that are colder than this")
    axes.set_ylabel(f"inside temperature, {units.degree}")
    axes.legend(frameon=False, fontsize=9, loc="upper left")
    style.plain(axes, "both")
    style.titled(axes, f"How cold for how long inside, {seasons[0].heater}")
    return figure
