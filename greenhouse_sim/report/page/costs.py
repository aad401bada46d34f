"""What the heaters cost, and what would change the decision."""

from __future__ import annotations

from greenhouse_sim.report import money_words as words
from greenhouse_sim.report.charts.money import cost_bars
from greenhouse_sim.report.dollars import rough
from greenhouse_sim.report.money_table import costs_table, ordered, switch_table
from greenhouse_sim.report.page.draw import picture
from greenhouse_sim.report.page.findings import Findings
from greenhouse_sim.report.page.parts import Section, Sheet, lead, listed, noted, section
from greenhouse_sim.report.page.sheet import sheet


def costs(found: Findings) -> Section:
    """Prices, the table of the heaters, and how sure the decision is."""
    money, switches = found.costs.money, found.costs.switches
    first = f"{words.first_line(money)}."
    drawn = picture(
        "costs",
        cost_bars(money, found.scenario.site.name),
        f"A bar a heater. {first} {_all(found)}",
    )
    turns: Sheet | None = None
    if money.fit and switches:
        turns = sheet(switch_table(switches, money.fit[0].heater))
    sure = [words.switch_line(money, switches), words.winter_line(found.costs.winters)]
    return section(
        "costs",
        "Costs",
        lead(first),
        listed(*(line for line in (words.lost_line(money), *words.unpriced(money)) if line)),
        sheet(costs_table(money)),
        drawn if money.fit else None,
        turns,
        listed(*(line for line in sure if line)) if money.fit else None,
        noted(*words.notes(money, found.scenario)),
    )


def _all(found: Findings) -> str:
    told = [f"{one.heater} {rough(one.yearly)}" for one in ordered(found.costs.money)]
    return f"A year: {', '.join(told)}."
