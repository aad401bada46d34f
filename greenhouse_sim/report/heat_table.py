"""Where the heat goes, in tables, sentences, JSON and CSV."""

from __future__ import annotations

import csv
import json
from collections.abc import Callable, Mapping, Sequence
from pathlib import Path
from typing import TYPE_CHECKING, Any

from greenhouse_sim.files import written_whole
from greenhouse_sim.plans.design import DESIGN_HOUR
from greenhouse_sim.plans.heat import design_row
from greenhouse_sim.report.json_text import SCHEMA, plain
from greenhouse_sim.report.season_tables import MOST_COLUMNS, Line
from greenhouse_sim.report.spread import spread
from greenhouse_sim.report.words import (
    MILLION_BTU_PER_KWH,
    Units,
    day,
    day_and_hour,
    few,
    whole,
    winter_words,
)
from greenhouse_sim.units import BTU_J, FT_M, from_si

if TYPE_CHECKING:
    from rich.table import Table

    from greenhouse_sim.plans.design import Design, Part
    from greenhouse_sim.plans.heat import Heat

Row = Mapping[str, Any]
BTU_H_PER_W = 3600.0 / BTU_J
MPH_M_S = 5280.0 * FT_M / 3600.0
FT2_M2 = FT_M * FT_M
KWH_PER_MWH = 1000.0


def heat_json(found: Heat) -> str:
    """``{"schema": 1, "heat": [...], "design": {...}}``, one line, with a line end; SI."""
    answer = {"schema": SCHEMA, "heat": plain(found.winters), "design": plain(design_row(found))}
    return json.dumps(answer, allow_nan=False, ensure_ascii=False) + "\n"


def write_heat_tables(found: Heat, out: Path) -> list[Path]:
    """Write ``heat_design.csv``, ``heat_winters.csv`` and ``heat_heaters.csv``, SI as the JSON."""
    design = design_row(found)
    tables = {
        "heat_design": design["parts"],
        "heat_winters": [_flat(row) for row in found.winters],
        "heat_heaters": design["heaters"],
    }
    return [_write(out / f"{name}.csv", rows) for name, rows in tables.items()]


def _flat(row: Row) -> dict[str, Any]:
    line: dict[str, Any] = {}
    for key, value in row.items():
        if isinstance(value, Mapping):
            line |= {f"{key}: {name}": one for name, one in value.items()}
        else:
            line[key] = value
    return line


def _write(path: Path, rows: Sequence[Row]) -> Path:
    with (
        written_whole(path) as temporary,
        temporary.open("w", encoding="utf-8", newline="") as file,
    ):
        table = csv.DictWriter(file, list(rows[0]) if rows else [], lineterminator="\n")
        table.writeheader()
        table.writerows(plain(list(rows)))
    return path


def watts(value: float, units: Units) -> str:
    """A power in whole W or Btu/h, at most three digits that mean something."""
    return whole(value * BTU_H_PER_W if units.us else value)


def power_unit(units: Units) -> str:
    """Unit of `watts`."""
    return "Btu/h" if units.us else "W"


def wind_text(wind_m_s: float, units: Units) -> str:
    """A wind with its unit."""
    return f"{few(wind_m_s / MPH_M_S)} mph" if units.us else f"{few(wind_m_s)} m/s"


def per_floor(value_W_m2: float, units: Units) -> str:
    """A loss for each unit of floor, without its unit."""
    return few(value_W_m2 * BTU_H_PER_W * FT2_M2 if units.us else value_W_m2)


def first_line(design: Design, units: Units) -> str:
    """The design loss in a sentence."""
    night = design.night
    outside, inside = (units.temperature(t) for t in (night.temperature_C, night.inside_C))
    if design.loss_W <= 0.0:
        return f"No heat is needed on the design night: {outside} outside, {inside} inside"
    return (
        f"Design heat loss {watts(design.loss_W, units)} {power_unit(units)} "
        f"({per_floor(design.loss_W / design.floor_m2, units)} {_floor_unit(units)} of floor) at "
        f"{outside} outside, {inside} inside"
    )


