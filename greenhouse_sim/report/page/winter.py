"""The winter in pictures: temperatures, the worst week, how cold how long, fuel by month."""

from __future__ import annotations

from greenhouse_sim.report.charts.duration import duration_curves
from greenhouse_sim.report.charts.months import fuel_by_month
from greenhouse_sim.report.charts.temperatures import season_temperatures
from greenhouse_sim.report.charts.week import worst_week_picture
from greenhouse_sim.report.line import coldest, fuel_part, times_up
from greenhouse_sim.report.page.draw import picture
from greenhouse_sim.report.page.findings import Findings
from greenhouse_sim.report.page.parts import Picture, Section, noted, section
from greenhouse_sim.report.page.sheet import sheet
from greenhouse_sim.report.pictures import by_need, middle, pictured
from greenhouse_sim.report.reading import run_notes
from greenhouse_sim.report.season_tables import (
    balance_table,
    cause_table,
    month_name,
    month_table,
    season_table,
)
from greenhouse_sim.report.words import Units, counted, whole, winter_words
from greenhouse_sim.season.run import Season


def winter(found: Findings) -> Section:
    """What the scenario's own heater makes of the winters."""
    rows = [season.ledger for season in found.own]
    units, damage = found.units, found.scenario.crop.damage_below
    months = month_table(rows, units)
    cold = any(row["hours_below_setpoint"] >= 0.5 for row in rows)
    return section(
        "winter",
        f"The winter with {found.heater}",
        sheet(season_table(rows, units, damage)),
        _temperatures(found),
        _week(found),
        _durations(found),
        sheet(cause_table(rows)) if cold else None,
        picture(
            "months",
            fuel_by_month(found.own, units),
            f"Bars of the fuel of each month: {fuel_part(rows, units)} in a winter. "
            f"{_fullest(found)}The table below holds the numbers.",
        ),
        sheet(months) if months is not None else None,
        sheet(balance_table(rows, units)),
        noted(*run_notes(units)),
    )


def _temperatures(found: Findings) -> Picture | None:
    season = middle(found.own)
    row = season.ledger
    return picture(
        "temperatures",
        season_temperatures(season, found.scenario.crop.damage_below, found.units),
        f"{_which(found, 'neither much nor little')}Each day's low to high inside over each "
        "day's low to high outside, with the setpoint by night and the crop's damage line. "
        f"{_outside(season, found.units)}Inside the {coldest([row], found.units)}; "
        f"{counted(row['hours_below_setpoint'], 'hour')} below setpoint, "
        f"{counted(row['hours_below_damage'], 'hour')} of crop damage.",
    )


def _which(found: Findings, heat: str) -> str:
    """Why this winter is shown, where there are others."""
    return f"Of {len(found.own)} winters the one that needs {heat} heat. " if found.own[1:] else ""


def _outside(season: Season, units: Units) -> str:
    return f"Outside it falls to {units.temperature(float(season.drive.t_out.min()))}. "


def _week(found: Findings) -> Picture | None:
    season = by_need(found.own)[-1]
    return picture(
        "week",
        worst_week_picture(
            season, found.scenario.routine, found.scenario.crop.damage_below, found.units
        ),
        f"{_which(found, 'most')}Seven days hour by hour: above, the air inside and outside, "
        "setpoint, loads and times up; below, the heat that the heater gives. The whole winter: "
        f"{fuel_part([season.ledger], found.units)}, {times_up([season.ledger])}, "
        f"{coldest([season.ledger], found.units)}.",
    )


def _durations(found: Findings) -> Picture | None:
    shown = pictured(found.own)
    hours = [
        f"{winter_words(one.winter)} {whole(one.ledger['hours_below_freezing'])} h" for one in shown
    ]
    freezing = found.units.temperature(0.0)
    return picture(
        "durations",
        duration_curves(shown, found.scenario.crop.damage_below, found.units),
        f"Hours of the season by the air inside, coldest first. Under {freezing}: "
        f"{', '.join(hours)}.",
    )


def _fullest(found: Findings) -> str:
    """The month that takes most."""
    burnt: dict[str, float] = {}
    for season in found.own:
        for key, kg in season.ledger["fuel_by_month"].items():
            burnt[key[5:]] = burnt.get(key[5:], 0.0) + kg
    most = max(burnt, key=lambda month: burnt[month], default="")
    return f"{month_name(most)} takes most. " if most and burnt[most] > 0.0 else ""
