"""A weather record looked over: tables, sentences and JSON."""

from __future__ import annotations

import calendar
import json
from collections.abc import Sequence
from typing import TYPE_CHECKING, Any

from greenhouse_sim.report.json_text import SCHEMA, plain
from greenhouse_sim.report.words import Units, counted, few, whole
from greenhouse_sim.units import BTU_J, FT_M

if TYPE_CHECKING:
    from rich.table import Table

    from greenhouse_sim.weather.examine import Findings, Month

MOST_HOLES = 8
MOST_NAMES = 14
FEW_WINTERS = 3
"""Fewer winters than this are remarked on (judgement)."""
MPH_M_S = 5280.0 * FT_M / 3600.0
BTU_FT2_PER_WH_M2 = 3600.0 / BTU_J * FT_M * FT_M


def weather_json(found: Findings) -> str:
    """``{"schema": 1, "weather": {...}}``, one line, with a line end; SI."""
    record = found.record
    answer: dict[str, Any] = {
        "name": record.name, "site": record.site, "source": record.source,
        "latitude": record.latitude, "longitude": record.longitude,
        "elevation_m": record.elevation_m, "utc_offset_h": record.utc_offset_h,
        "first_hour": str(record.times()[0]), "last_hour": str(record.times()[-1]),
        "hours": record.hours, "known_hours": found.known_hours,
        "gaps": [hole._asdict() for hole in found.holes],
        "doubtful": [doubt._asdict() for doubt in found.doubts],
        "winters": found.winters, "no_winter": found.no_winter or None,
        "design_99_C": found.design_99_C, "design_99_6_C": found.design_996_C,
        "coldest_C": found.coldest_C, "coldest_at": found.coldest_at,
        "degree_days_65F_K": {year.name: year.degree_days_K for year in found.years},
        "coldest_spells": [spell._asdict() for spell in found.spells],
        "months": [month._asdict() for month in found.months],
        "notes": record.notes, "synthetic": record.synthetic,
    }  # fmt: skip
    body = {"schema": SCHEMA, "weather": plain(answer)}
    return json.dumps(body, allow_nan=False, ensure_ascii=False) + "\n"


def first_line(found: Findings, units: Units) -> str:
    """The record in a sentence."""
    record = found.record
    times = record.times()
    cold = "" if found.design_99_C is None else (
        f"; 99 % of a year's hours are above {units.temperature(found.design_99_C)}"
    )  # fmt: skip
    held = counted(len(found.winters), "whole winter") if found.winters else "no whole winter"
    return (
        f"{record.site}: {_day(times[0])} to {_day(times[-1])}, {held}{cold}; "
        f"coldest {units.temperature(found.coldest_C)}"
    )


def _day(stamp: Any) -> str:
    return str(stamp)[:10]


def record_table(found: Findings, units: Units) -> Table:
    """Where, how long, how whole, how cold."""
    record = found.record
    table = _table("The record", ("", ""))
    missing = record.hours - found.known_hours
    place = (
        f"latitude {record.latitude:.2f}, longitude {record.longitude:.2f}, {_height(found, units)}"
    )
    rows = [
        ("Place", place),
        ("Clock", f"local standard time, {record.utc_offset_h:+g} h from universal time"),
        ("Hours", f"{record.hours:,} h, {whole(missing)} h of them in gaps over 3 h"),
        ("Winters", _winters(found)),
        ("99.6 % design temperature", _design(found.design_996_C, units)),
        ("99 % design temperature", _design(found.design_99_C, units)),
        ("Coldest hour", f"{units.temperature(found.coldest_C)} at {_stamp(found.coldest_at)}"),
        ("Heating degree-days a year, below 65 °F (18.3 °C)", _years(found, units)),
    ]
    if record.source:
        rows.append(("Source", record.source))
    for label, text in rows:
        table.add_row(label, text)
    return table


def _height(found: Findings, units: Units) -> str:
    metres = found.record.elevation_m
    return f"{metres / FT_M:,.0f} ft" if units.us else f"{metres:,.0f} m"


def _winters(found: Findings) -> str:
    names = found.winters
    if not names:
        return "none whole"
    if len(names) <= MOST_NAMES:
        return f"{len(names)}: {', '.join(names)}"
    return f"{len(names)}, {names[0]} to {names[-1]}"


