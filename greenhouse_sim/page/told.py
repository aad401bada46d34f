"""What the page works out, and how it tells it: tables and pictures, section by section."""

from __future__ import annotations

from collections.abc import Sequence
from typing import TYPE_CHECKING

from greenhouse_sim.page.runs import Found, Run
from greenhouse_sim.report.page.parts import (
    Picture,
    Section,
    Sheet,
    Words,
    lead,
    noted,
    plain,
    section,
)
from greenhouse_sim.report.words import Units

if TYPE_CHECKING:
    from greenhouse_sim.plans.woodpile import Woodpile
    from greenhouse_sim.scenario import Scenario
    from greenhouse_sim.weather import Weather

Blocks = tuple[Sheet | Picture | Words | None, ...]
BUTTONS = {
    "compare": "Compare heaters",
    "nights": "What getting up is worth",
    "woodpile": "Plan the woodpile",
}
"""What can be asked for, and what its button says."""
HOURS_OF_WORK = (
    "Hours of work are told with the wood's own, from felling to stacking; the comparison tells "
    "the heater's alone."
)


def work(run: Run) -> Found:
    """Do what a run is for."""
    return {"compare": _compare, "nights": _nights, "woodpile": _woodpile}[run.what](run)


def warm() -> None:
    """Load, or compile, what every run needs, so that the first press of a button is answered."""
    from greenhouse_sim.plans.compare import compare
    from greenhouse_sim.scenario import demo_path, read_scenario

    scenario = read_scenario(demo_path())
    first = scenario.with_(**{"site.weather": list(scenario.site.weather[:1])})
    compare(first, ["ideal"], engine=_engine())


def _engine() -> str:
    """The engine that is ready by now."""
    from greenhouse_sim.season.compiled import available

    return "compiled" if available() else "python"


def _compare(run: Run) -> Found:
    from greenhouse_sim.page.pictures import heater_bars, temperatures
    from greenhouse_sim.plans.compare import all_heaters, compare
    from greenhouse_sim.report.compare_table import compare_table
    from greenhouse_sim.report.hardest import hardest_lines
    from greenhouse_sim.report.json_text import json_text
    from greenhouse_sim.report.line import one_line
    from greenhouse_sim.report.page.sheet import sheet
    from greenhouse_sim.report.reading import compare_notes, farm_line
    from greenhouse_sim.season.run import notes

    scenario, units = run.scenario, _units(run)
    winters, _ = _weather(scenario)
    chosen = all_heaters()
    run.expect(len(winters) * (len(chosen) + 2))
    result = compare(scenario, chosen, winters, tell=run.tell, advance=run.advance)
    own, damage = scenario.heater.kind, scenario.crop.damage_below
    rows = [season.ledger for season in result.of(own)]
    backup = scenario.backup.kind if scenario.backup else None
    drawings = (
        heater_bars(result, scenario, units),
        temperatures(result, scenario, units, _engine()),
    )
    blocks: Blocks = (
        lead(f"{own}: {one_line(rows, units, backup)}."),
        plain(farm_line(scenario, result.winters, units)),
        _own_marked(sheet(compare_table(result, units, damage)), own),
        plain(*hardest_lines(rows, units)),
        *(one.block for one in drawings),
        noted(*compare_notes(units, damage), *notes(scenario, [own]), *_weather_notes(winters)),
    )
    told = section("compare", "Heaters side by side", *blocks)
    return Found((told,), json_text(result), drawings)


def _nights(run: Run) -> Found:
    from greenhouse_sim.page.pictures import calendar
    from greenhouse_sim.plans.foreseen import Work
    from greenhouse_sim.plans.nights import nights, steps, tended
    from greenhouse_sim.report.nights_json import nights_json
    from greenhouse_sim.report.nights_table import all_table, load_table, own_table
    from greenhouse_sim.report.nights_words import edge_lines, first_line, notes, worth_lines
    from greenhouse_sim.report.page.sheet import sheet
    from greenhouse_sim.report.reading import farm_line

    scenario, units = run.scenario, _units(run)
    winters, records = _weather(scenario)
    run.expect(steps(len(winters), 1, len(tended())))
    found = nights(scenario, winters, records, None, Work("auto", run.tell, run.advance))
    drawing = calendar(found, units)
    blocks = (
        lead(f"{first_line(found, units)}."),
        plain(farm_line(scenario, found.winters, units)),
        sheet(own_table(found, units, scenario.crop.damage_below)),
        plain(*worth_lines(found, units), *edge_lines(found, units)),
        drawing.block,
        sheet(all_table(found, units)) if len(found.heaters) > 1 else None,
        sheet(load_table(found, units)),
        noted(*notes(found), *_weather_notes(winters)),
    )
    told = section("nights", "What getting up is worth", *blocks)
    return Found((told,), nights_json(found), (drawing,))


