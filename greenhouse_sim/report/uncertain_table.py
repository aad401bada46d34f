"""What may come when the unknowns are drawn too, and which of them to measure first."""

from __future__ import annotations

from collections.abc import Callable, Mapping, Sequence
from typing import TYPE_CHECKING, Any

from greenhouse_sim.plans.rank import SURE
from greenhouse_sim.plans.uncertain import ANSWERS, Uncertain
from greenhouse_sim.plans.unknowns import WINTER, Unknown
from greenhouse_sim.report.fuel_words import amount, kind_of, measure
from greenhouse_sim.report.spread import spread
from greenhouse_sim.report.woodpile_table import grid
from greenhouse_sim.report.words import Units, counted, few, whole

if TYPE_CHECKING:
    from rich.table import Table

    from greenhouse_sim.plans.compare import Comparison
    from greenhouse_sim.plans.rank import Indices, Shares

Row = Mapping[str, Any]
SMALL = 0.01
"""Shares of the spread under this are told as "under 1 %"."""
FUEL, COLD = ANSWERS


def spread_table(
    plain: Comparison, found: Sequence[Uncertain], units: Units, damage_C: float
) -> Table:
    """The middle and 10 to 90 % with the unknowns drawn; of a lone heater as written beside it."""
    alone = found[0] if len(found) == 1 else None
    title = "With what is not known drawn too: the middle (10 to 90 %)"
    table = grid(f"{title}, {alone.heater}" if alone else title)
    table.add_column("" if alone else "Heater", no_wrap=True)
    heads = (
        f"fuel, {fuel_unit(alone, units)}" if alone else "fuel", "times up",
        "hours below setpoint", f"coldest, {units.degree}",
        f"hours under {units.temperature(damage_C)}",
    )  # fmt: skip
    for head in heads:
        table.add_column(head, justify="right", max_width=20)
    if alone:
        written = [season.ledger for season in plain.of(alone.heater)]
        many = counted(len(plain.winters), "winter")
        table.add_row(f"as written, {many}", *_cells(written, units, unit=False))
    for one in found:
        name = f"{len(one.rows)} draws" if alone else one.heater
        table.add_row(name, *_cells(one.rows, units, unit=alone is None))
    return table


def _cells(rows: Sequence[Row], units: Units, unit: bool) -> list[str]:
    fuel = _two([amount(row, units) for row in rows], few)
    word = measure(rows[0], units).unit if unit and kind_of(rows[0]) != "none" else ""
    return [
        f"{fuel} {word}".rstrip(),
        _two([row["night_wakeups"] for row in rows], whole),
        _two([row["hours_below_setpoint"] for row in rows], whole),
        _two([units.degrees(row["lowest_air_C"]) for row in rows], lambda t: f"{round(t) + 0:d}"),
        _two([row["hours_below_damage"] for row in rows], whole),
    ]


def _two(values: Sequence[float], write: Callable[[float], str]) -> str:
    found = spread(values)
    span = found.range(write)
    return f"{found.middle(write)} ({span})" if span else found.middle(write)


def ranking_table(found: Uncertain, units: Units) -> Table:
    """A row an unknown: its range, and what it moves, the first to measure on top."""
    unit = fuel_unit(found, units)
    table = grid(f"What moves {unit} and hours below setpoint most: {found.heater}")
    table.add_column("Unknown", no_wrap=True)
    table.add_column("drawn from", justify="right", no_wrap=True)
    for head in (f"{unit}, % of spread", "low to high", "cold hours, % of spread",
                 "low to high"):  # fmt: skip
        table.add_column(head, justify="right", max_width=12)
    for i in order(found):
        cells = [*_answer_cells(found, i, FUEL, units), *_answer_cells(found, i, COLD, units)]
        table.add_row(found.unknowns[i].name, range_words(found.unknowns[i]), *cells)
    return table


def measurable(found: Uncertain) -> list[int]:
    """Numbers of the unknowns that a grower can do something about."""
    return [i for i, one in enumerate(found.unknowns) if one.key != WINTER]