def _design(value: float | None, units: Units) -> str:
    return "unknown: a winter month is missing" if value is None else units.temperature(value)


def _years(found: Findings, units: Units) -> str:
    sums = sorted(year.degree_days_K * (1.8 if units.us else 1.0) for year in found.years)
    if not sums:
        return "unknown: no whole year"
    unit = "°F·d" if units.us else "K·d"
    middle = f"{whole(sums[len(sums) // 2])} {unit}"
    if len(sums) == 1:
        return middle
    return f"{middle} ({whole(sums[0])} to {whole(sums[-1])} in {len(sums)} years)"


def _stamp(text: str) -> str:
    return text.replace("T", " ")


def months_table(months: Sequence[Month], units: Units) -> Table:
    """Every month's temperatures, sun and wind."""
    sun = "Sun a day, Btu/ft²" if units.us else "Sun a day, kWh/m²"
    wind = "Wind, mph" if units.us else "Wind, m/s"
    table = _table(
        f"Months (temperatures in {units.degree})",
        ("", "Mean", "Mean low", "Mean high", "Lowest", "Highest", sun, wind),
    )
    for month in months:
        degrees = (
            month.mean_C, month.mean_low_C, month.mean_high_C, month.lowest_C, month.highest_C,
        )  # fmt: skip
        light = month.sun_Wh_m2_day
        table.add_row(
            calendar.month_name[month.month],
            *(f"{round(units.degrees(t)) + 0:d}" for t in degrees),
            whole(light * BTU_FT2_PER_WH_M2) if units.us else f"{light / 1000.0:.1f}",
            few(month.wind_m_s / MPH_M_S if units.us else month.wind_m_s),
        )
    return table


def spells_table(found: Findings, units: Units) -> Table:
    """The coldest days in a row."""
    table = _table("Coldest spells", ("From", "Days", "Mean", "Lowest hour"))
    for spell in found.spells:
        table.add_row(
            spell.first, str(spell.days), units.temperature(spell.mean_C),
            units.temperature(spell.lowest_C),
        )  # fmt: skip
    return table


def holes_table(found: Findings) -> Table:
    """Gaps over three hours, the longest first."""
    rest = len(found.holes) - MOST_HOLES
    title = f"Gaps over 3 h (the {MOST_HOLES} longest of {len(found.holes)})"
    table = _table(title if rest > 0 else "Gaps over 3 h", ("From", "To", "Hours", "Missing"))
    for hole in sorted(found.holes, key=lambda hole: -hole.hours)[:MOST_HOLES]:
        table.add_row(_stamp(hole.first), _stamp(hole.last), whole(hole.hours), hole.what)
    return table


def doubts_table(found: Findings, units: Units) -> Table:
    """Hours that an instrument may have got wrong."""
    table = _table("Doubtful hours", ("At", "What", "Value", "Hours"))
    for doubt in found.doubts:
        value = "" if doubt.value_C is None else units.temperature(doubt.value_C)
        table.add_row(_stamp(doubt.at), doubt.what, value, whole(doubt.hours))
    return table


def warnings(found: Findings) -> list[str]:
    """What a reader must know before a winter is run."""
    said = []
    if found.no_winter:
        said.append(f"WARNING: no whole winter: {found.no_winter}")
    elif len(found.winters) < FEW_WINTERS and not found.record.synthetic:
        said.append(
            f"only {counted(len(found.winters), 'winter')}: that says little of how much winters "
            "differ, and its design temperatures may lie several degrees off those of a long record"
        )
    if found.record.synthetic:
        said.append("made-up (synthetic) weather, not measured")
    return said


def _table(title: str, heads: Sequence[str]) -> Table:
    from rich import box
    from rich.table import Table

    table = Table(
        title=title, title_justify="left", title_style="bold", box=box.SIMPLE_HEAD,
        padding=(0, 1, 0, 0), show_edge=False, show_header=any(heads),
    )  # fmt: skip
    number = {"Days", "Hours", "Mean", "Lowest hour", "Value"}
    for at, head in enumerate(heads):
        right = head in number or (at > 0 and len(heads) > 4)
        table.add_column(head, justify="right" if right else "left", overflow="fold")
    return table
