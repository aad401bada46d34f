"""The journal: the winter so far in words, a table, and as JSON."""

from __future__ import annotations

import json
from collections.abc import Sequence
from typing import TYPE_CHECKING, Any

from greenhouse_sim.plans.quantiles import few_winters
from greenhouse_sim.report.json_text import SCHEMA, plain
from greenhouse_sim.report.woodpile_table import grid, of_all, unit_of_fuel, until_text
from greenhouse_sim.report.words import Units, counted, day, few

if TYPE_CHECKING:
    from rich.table import Table

    from greenhouse_sim.journal.entry import Entry
    from greenhouse_sim.plans.journal_review import Band, SoFar
    from greenhouse_sim.plans.pile import Lasts

PACE = 0.05
"""A pace within this of the plan's is told as the plan's."""


def first_line(found: SoFar, units: Units) -> str:
    """The answer in a line: fuel used, what is left, until when."""
    if not found.entries:
        return f"No entry of this season up to {day_text(found)}"
    unit = unit_of_fuel(found.fuel, units)
    parts = [f"Up to {day_text(found)}: {few(unit.of(found.used_kg))} {unit.unit} used"]
    if found.left is not None:
        parts.append(f"{few(unit.of(found.left.kg))} {unit.unit} left")
    parts.append(counted(found.nights_up, "night") + " up")
    return ", ".join(parts)


def day_text(found: SoFar) -> str:
    """The evening that is told: "14 January 2027"."""
    return f"{day(found.on.isoformat())} {found.on.year}"


def plan_lines(found: SoFar, units: Units) -> list[str]:
    """Against the plan: the pace, and how long the pile lasts."""
    plan = found.plan
    if plan is None:
        return []
    lines = []
    if plan.pace is not None:
        lines.append(pace_text(plan.pace))
    elif found.entries:
        lines.append("Too early in the season to set a pace against the plan.")
    if found.left is None:
        lines.append(
            'The pile has not been counted: write [fuel] pile = "6 cord" in the scenario, or '
            'note a count with --pile "6 cord".'
        )
    else:
        lines += ends_lines("If the rest is like the winters of the weather files", plan.ends)
        if plan.pace is not None and abs(plan.pace - 1.0) > PACE:
            lines += ends_lines("At the pace so far", plan.ends_at_pace)
    few_told = few_winters(plan.winters)
    return lines + ([few_told] if few_told else [])


def pace_text(pace: float) -> str:
    """How fast the fuel goes against the middle winter."""
    if abs(pace - 1.0) <= PACE:
        return "Fuel goes as in the middle winter of the weather files."
    word = "more" if pace > 1.0 else "less"
    return f"{abs(pace - 1.0):.0%} {word} fuel than the middle winter by this day.".replace(
        "%", " %"
    )


def ends_lines(start: str, ends: Lasts | None) -> list[str]:
    """When the pile runs out."""
    if ends is None:
        return []
    many = len(ends.until)
    gone = sorted(when for when in ends.until if when is not None)
    if not gone:
        return [f"{start}, it lasts to the end of the season in {of_all(many)}."]
    return [f"{start}, it {until_text(gone, many)}."]


