"""Draw and write the pictures of ``--out``."""

from __future__ import annotations

from collections.abc import Sequence
from pathlib import Path
from typing import TYPE_CHECKING

from greenhouse_sim.report.csvs import file_parts
from greenhouse_sim.report.words import Units, slug

if TYPE_CHECKING:
    from greenhouse_sim.plans.compare import Comparison
    from greenhouse_sim.scenario import Scenario
    from greenhouse_sim.season.run import Season

MOST_WINTERS = 3
"""So many winters have pictures of their own."""


def by_need(seasons: Sequence[Season]) -> list[Season]:
    """Winters in the order of the heat that they need."""
    return sorted(seasons, key=lambda season: float(season.ledger["heat_need_kWh"]))


def middle(seasons: Sequence[Season]) -> Season:
    """The winter that needs neither much nor little heat."""
    return by_need(seasons)[len(seasons) // 2]


def pictured(seasons: Sequence[Season]) -> list[Season]:
    """The winters to draw: all of up to three; of more the mildest, middle and hardest."""
    if len(seasons) <= MOST_WINTERS:
        return list(seasons)
    order = by_need(seasons)
    return [order[0], middle(seasons), order[-1]]


def winter_pictures(
    seasons: Sequence[Season], scenario: Scenario, units: Units, out: Path
) -> list[Path]:
    """Draw each of these winters: its temperatures, its worst week, its times up at night.

    Parameters
    ----------
    seasons
        With their hourly traces.
    scenario
        For the crop's damage temperature and the hours of sleep.
    units
        The reader's units.
    out
        The folder.

    Returns
    -------
    list of Path
        The PNG files written.
    """
    from greenhouse_sim.report.charts.style import save
    from greenhouse_sim.report.charts.temperatures import season_temperatures
    from greenhouse_sim.report.charts.wakeups import wakeup_picture
    from greenhouse_sim.report.charts.week import worst_week_picture

    damage = scenario.crop.damage_below
    written = []
    for season, winter in zip(seasons, file_parts(seasons), strict=True):
        name = f"{slug(season.heater)}-{winter}.png"
        figures = {
            f"temperatures-{name}": season_temperatures(season, damage, units),
            f"worst-week-{name}": worst_week_picture(season, scenario.routine, damage, units),
            f"times-up-{name}": wakeup_picture(season),
        }
        written += [save(figure, out / file) for file, figure in figures.items()]
    return written


def heater_pictures(
    seasons: Sequence[Season], scenario: Scenario, units: Units, out: Path
) -> list[Path]:
    """Draw what one heater's winters have in common: fuel by month, and duration of cold.

    Parameters as in `winter_pictures`; of more than three winters the second shows three.
    """
    from greenhouse_sim.report.charts.duration import duration_curves
    from greenhouse_sim.report.charts.months import fuel_by_month
    from greenhouse_sim.report.charts.style import save

    heater = slug(seasons[0].heater)
    curves = duration_curves(pictured(seasons), scenario.crop.damage_below, units)
    written = [save(curves, out / f"duration-{heater}.png")]
    months = fuel_by_month(seasons, units)
    if months is not None:
        written.append(save(months, out / f"fuel-by-month-{heater}.png"))
    return written


def comparison_picture(result: Comparison, scenario: Scenario, units: Units, out: Path) -> Path:
    """Draw the bars of all heaters."""
    from greenhouse_sim.report.charts.bars import comparison_bars
    from greenhouse_sim.report.charts.style import save

    figure = comparison_bars(result, scenario.crop.damage_below, units)
    return save(figure, out / "comparison.png")