def _woodpile(run: Run) -> Found:
    from greenhouse_sim.heater.burnt import default_fuel
    from greenhouse_sim.page.pictures import pile
    from greenhouse_sim.plans.compare import compare
    from greenhouse_sim.plans.stack import rack
    from greenhouse_sim.plans.woodpile import check_fuel, unlimited, woodpile
    from greenhouse_sim.report.woodpile_json import woodpile_json
    from greenhouse_sim.season.run import scenario_fuel

    check_fuel(run.scenario)
    scenario = unlimited(run.scenario)
    winters, records = _weather(scenario)
    run.expect(len(winters) * 3)
    kinds = [scenario.heater.kind]
    result = compare(scenario, kinds, winters, traced=True, tell=run.tell, advance=run.advance)
    run.tell("Trying other woods and other moistures ...")
    fuel = default_fuel(scenario.heater.kind, scenario_fuel(scenario))
    bought = scenario.fuel.source == "buy" and fuel.kind == "wood"
    found = woodpile(
        scenario, result.seasons, records, rack(None, None), own_kg=0.0 if bought else None
    )
    drawings = (pile(found, _units(run)),) if found.ready else ()
    told = _woodpile_section(run, found, [one.block for one in drawings], _weather_notes(winters))
    return Found((told,), woodpile_json(found, scenario), drawings)


def _woodpile_section(
    run: Run, found: Woodpile, pictures: Sequence[Picture], weather: list[str]
) -> Section:
    from greenhouse_sim.report.labour_table import labour_table
    from greenhouse_sim.report.page.sheet import sheet
    from greenhouse_sim.report.reading import farm_line
    from greenhouse_sim.report.woodpile_table import left_table, ready_table, wet_table, woods_table
    from greenhouse_sim.report.woodpile_words import (
        first_line,
        notes,
        rule_line,
        winters_line,
        work_line,
    )

    units = _units(run)
    wood = found.ready and found.kind == "wood"
    return section(
        "woodpile",
        "The woodpile",
        lead(f"{first_line(found, units)}."),
        plain(farm_line(run.scenario, [one.winter for one in found.seasons], units)),
        sheet(ready_table(found, units)) if found.ready else None,
        sheet(left_table(found, units)) if found.ready else None,
        plain(rule_line(found)) if found.ready else None,
        *pictures,
        sheet(woods_table(found, units)) if wood else None,
        sheet(wet_table(found, units)) if wood else None,
        sheet(labour_table(found.work)),
        plain(work_line(found)),
        noted(
            winters_line(found), *_without_commands(notes(found, units)), HOURS_OF_WORK, *weather
        ),
    )


def _own_marked(told: Sheet, own: str) -> Sheet:
    """The table with the row of the scenario's own heater told apart."""
    lines = (
        line._replace(look="own") if line.cells[0].text == own else line for line in told.lines
    )
    return told._replace(lines=tuple(lines))


def _without_commands(lines: Sequence[str]) -> list[str]:
    """Notes without those on files and options that only the command line has."""
    return [line for line in lines if "--out" not in line]


def _units(run: Run) -> Units:
    return Units(run.answers.units == "us")


def _weather(scenario: Scenario) -> tuple[list[Weather], list[Weather]]:
    """The winters, and the whole records that they are cut from."""
    from greenhouse_sim.season.run import read_records
    from greenhouse_sim.weather import winters

    records = read_records(scenario)
    site = scenario.site
    cut = [one for record in records for one in winters(record, site.season_start, site.season_end)]
    return cut, records


def _weather_notes(winters: list[Weather]) -> list[str]:
    """What a reader should know of the weather."""
    notes = [f"{one.name.replace('_', ' ')}: {note}." for one in winters for note in one.notes]
    made = [one.name.replace("_", " ") for one in winters if one.synthetic]
    if made:
        notes.append(f"Made-up (synthetic) weather, not measured: {', '.join(made)}.")
    return notes
