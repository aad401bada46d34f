"""Tables of one heater's winters: the season, its cold hours, its fuel and its heat."""

from __future__ import annotations

from collections.abc import Callable, Mapping, Sequence
from typing import TYPE_CHECKING, Any, NamedTuple

from greenhouse_sim.report.fuel_words import FACE_CORDS, amount, kind_of, measure
from greenhouse_sim.report.spread import spread
from greenhouse_sim.report.words import Units, day_and_hour, few, whole, winter_words
from greenhouse_sim.units import PELLET_BAG_KG

if TYPE_CHECKING:
    from rich.table import Table

Row = Mapping[str, Any]
MOST_COLUMNS = 4
"""More winters than this are told as middle, low and high instead of one by one."""
HURT = "HURT"
"""The word that marks hours under the crop's damage temperature."""


class Line(NamedTuple):
    """A line of a table: its label, its number in each winter, and how that is written."""

    label: str
    value: Callable[[Row], float]
    write: Callable[[float], str] = whole
    text: Callable[[Row], str] | None = None
    """What stands for a number where winters are told one by one; then there is no number."""


def season_table(rows: Sequence[Row], units: Units, damage_C: float) -> Table:
    """Fuel, work, sleep and cold of each winter.

    Parameters
    ----------
    rows
        Ledgers of one heater, one a winter.
    units
        The reader's units.
    damage_C
        The crop's damage temperature.
    """
    table = _grid("The season", rows)
    for block in (
        fuel_lines(rows, units),
        _work_lines(),
        _cold_lines(rows, units, damage_C),
        _heat_lines(rows, units),
    ):
        _fill(table, rows, block)
    return table


def cause_table(rows: Sequence[Row]) -> Table:
    """Hours below setpoint by their cause; causes that never came are left out."""
    table = _grid("Hours below setpoint, by cause", rows)
    causes = [
        cause
        for cause in rows[0]["cold_hours_by_cause"]
        if any(row["cold_hours_by_cause"][cause] > 0.0 for row in rows)
    ]
    _fill(table, rows, [Line(f"{cause}: {CAUSES[cause]}", _cause(cause)) for cause in causes])
    _fill(table, rows, [Line("all", lambda row: float(row["hours_below_setpoint"]))])
    return table


CAUSES = {
    "fire out": "out, or left too low, with someone there",
    "full output": "the heater gave all it can",
    "asleep": "low or out while you slept",
    "away": "low or out while you were away",
    "no power": "a power cut stopped it",
    "no fuel": "the pile was used up",
}


def _cause(cause: str) -> Callable[[Row], float]:
    return lambda row: float(row["cold_hours_by_cause"][cause])


def month_table(rows: Sequence[Row], units: Units) -> Table | None:
    """Fuel by month; None where the fuel is not weighed (electricity)."""
    if not any(row["fuel_kg"] > 0.0 for row in rows):
        return None
    unit = next(measure(row, units) for row in rows if row["fuel_kg"] > 0.0)
    table = _grid(f"{str(rows[0]['fuel']).capitalize()} by month, {unit.unit}", rows)
    months = list(dict.fromkeys(key[5:] for row in rows for key in row["fuel_by_month"]))
    _fill(table, rows, [Line(month_name(m), _month(m, unit.per_kg), few) for m in months])
    _fill(table, rows, [Line("all", lambda row: amount(row, units), few)])
    return table


def month_name(month: str) -> str:
    """ "11" to "November"."""
    import calendar

    return calendar.month_name[int(month)]


def _month(month: str, per_kg: float) -> Callable[[Row], float]:
    def used(row: Row) -> float:
        return per_kg * sum(kg for key, kg in row["fuel_by_month"].items() if key[5:] == month)

    return used


def balance_table(rows: Sequence[Row], units: Units) -> Table:
    """Heat into the greenhouse and out of it; the two sides agree."""
    table = _grid(f"Heat in and out of the greenhouse, {units.heat_word}", rows)
    came = [
        ("in: sun taken up", "solar_kWh"),
        ("in: heater", "heat_delivered_kWh"),
        ("in: back-up", "backup_kWh"),
        ("in: other", "internal_gain_kWh"),
    ]
    went = [
        ("out: through covers and walls", "envelope_loss_kWh"),
        ("out: leaks", "infiltration_loss_kWh"),
        ("out: ground", "ground_loss_kWh"),
        ("out: evaporation", "latent_loss_kWh"),
        ("out: vents", "vent_loss_kWh"),
        ("out: kept in soil, water and walls", "storage_change_kWh"),
    ]
    for block in (came, went):
        used = [pair for pair in block if any(abs(row[pair[1]]) >= 0.5 for row in rows)]
        _fill(table, rows, [Line(label, _heat(key, units), few) for label, key in used])
    return table


def _heat(key: str, units: Units) -> Callable[[Row], float]:
    return lambda row: units.heat(row[key])