def _floor_unit(units: Units) -> str:
    return "Btu/h·ft²" if units.us else "W/m²"


def design_table(design: Design, units: Units) -> Table:
    """The design loss part by part, then what a clear sky adds."""
    table = _table("Design heat loss by part")
    u_unit = "Btu/h·ft²·°F" if units.us else "W/m²K"
    area_unit = "ft²" if units.us else "m²"
    for head in (
        f"Area, {area_unit}", f"U, {u_unit}", power_unit(units),
        f"{_floor_unit(units)} floor", "Share, %",
    ):  # fmt: skip
        table.add_column(head, justify="right")
    for part in design.parts:
        share = design.share(part)
        cells = _power_cells(part.loss_W, design.floor_m2, units)
        told = "" if share is None else few(100.0 * share)
        table.add_row(part.name, *_part_cells(part, units), *cells, told)
    table.add_section()
    all_W, clear_W = design.loss_W, design.clear_sky_W
    told = "100" if all_W > 0.0 else ""
    table.add_row("all", "", "", *_power_cells(all_W, design.floor_m2, units), told, style="bold")
    for label, value in (
        ("on top under a clear sky", clear_W), ("all under a clear sky", all_W + clear_W)
    ):  # fmt: skip
        told = few(100.0 * value / all_W) if all_W > 0.0 else ""
        table.add_row(label, "", "", *_power_cells(value, design.floor_m2, units), told)
    return table


def _part_cells(part: Part, units: Units) -> tuple[str, str]:
    if part.area_m2 is None or part.u_value is None:
        return "", ""
    area = part.area_m2 / FT2_M2 if units.us else part.area_m2
    u_value = part.u_value
    if units.us and u_value > 0.0:
        u_value = 1.0 / from_si(1.0 / u_value, "m^2*K/W", "ft^2*degF*hr/Btu")
    return few(area), f"{u_value:.2f}"


def _power_cells(value_W: float, floor_m2: float, units: Units) -> tuple[str, str]:
    return watts(value_W, units), per_floor(value_W / floor_m2, units)


def need_table(rows: Sequence[Row], units: Units) -> Table:
    """Each winter's need: how much, over what, how hard at once."""
    heads = [winter_words(row["winter"]) for row in rows]
    many = len(rows) > MOST_COLUMNS
    if many:
        heads = [f"middle of {len(rows)}", "low (10 %)", "high (90 %)"]
    table = _table("Heat needed to hold the setpoint")
    for head in heads:
        table.add_column(head, justify="right", max_width=17, overflow="fold")
    for block in (_season_lines(units), _hardest_lines(units), _output_lines(units)):
        for line in block:
            if line.text and many:
                continue
            table.add_row(line.label, *_cells(line, rows))
        table.add_section()
    return table


def _cells(line: Line, rows: Sequence[Row]) -> list[str]:
    if line.text:
        return [line.text(row) for row in rows]
    values = [line.value(row) for row in rows]
    if len(rows) > MOST_COLUMNS:
        found = spread(values)
        values = [found.median, found.low, found.high]
    return [line.write(value) for value in values]


def _season_lines(units: Units) -> list[Line]:
    floor = 1000.0 * MILLION_BTU_PER_KWH * FT2_M2 if units.us else 1.0
    season = MILLION_BTU_PER_KWH if units.us else 1.0 / KWH_PER_MWH
    degree = 1.8 if units.us else 1.0
    return [
        Line(
            f"Heat, {'million Btu' if units.us else 'MWh'}",
            lambda row: row["heat_need_kWh"] * season,
            few,
        ),
        Line(
            f"per floor, {'thousand Btu/ft²' if units.us else 'kWh/m²'}",
            lambda row: row["heat_need_kWh_m2"] * floor,
            few,
        ),
        Line(
            f"Setpoint over outdoors, {units.degree}·h",
            lambda row: row["degree_hours_Kh"] * degree,
        ),
    ]


