"""How sure we are: how many winters, how they differ, and what the program cannot know."""

from __future__ import annotations

from greenhouse_sim.plans.quantiles import few_winters
from greenhouse_sim.report.fuel_words import amount, measure
from greenhouse_sim.report.hardest import hardest_line
from greenhouse_sim.report.page.findings import Findings
from greenhouse_sim.report.page.parts import Section, Sheet, listed, plain, section
from greenhouse_sim.report.page.sheet import sheet
from greenhouse_sim.report.woodpile_table import grid
from greenhouse_sim.report.words import few, whole, winter_words
from greenhouse_sim.tables.read import read_rows


def sure(found: Findings) -> Section:
    """The winters one by one, and what no number here knows."""
    rows = [season.ledger for season in found.own]
    many = len(rows)
    said = [few_winters(many) or f"{many} winters were run: shares of one in ten can be told."]
    if many > 1:
        said.append(hardest_line(rows, found.units))
    return section(
        "sure",
        "How sure this is",
        plain(*said),
        plain(*_weather_lines(found)),
        _winters(found),
        plain("What no number of this page knows:"),
        listed(*(row["text"] for row in read_rows("cannot_know"))),
    )


def _weather_lines(found: Findings) -> list[str]:
    """Which weather was made up, and what was filled in."""
    made = [winter_words(one.name) for one in found.weather if one.synthetic]
    lines = []
    if len(made) == len(found.weather):
        lines.append("All of this weather is made up (synthetic), none of it measured.")
    elif made:
        lines.append(f"Made up (synthetic), not measured: {', '.join(made)}.")
    shared: dict[str, list[str]] = {}
    for one in found.weather:
        for note in dict.fromkeys(one.notes):
            shared.setdefault(note, []).append(winter_words(one.name))
    for note, names in shared.items():
        which = "every winter" if len(names) == len(found.weather) else ", ".join(names)
        lines.append(f"Weather of {which}: {note}.")
    return lines


def _winters(found: Findings) -> Sheet:
    """One row a winter."""
    from rich.text import Text

    units = found.units
    unit = measure(found.own[0].ledger, units).unit
    table = grid(f"Winter by winter, {found.heater}")
    table.add_column("Winter", overflow="fold")
    for head in (
        f"coldest outside, {units.degree}", f"heat needed, {units.heat_word}", f"fuel, {unit}",
        "times up", "hours below setpoint", f"coldest inside, {units.degree}",
        "hours of crop damage",
    ):  # fmt: skip
        table.add_column(head, justify="right")
    for season in found.own:
        row = season.ledger
        table.add_row(
            Text(winter_words(season.winter)),
            f"{round(units.degrees(float(season.drive.t_out.min()))) + 0:d}",
            few(units.heat(row["heat_need_kWh"])),
            few(amount(row, units)),
            whole(row["night_wakeups"]),
            whole(row["hours_below_setpoint"]),
            f"{round(units.degrees(row['lowest_air_C'])) + 0:d}",
            whole(row["hours_below_damage"]),
        )
    return sheet(table)