def so_far_table(found: SoFar, units: Units) -> Table:
    """What the journal says beside what the winters would have taken by now."""
    unit = unit_of_fuel(found.fuel, units)
    plan = found.plan
    table = grid("The season so far")
    table.add_column("")
    table.add_column("journal", justify="right")
    if plan is not None:
        table.add_column("plan, middle winter", justify="right")
        table.add_column("10 to 90 % of winters", justify="right")

    def row(name: str, own: str, band: Band | None = None, per: float = 1.0) -> None:
        cells = [name, own]
        if plan is not None:
            many = plan.winters > 1
            cells.append("" if band is None else few(band.middle * per))
            told = band is not None and many
            cells.append(f"{few(band.low * per)}-{few(band.high * per)}" if band and told else "")
        table.add_row(*cells)

    row(f"fuel used, {unit.unit}", few(unit.of(found.used_kg)), plan and plan.used_kg, unit.per_kg)
    if plan is not None:
        row(f"fuel in the whole season, {unit.unit}", "", plan.season_kg, unit.per_kg)
    if found.left is not None:
        row(f"left of the pile, {unit.unit}", few(unit.of(found.left.kg)))
    row("nights up", str(found.nights_up), plan and plan.nights_up)
    row("loads", str(found.loads))
    row("visits and readings in all", str(found.visits))
    if found.cut_h > 0.0:
        row("without power, h", few(found.cut_h))
    if found.coldest is not None and found.coldest.indoor_C is not None:
        when = f"{found.coldest.at:%H:%M} on {day(found.coldest.at)}"
        row(f"coldest reading, {when}", units.temperature(found.coldest.indoor_C))
    for task, hours in found.hours.items():
        row(f"{task}, h of work", few(hours))
    if found.hours:
        row("work in all, h", few(sum(found.hours.values())))
    return table


def work_line(found: SoFar) -> list[str]:
    """Where the hours of work come from."""
    if not found.hours:
        return []
    return [
        f"{found.noted_share:.0%} of the hours of work were noted, the rest is by the tables' "
        "usual minutes.".replace("%", " %"),
        "Fuel used is what was loaded, or what was carried in where that is more.",
    ]


def list_table(entries: Sequence[Entry], units: Units) -> Table:
    """Every entry with its number."""
    table = grid("Entries")
    for name in ("no.", "time", "what", "fuel, " + ("lb" if units.us else "kg"),
                 f"in, {units.degree}", f"out, {units.degree}", "min", "note"):  # fmt: skip
        right = name.startswith(("no.", "fuel", "in,", "out", "min"))
        table.add_column(name, justify="right" if right else "left", no_wrap=name == "time")
    for one in entries:
        what = one.kind + (", got up" if one.woken else "")
        if one.until is not None:
            what += f" to {one.until:%m-%d %H:%M}"
        temperatures = [
            "" if value is None else f"{units.degrees(value):.0f}"
            for value in (one.indoor_C, one.outdoor_C)
        ]
        table.add_row(
            str(one.number), f"{one.at:%Y-%m-%d %H:%M}", what,
            "" if one.kg is None else few(units.pounds(one.kg)), *temperatures,
            "" if one.minutes is None else few(one.minutes), one.note,
        )  # fmt: skip
    return table


def journal_json(found: SoFar) -> str:
    """The winter so far as JSON, SI, one line."""
    row = found._asdict()
    plan = row.pop("plan")
    row["fuel"] = found.fuel.name
    row["entries"] = len(found.entries)
    row["coldest"] = None if found.coldest is None else _moment(found.coldest)
    row["first"], row["on"] = found.first.isoformat(), found.on.isoformat()
    if found.left is not None:
        row["left"] = found.left._asdict() | {"counted_on": found.left.counted_on.isoformat()}
    row["plan"] = None
    if plan is not None:
        row["plan"] = {
            "winters": plan.winters,
            "used_kg": plan.used_kg._asdict(),
            "nights_up": plan.nights_up._asdict(),
            "season_kg": plan.season_kg._asdict(),
            "pace": plan.pace,
            "runs_out": _ends(plan.ends),
            "runs_out_at_pace": _ends(plan.ends_at_pace),
        }
    return json.dumps({"schema": SCHEMA, "journal": plain(row)}, allow_nan=False) + "\n"


def _ends(ends: Lasts | None) -> list[str | None] | None:
    if ends is None:
        return None
    return [None if when is None else when.isoformat() for when in ends.until]


def _moment(entry: Entry) -> dict[str, Any]:
    return {"at": entry.at.isoformat(timespec="minutes"), "indoor_C": entry.indoor_C}
