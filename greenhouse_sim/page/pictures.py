"""Which pictures stand beside the tables, and what is said in their stead."""

from __future__ import annotations

from dataclasses import replace
from typing import TYPE_CHECKING

from greenhouse_sim.page.drawing import Drawing
from greenhouse_sim.plans.compare import Comparison
from greenhouse_sim.plans.foreseen import tasks_of
from greenhouse_sim.report.charts.temperatures import SHOWN
from greenhouse_sim.report.hours import hours
from greenhouse_sim.report.line import coldest
from greenhouse_sim.report.pictures import middle
from greenhouse_sim.report.season_tables import share_of_need
from greenhouse_sim.report.spread import spread, spread_of
from greenhouse_sim.report.words import Units, counted, whole, winter_words
from greenhouse_sim.season.many import run_many
from greenhouse_sim.season.run import Season

if TYPE_CHECKING:
    from matplotlib.figure import Figure

    from greenhouse_sim.plans.nights import Nights
    from greenhouse_sim.plans.woodpile import Woodpile
    from greenhouse_sim.scenario import Scenario


def light(season: Season) -> Season:
    """The season without the winter that it was run from, which is megabytes.

    A picture may wait long for somebody to look at it. What stays is the ledger.
    """
    kept = object.__new__(Season)
    vars(kept).update(ledger=season.ledger)
    return kept


def heater_bars(found: Comparison, scenario: Scenario, units: Units) -> Drawing:
    """The heaters of a comparison as bars."""
    own, damage = scenario.heater.kind, scenario.crop.damage_below
    kept = Comparison(tuple(light(season) for season in found.seasons))
    rows = [season.ledger for season in kept.of(own)]
    share = whole(spread([share_of_need(row) for row in rows]).median)
    ups, cold, hurt = (
        whole(spread_of(rows, key).median)
        for key in ("night_wakeups", "hours_below_setpoint", "hours_below_damage")
    )
    many = len(kept.winters)
    of = f"Of {many} winters the middle one, with a line from 10 to 90 %. " if many > 1 else ""

    def draw() -> Figure:
        from greenhouse_sim.report.charts.bars import comparison_bars

        return comparison_bars(kept, damage, units)

    return Drawing(
        "bars",
        "The heaters as bars",
        "Four bars for each heater: share of the heat needed, times up at night, hours below "
        f"setpoint, and hours under {units.temperature(damage)}, where the crop is damaged. {of}"
        f"{own}: {share} % of the heat, {ups} times up, {cold} h below setpoint, {hurt} h of crop "
        "damage. The table of heaters holds every number.",
        (12.0, 2.0 + 0.36 * len(kept.heaters)),
        draw,
    )


def temperatures(found: Comparison, scenario: Scenario, units: Units, engine: str) -> Drawing:
    """The winter of the scenario's own heater day by day; of several the middle one."""
    damage = scenario.crop.damage_below
    seasons = found.of(scenario.heater.kind)
    shown = middle(seasons)
    tasks = tasks_of(scenario, [shown.prepared], shown.heater, True)
    (ran,) = run_many(tasks, engine, None, None)
    seen = hours(Season(shown.ledger, shown.prepared, ran.trace), *SHOWN).copy()
    kept = light(shown)
    row = kept.ledger
    which = (
        f"Of {len(seasons)} winters the one that needs neither much nor little heat. "
        if len(seasons) > 1
        else ""
    )

    def draw() -> Figure:
        from greenhouse_sim.report.charts.temperatures import season_temperatures

        return season_temperatures(kept, damage, units, seen)

    return Drawing(
        "temperatures",
        f"Inside and outside, day by day: {kept.heater}, winter {winter_words(kept.winter)}",
        f"{which}Each day's low to high inside over each day's low to high outside, with the "
        "setpoint by night and the line under which the crop is damaged. Outside it falls to "
        f"{units.temperature(float(seen['out_C'].min()))} (mean of the hour). Inside the "
        f"{coldest([row], units)}; {counted(row['hours_below_setpoint'], 'hour')} below setpoint, "
        f"{counted(row['hours_below_damage'], 'hour')} of crop damage.",
        (11.0, 5.6),
        draw,
    )


def calendar(found: Nights, units: Units) -> Drawing:
    """Who was up on which date of which winter."""
    from greenhouse_sim.report.nights_table import rule_words

    alarm = rule_words(found.of(found.heater)[1].rule, units)
    ups = sum(1 for one in found.log if one.times_up)

    def draw() -> Figure:
        from greenhouse_sim.report.charts.nights import night_calendar

        return night_calendar(found, units)

    return Drawing(
        "calendar",
        f"Night by night: {found.heater}, {alarm}",
        "A column for each date, a row for each winter: empty where all slept and the greenhouse "
        "stayed warm, faint where all slept and it fell below setpoint, strong where somebody got "
        f"up once, strongest where more than once. Somebody is up in {ups} of {len(found.log)} "
        "whole nights.",
        (11.0, 2.2 + 0.26 * len(found.winters)),
        draw,
    )


def pile(found: Woodpile, units: Units) -> Drawing:
    """What is left of the pile through the winter."""
    from greenhouse_sim.report.woodpile_words import first_line, rule_line

    kept = replace(found, seasons=tuple(light(season) for season in found.seasons))
    several = len(found.seasons) > 1

    def draw() -> Figure | None:
        from greenhouse_sim.report.charts.pile import pile_left

        return pile_left(kept, units)

    must = ", and how much must be left for the rest to last in 90 % of them" if several else ""
    of = "in the middle winter and in most of the others" if several else "in the winter"
    return Drawing(
        "pile",
        f"The pile through the winter: {found.heater}",
        f"What is left of the pile from the first day of the season to the last, {of}{must}. "
        f"{first_line(found, units)}. {rule_line(found)}",
        (10.0, 5.6),
        draw,
    )