def fuel_lines(rows: Sequence[Row], units: Units) -> list[Line]:
    """Fuel in its measures."""
    kind = kind_of(rows[0])
    unit = measure(rows[0], units).unit
    lines = [Line(f"{str(rows[0]['fuel']).capitalize()}, {unit}", lambda r: amount(r, units), few)]
    if kind == "none":
        lines = [Line("Heat as needed, kWh", lambda r: amount(r, units))]
    if kind == "wood":
        if units.us:
            lines.append(Line("face cords (16 in)", lambda r: r["cords"] * FACE_CORDS, few))
        ton = "short tons" if units.us else "tonnes"
        lines.append(Line(ton, lambda r: units.tons(r["fuel_kg"]), few))
    if kind == "pellets" and units.us:
        lines.append(Line("40-lb bags", lambda r: r["fuel_kg"] / PELLET_BAG_KG))
    if kind == "compost":
        lines[0] = lines[0]._replace(label=f"Dry matter decayed, {unit}")
    if any(row["electricity_kWh"] > 0.0 for row in rows):
        lines.append(Line("Electricity, kWh", lambda r: float(r["electricity_kWh"])))
    return lines


def _work_lines() -> list[Line]:
    return [
        Line("Loads", lambda r: float(r["loads"])),
        Line("Fires lit by hand", lambda r: float(r["fires_lit"])),
        Line("Times up at night", lambda r: float(r["night_wakeups"])),
        Line("Nights woken", lambda r: float(r["nights_with_wakeup"])),
        Line("Longest unbroken sleep, h", lambda r: float(r["longest_sleep_h"])),
        Line("Hours of work", lambda r: float(r["labour_hours"])),
    ]


def _cold_lines(rows: Sequence[Row], units: Units, damage_C: float) -> list[Line]:
    degree = 1.8 if units.us else 1.0
    lines = [
        Line("Hours below setpoint", lambda r: float(r["hours_below_setpoint"])),
        Line(
            f"Degree-hours below it, {units.degree}·h",
            lambda r: r["degree_hours_below_setpoint"] * degree,
        ),
        Line(f"Hours below {units.temperature(0.0)}", lambda r: float(r["hours_below_freezing"])),
        Line(
            f"Hours below {units.temperature(damage_C)} (crop damage)",
            lambda r: float(r["hours_below_damage"]),
            hurt,
        ),
        Line("Nights with such an hour", lambda r: float(r["nights_below_damage"])),
        Line("Longest such spell, h", lambda r: float(r["longest_below_damage_h"])),
        Line(
            f"Coldest inside, {units.degree}",
            lambda r: units.degrees(r["lowest_air_C"]),
            lambda value: f"{round(value) + 0:d}",
        ),
        Line("at", lambda r: 0.0, lambda value: "", lambda r: day_and_hour(r["lowest_air_at"])),
    ]
    if any(row["lowest_crop_C"] > row["lowest_air_C"] for row in rows):
        lines.append(
            Line(
                f"Coldest at the plants, under their cover, {units.degree}",
                lambda r: units.degrees(r["lowest_crop_C"]),
                lambda value: f"{round(value) + 0:d}",
            )
        )
    if any(row["first_below_damage_at"] for row in rows):
        lines.append(
            Line(
                "First crop damage on",
                lambda r: 0.0,
                lambda value: "",
                lambda r: (
                    day_and_hour(r["first_below_damage_at"])
                    if r["first_below_damage_at"]
                    else "never"
                ),
            )
        )
    return lines


def hurt(hours: float) -> str:
    """Hours of crop damage, marked with a word where there are any."""
    return f"{HURT} {whole(hours)}" if hours >= 0.5 else "0"


def _heat_lines(rows: Sequence[Row], units: Units) -> list[Line]:
    lines = [
        Line(f"Heat needed, {units.heat_word}", _heat("heat_need_kWh", units), few),
        Line("Share of it from the heater, %", share_of_need),
    ]
    if any(row["backup_kWh"] > 0.0 for row in rows):
        lines.append(Line(f"Heat of the back-up, {units.heat_word}", _heat("backup_kWh", units)))
    if any(row["delivered_share_of_fuel"] for row in rows):
        lines.append(
            Line(
                "Share of the fuel's (gross) heat delivered, %",
                lambda r: 100.0 * (r["delivered_share_of_fuel"] or 0.0),
            )
        )
    return lines


def share_of_need(row: Row) -> float:
    """Heat delivered over heat needed, per cent; 100 where none was needed."""
    need = float(row["heat_need_kWh"])
    return 100.0 * float(row["heat_delivered_kWh"]) / need if need > 0.0 else 100.0


def _grid(title: str, rows: Sequence[Row]) -> Table:
    from rich import box
    from rich.table import Table

    table = Table(title=title, title_justify="left", box=box.SIMPLE_HEAD, title_style="bold")
    table.add_column("", min_width=22)
    if len(rows) > MOST_COLUMNS:
        heads = [f"middle of {len(rows)}", "low (10 %)", "high (90 %)"]
    else:
        heads = [winter_words(row["winter"]) for row in rows]
    for head in heads:
        table.add_column(head, justify="right", max_width=15, overflow="fold")
    return table


def _fill(table: Table, rows: Sequence[Row], lines: Sequence[Line]) -> None:
    for line in lines:
        if line.text and len(rows) > MOST_COLUMNS:
            continue
        cells = _cells(line, rows)
        style = "bold red" if any(cell.startswith(HURT) for cell in cells) else None
        table.add_row(line.label, *cells, style=style)
    if lines:
        table.add_section()


def _cells(line: Line, rows: Sequence[Row]) -> list[str]:
    if len(rows) > MOST_COLUMNS:
        found = spread([line.value(row) for row in rows])
        return [line.write(value) for value in (found.median, found.low, found.high)]
    return [line.text(row) if line.text else line.write(line.value(row)) for row in rows]