def _hardest_lines(units: Units) -> list[Line]:
    unit = power_unit(units)

    def of(key: str) -> Line:
        return Line("", lambda row: row[key]["need_W"], lambda value: watts(value, units))

    def text(label: str, write: Callable[[Row], str]) -> Line:
        return Line(label, lambda row: 0.0, text=lambda row: write(row["largest_hour"]))

    return [
        of("largest_hour")._replace(label=f"Hardest hour, {unit}"),
        text("on", lambda hour: day(hour["at"])),
        text("at", lambda hour: str(hour["at"])[11:16]),
        text("outdoors", lambda hour: units.temperature(hour["out_C"])),
        text("wind", lambda hour: wind_text(hour["wind_m_s"], units)),
        text("setpoint", lambda hour: units.temperature(hour["setpoint_C"])),
        of("largest_three_hours")._replace(label=f"Hardest three hours, mean, {unit}"),
    ]


def _output_lines(units: Units) -> list[Line]:
    unit = power_unit(units)
    names = {"output_99_W": "99 %", "output_99_9_W": "99.9 %"}

    def line(key: str, hours: str) -> Line:
        return Line(
            f"Output for {hours} of hours, {unit}",
            lambda row: row[key],
            lambda value: watts(value, units),
        )

    return [line(key, hours) for key, hours in names.items()]


def heater_table(found: Heat, units: Units) -> Table:
    """The catalogue's most outputs against the need of all winters' hours."""
    ninety_nine, thousandth = (watts(value, units) for value in found.outputs_W.values())
    table = _table(f"Most output of the catalogue's heaters, {power_unit(units)}")
    for head in (
        "Most output", "Hours whose need it reaches, %", f"Reaches 99 % ({ninety_nine})",
        f"Reaches 99.9 % ({thousandth})",
    ):  # fmt: skip
        table.add_column(head, justify="right", max_width=17)
    for row in found.heaters:
        count = f" × {row['count']}" if row["count"] > 1 else ""
        reaches = ["yes" if row[f"reaches_{name[:-2]}"] else "no" for name in found.outputs_W]
        table.add_row(
            f"{row['heater']}{count}", watts(row["output_max_W"], units),
            _share(row["share_of_hours"]), *reaches,
        )  # fmt: skip
    return table


def _share(of_hours: float) -> str:
    """A share of hours, %: its tenths only where the last hours are counted."""
    percent = 100.0 * of_hours
    return f"{percent:.1f}" if 95.0 <= percent < 99.95 else f"{percent:.0f}"


def heat_notes(found: Heat, units: Units) -> list[str]:
    """How to read the tables."""
    night = found.design.night
    near = night.wind_basis.replace("2 K", "3.6 °F") if units.us else night.wind_basis
    hour = f"{int(DESIGN_HOUR):02d}:{round(60 * (DESIGN_HOUR % 1.0)):02d}"
    hardest = max(found.winters, key=lambda row: float(row["largest_hour"]["need_W"]))
    peak = hardest["largest_hour"]
    return [
        f"Design temperature: {night.basis}. Wind {wind_text(night.wind_m_s, units)} at the "
        f"station, {near}; deep ground {units.temperature(night.ground_C)}.",
        f"Steady, dark, at the setpoint and with the curtain of {hour}; no snow lies, no "
        "gains are taken off and no heat comes out of soil or water. U-values hold this wind "
        "and a usual sky; a clear one is told apart.",
        f"The hardest hour of all: {watts(peak['need_W'], units)} {power_unit(units)} at "
        f"{day_and_hour(peak['at'])}, winter {winter_words(hardest['winter'])}, "
        f"{units.temperature(peak['out_C'])} outside. Hours in which the setpoint rises also "
        "hold the warming of the air and what stands in it.",
        "Need is what an ideal heater gives: as much as is asked for, at once. The hours "
        "that an output reaches are counted over all hours of the season. A heater's most "
        "output is that of its full fire; over a load a hand-fed fire gives less. Compost has "
        "no stated output.",
    ]


def _table(title: str) -> Table:
    from rich import box
    from rich.table import Table

    table = Table(title=title, title_justify="left", box=box.SIMPLE_HEAD, title_style="bold")
    table.add_column("", min_width=22)
    return table
