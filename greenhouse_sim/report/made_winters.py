"""Made winters in words, as a table and as JSON."""

from __future__ import annotations

import calendar
import json
from collections.abc import Sequence
from typing import TYPE_CHECKING

import numpy as np

from greenhouse_sim.report.words import Units, counted, whole
from greenhouse_sim.units import BTU_J, FT_M, KWH_J

if TYPE_CHECKING:
    from rich.table import Table

    from greenhouse_sim.weather.normals_summary import Months, One

SCHEMA = 1
FAHRENHEIT_PER_K = 1.8
BTU_FT2_PER_KWH_M2 = KWH_J / BTU_J * FT_M * FT_M
MANY = 10
"""Winters from which on a range leaves out the outermost."""


def months_table(months: Months, units: Units) -> Table:
    """The months of all made years."""
    from rich import box
    from rich.table import Table

    table = Table(title="The months, all made years", box=box.SIMPLE, title_justify="left")
    degree = units.degree
    for heading in (
        "",
        f"mean daily high, {degree}",
        f"mean daily low, {degree}",
        f"spread of days, {degree}",
        f"lowest hour, {degree}",
        f"sun a day, {'Btu/ft²' if units.us else 'kWh/m²'}",
    ):
        table.add_column(heading, justify="right" if heading else "left")
    for i in range(12):
        spread = months.daily_sd_K[i] * (FAHRENHEIT_PER_K if units.us else 1.0)
        table.add_row(
            calendar.month_name[i + 1],
            _degrees(months.mean_max_C[i], units),
            _degrees(months.mean_min_C[i], units),
            f"{spread:.1f}",
            _degrees(months.lowest_C[i], units),
            whole(months.sun_kWh_m2[i] * BTU_FT2_PER_KWH_M2)
            if units.us
            else f"{months.sun_kWh_m2[i]:.1f}",
        )
    return table


def _degrees(celsius: float, units: Units) -> str:
    return f"{round(float(units.degrees(celsius))):d}"


def winters_lines(site: str, winters: Sequence[One], units: Units) -> list[str]:
    """What the winters are like, in sentences."""
    heat = np.array([one.degree_days_K for one in winters])
    coldest = max(winters, key=lambda one: one.degree_days_K)
    deepest = min(winters, key=lambda one: one.lowest_C)
    base = "50 °F" if units.us else "10 °C"
    middle = _degree_days(float(np.median(heat)), units)
    lines = [f"{site}: {counted(len(winters), 'winter')} made from monthly normals."]
    if len(winters) < MANY:
        low, high, how = heat.min(), heat.max(), "in all"
    else:
        (low, high), how = np.percentile(heat, [10, 90]), "in eight winters of ten"
    return [
        *lines,
        f"Degree-days below {base} in the cold seven months: {middle} in the middle winter, "
        f"{_degree_days(low, units)} to {_degree_days(high, units)} {how}; most in "
        f"{coldest.winter} ({_degree_days(coldest.degree_days_K, units)}). Lowest hour of all: "
        f"{units.temperature(deepest.lowest_C)} in {deepest.winter}.",
        "The years are names only: these winters are made, none of them was measured.",
    ]


def _degree_days(kelvin_days: float, units: Units) -> str:
    return whole(kelvin_days * (FAHRENHEIT_PER_K if units.us else 1.0))


def made_json(site: str, winters: Sequence[One], months: Months, notes: Sequence[str]) -> str:
    """``{"schema": 1, "site": …, "winters": […], "months": […], "notes": […]}`` with a line end."""
    answer = {
        "schema": SCHEMA,
        "site": site,
        "winters": [one._asdict() for one in winters],
        "months": [
            {"month": i + 1, **{key: float(v[i]) for key, v in months._asdict().items()}}
            for i in range(12)
        ],
        "notes": list(notes),
    }
    return json.dumps(answer, allow_nan=False, ensure_ascii=False) + "\n"
