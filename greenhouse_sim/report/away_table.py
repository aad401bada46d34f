"""Absences in tables: by week, alarms, help, heat behind shut vents, a trip."""

from __future__ import annotations

import math
from datetime import date
from typing import TYPE_CHECKING

from greenhouse_sim.plans.absence import FULL_H, Absence, Left
from greenhouse_sim.plans.absence_sums import (
    SHARES,
    burnt,
    heat,
    loads,
    middle,
    safe_hours,
    warnings,
    weeks,
)
from greenhouse_sim.plans.departures import DAY_H
from greenhouse_sim.plans.trip import Trip
from greenhouse_sim.report.away_words import (
    amount,
    backup_fuel,
    fire_lasts,
    lasts,
    percent,
    share_words,
    who,
)
from greenhouse_sim.report.season_tables import month_name
from greenhouse_sim.report.woodpile_table import grid
from greenhouse_sim.report.words import Units, winter_words

if TYPE_CHECKING:
    from rich.table import Table


MOST_WINTERS = 12
"""Winters up to which a trip is told winter by winter; the files have all."""


def short(when: date) -> str:
    """A day: "5 Jan"."""
    return f"{when.day} {when:%b}"


def week_table(found: Absence, units: Units) -> Table:
    """One row a week of departures."""
    many = len(found.winters)
    table = grid(f"Nobody comes ({who(found, units)})")
    table.add_column("Leave in the\nweek of", no_wrap=True)
    for head in ("fire\nlasts", "below\nsetpoint", "crop hurt\nafter"):
        table.add_column(head, justify="right", min_width=9)
    shares = SHARES if many > 1 else SHARES[-1:]
    for share in shares:
        table.add_column(f"safe in\n{share_words(share, many)}", justify="right", min_width=9)
    table.add_column("week with\ndaily help", justify="right", min_width=10)
    fed = found.own.fire_out_h
    fire = bool((fed < math.inf).any())
    for week in weeks(found):
        safe = week.safe_h if many > 1 else week.safe_h[-1:]
        table.add_row(
            short(week.first),
            fire_lasts(week.fire_h, week.looked_h) if fire else "never out",
            lasts(week.below_h, week.looked_h),
            lasts(week.hurt_h, week.looked_h),
            *(lasts(hours, week.looked_h) for hours in safe),
            f"{week.helper_holds} of {week.winters}",
        )
    return table


def help_table(found: Absence, units: Units) -> Table:
    """What each kind of help is worth, over every departure of every winter."""
    table = grid("What help is worth, over all evenings of all winters")
    table.add_column("While the grower is away")
    for head in (
        "crop hurt after,\nmiddle",
        "one in ten\nsooner than",
        "unhurt for\na day",
        "a week",
    ):
        table.add_column(head, justify="right", no_wrap=True)
    hour = f"{math.floor(found.terms.helper_hour):02d}:00"
    kept = f"{found.backup} from {units.temperature(found.starts_below)}"
    rows: list[tuple[str, Left | None]] = [
        ("nobody, no back-up", found.alone),
        (f"nobody, {kept}", found.backed),
        (f"a helper at {hour} each day, no back-up", found.helped),
        (f"a helper at {hour} each day, {found.backup}", found.helped_backed),
    ]
    for name, left in rows:
        if left is not None:
            table.add_row(name, *_worth(left))
    return table


def _worth(left: Left) -> list[str]:
    import numpy as np

    hours, ended = safe_hours(left), ~np.isinf(left.hurt_h)
    there = ~np.isnan(hours)
    half = middle(left.hurt_h)
    tenth = float(np.quantile(np.minimum(left.hurt_h[there], FULL_H), 0.1))
    shares = []
    for back in (1 * DAY_H, 7 * DAY_H):
        known = there & ((hours >= back) | ended)
        shares.append(percent(float((hours[known] >= back).mean())) if known.any() else "")
    return ["not within 14 days" if np.isinf(half) else lasts(half), lasts(tenth), *shares]