def order(found: Uncertain) -> list[int]:
    """Those that can be measured, what moves most first; by fuel and cold hours alike."""
    ranked = [one.indices.within.value for one in found.ranking.values() if one is not None]
    size = {i: sum(float(value[i]) for value in ranked) for i in measurable(found)}
    return sorted(size, key=lambda i: -size[i])


def fuel_unit(found: Uncertain, units: Units) -> str:
    """Measure of a heater's fuel."""
    return measure(found.rows[0], units).unit


def fuel_scale(found: Uncertain, units: Units) -> float:
    """The reader's measure for each unit of the fuel's answer."""
    for row, value in zip(found.rows, found.answer(FUEL), strict=True):
        if value > 0.0:
            return amount(row, units) / float(value)
    return 0.0


def range_words(one: Unknown) -> str:
    """The range that an unknown is drawn from."""
    if one.factor:
        return f"{_signed(one.low - 1.0)} to {_signed(one.high - 1.0)} %"
    return f"{100.0 * one.low:.0f} to {100.0 * one.high:.0f} %"


def _signed(share: float) -> str:
    return f"{100.0 * share:+.0f}".replace("-", "−")


def _answer_cells(found: Uncertain, i: int, name: str, units: Units) -> tuple[str, str]:
    ranked = found.ranking[name]
    if ranked is None:
        return "", ""
    scale = fuel_scale(found, units) if name == FUEL else 1.0
    moved = float(ranked.effect[i]) * scale
    text = few(abs(moved)) if name == FUEL else whole(abs(moved))
    sign = "" if text == "0" else "+" if moved > 0.0 else "−"
    return share_words(ranked.indices.within, i), sign + text


def share_words(found: Shares, i: int) -> str:
    """An unknown's share of the spread, with what resampling gives: "21 (16-26)"."""
    if found.high[i] < SMALL:
        return "under 1"
    value, low, high = (100.0 * min(max(float(part[i]), 0.0), 1.0) for part in found)
    return f"{value:.0f} ({low:.0f}-{high:.0f})"


def measure_lines(found: Uncertain, units: Units) -> list[str]:
    """What the winter does, what to measure first, and how sure the order is."""
    lines = []
    for name, words in ((FUEL, fuel_unit(found, units)), (COLD, "hours below setpoint")):
        ranked = found.ranking.get(name)
        if ranked is None:
            lines.append(f"Nothing that was drawn moves the {words}.")
        else:
            lines.append(_first_line(found, ranked.indices, words))
    return lines


def _first_line(found: Uncertain, ranked: Indices, words: str) -> str:
    can = order(found)
    by_size = sorted(can, key=lambda i: -ranked.within.value[i])
    first = by_size[0]
    line = f"{words[0].upper()}{words[1:]}: "
    winter = [i for i in range(len(found.unknowns)) if i not in can]
    if winter:
        line += f"the winter makes {share_words(ranked.first, winter[0])} % of the spread; "
    rest = "of the rest" if winter else "of the spread"
    line += f"{found.unknowns[first].name} has a hand in {share_words(ranked.within, first)} % "
    line += f"{rest}, so measure it first"
    if len(by_size) > 1 and ranked.on_top[first] < SURE:
        line += f", or {found.unknowns[by_size[1]].name}: it is not sure which comes first"
    return line + "."


def uncertain_notes() -> list[str]:
    """How to read the tables."""
    return [
        "Drawn: each unknown from a triangle over its range, its peak at the scenario's value; the "
        "winter evenly. Percent with a sign are of the scenario's value. Ranges and their sources "
        "stand in the program's table of unknowns (with --json, too).",
        "% of spread: share of the variance within a winter that an unknown has a hand in, alone "
        "or with others (so shares may add up to over 100); in brackets what 90 % of resamples "
        "give. Low to high: from the unknown's 10th to its 90th percentile.",
    ]