def alarm_table(found: Absence, units: Units) -> Table:
    """What a low alarm at each temperature gives."""
    table = grid("A low alarm while nobody is there: hours from the ring to the crop's harm")
    table.add_column("Rings when", no_wrap=True)
    for head in (
        "rings within\n14 days", "fewest\nhours", "one ring\nin ten under", "middle",
        "rings with\nno harm after",
    ):  # fmt: skip
        table.add_column(head, justify="right", no_wrap=True)
    for k, one in enumerate(warnings(found)):
        own = " (yours)" if k == found.terms.alarm else ""
        name = "the fire is out" if one.at is None else f"air under {units.temperature(one.at)}"
        hours = [_warning(h) for h in (one.shortest_h, one.tenth_h, one.middle_h)]
        table.add_row(name + own, percent(one.rings), *hours, percent(one.for_nothing))
    return table


def _warning(hours: float) -> str:
    return "never hurt" if math.isnan(hours) else lasts(hours)


def heat_table(found: Absence, units: Units) -> Table:
    """What a high alarm is for: the house with its vents shut."""
    high = units.temperature(found.terms.high)
    table = grid(f"A high alarm: over {high} with the vents left shut")
    table.add_column("Leave in")
    table.add_column("over it by the second evening", justify="right")
    table.add_column("after, middle", justify="right")
    for one in heat(found):
        after = "" if math.isnan(one.after_h) else lasts(one.after_h)
        table.add_row(month_name(one.month[5:]), f"{percent(one.share)} of departures", after)
    return table


def fuel_table(found: Absence, units: Units) -> Table:
    """What the back-up burns in absences of several lengths."""
    table = grid(f"Fuel that the {found.backup} takes while nobody comes")
    table.add_column("Days away", justify="right")
    table.add_column("middle evening", justify="right")
    table.add_column("most of all evenings and winters", justify="right")
    for one in burnt(found):
        table.add_row(
            str(one.days),
            backup_fuel(one.middle_j, found, units),
            backup_fuel(one.most_j, found, units),
        )
    return table


def trip_table(found: Trip, units: Units) -> Table:
    """How the trip went in each winter (or under the forecast)."""
    table = grid("The trip, winter by winter" if not found.forecast else "The trip in the forecast")
    table.add_column("Winter", overflow="fold")
    for head in ("coldest\noutside", "fire out\nafter", "hours below\nsetpoint",
                 "coldest at\nthe plants", "crop hurt\nafter"):  # fmt: skip
        table.add_column(head, justify="right", no_wrap=True)
    for one in found.outcomes:
        table.add_row(
            winter_words(one.winter),
            units.temperature(one.lowest_out),
            "burns on" if math.isinf(one.fire_out_h) else lasts(one.fire_out_h),
            f"{one.below_h:.0f}",
            units.temperature(one.lowest_crop),
            "unhurt" if math.isinf(one.hurt_h) else lasts(one.hurt_h),
        )
    return table


def night_table(found: Trip, units: Units) -> Table:
    """The trip night by night."""
    many = len(found.outcomes) > 1
    table = grid("The trip, night by night")
    table.add_column("Evening of")
    heads = ["coldest outside", "at the plants"]
    if many:
        heads = ["outside, middle", "lowest", "at the plants, middle", "lowest"]
    for head in [*heads, "fire still burns" if many else "fire at dawn", "crop hurt"]:
        table.add_column(head, justify="right")
    for one in found.nights:
        import numpy as np

        cells = []
        for values in (one.out, one.crop):
            cells.append(units.temperature(float(np.median(values))))
            if many:
                cells.append(units.temperature(float(values.min())))
        last = [percent(one.fire), percent(one.hurt)]
        if not many:
            last = ["burns" if one.fire > 0.5 else "out", "yes" if one.hurt > 0.5 else "no"]
        table.add_row(short(one.evening), *cells, *last)
    return table


def load_rows(found: Absence, units: Units) -> list[tuple[str, str, str]]:
    """By month: month, usual load of a daily visit, and the most."""
    rows = []
    for one in loads(found):
        usual, most = (
            "none" if math.isnan(kg) else amount(kg, units) for kg in (one.kg, one.most_kg)
        )
        rows.append((month_name(one.month[5:]), usual, most))
    return rows
