"""The answer about money in sentences."""

from __future__ import annotations

from collections.abc import Sequence
from typing import TYPE_CHECKING

from greenhouse_sim.plans.money import Money
from greenhouse_sim.plans.no_prices import Worth, beaten, worth
from greenhouse_sim.plans.prices import any_own, price
from greenhouse_sim.plans.switch import Switch, WinterBest
from greenhouse_sim.report.dollars import rough, years
from greenhouse_sim.report.words import counted, few, whole

if TYPE_CHECKING:
    from greenhouse_sim.scenario import Scenario


def first_line(found: Money) -> str:
    """The cheapest heater that does its work, and what it takes."""
    if not found.fit:
        return "No heater's yearly cost is known: prices are missing"
    best = found.fit[0]
    low, high = best.range or (0.0, 0.0)
    text = (
        f"Cheapest that does its work: {best.heater}, {rough(best.yearly)} a year "
        f"({rough(low)} to {rough(high)}), {rough(best.first)} to buy, "
        f"{counted(best.hours, 'hour')} of work a year"
    )
    held = next((one for one in found.against if one.heater == best.heater), None)
    if held is None:
        return text
    if held.extra > 0.0:
        back = years(held.payback)
        when = "never paid back" if held.payback is None else f"paid back in {back} years"
        return f"{text}; against {found.baseline} {when}"
    return f"{text}; {rough(-held.extra)} less to buy than {found.baseline}"


def lost_line(found: Money) -> str:
    """Where no heater keeps the crop in all winters."""
    fewest = min(one.lost for one in found.costs)
    winters = found.costs[0].winters
    if fewest == 0:
        return ""
    return (
        f"Every heater tried loses the crop in at least {fewest} of {winters} winters: a back-up, "
        "a hardier crop or a row cover comes before any choice by cost."
    )


def notes(found: Money, scenario: Scenario) -> list[str]:
    """How to read the table, and what is not in it."""
    said = [
        "A year: purchases spread over their lives at "
        f"{100.0 * found.interest:g} % interest (above inflation), and the mean of the winters' "
        "fuel, electricity, back-up fuel, own hours and repairs. Under it the likely range of "
        "prices, not of winters. Paid back and Net hold the heater against the baseline: years "
        f"until it has saved what it costs more, and what it is worth over {found.years} years in "
        "dollars of now (above zero: better than the baseline). '-': cheaper to buy, dearer to "
        "run.",
        "Lower group (faint): loses the crop in more winters than another, or is below setpoint "
        f"for over {whole(found.most_cold)} hours a winter.",
        "Money, work and cold hours are means of the winters, because a cost a year is one; run "
        "and compare tell the middle winter, which differs a little.",
    ]
    if scenario.money.prices == "own":
        said.append('Only prices that stand in the scenario count: [money] prices = "own".')
    elif not any_own(scenario):
        said.append(
            "No price stands in the scenario: typical ones of the program's tables are used. Write "
            "your own in [money], such as wage, wood, pellets, propane, electricity."
        )
    if (price(scenario, "wage") or (0.0,))[0] == 0.0:
        said.append("Own hours are not priced.")
    if price(scenario, "crop_value") is None:
        said.append(
            "A frozen crop costs nothing here: write [money] crop_value, such as "
            '"0.25 /ft^2/week", and it is counted with its chance.'
        )
    if scenario.backup is not None:
        said.append("The back-up heater itself is the same for all and left out; its fuel counts.")
    return said


def unpriced(found: Money) -> list[str]:
    """What can be decided without prices."""
    missing = sorted({item for one in found.doing for item in one.unknown})
    if not missing:
        return []
    said = [f"No price is known for {', '.join(missing)}. Without prices this much is decided:"]
    for one in beaten(found):
        said.append(
            f"{one.by} takes no more of anything than {one.heater} and is no colder: at any "
            "prices it runs cheaper."
        )
    for same in worth(found):
        said.append(_same_cost(same))
    least = min(found.doing, key=lambda one: one.hours)
    said.append(f"{least.heater} takes the fewest own hours, {whole(least.hours)} a year.")
    return said


def _same_cost(same: Worth) -> str:
    """The prices at which two fuels cost the same, in numbers over a tenth."""
    start = f"{same.heater} burns cheaper than {same.other} as long as"
    if same.ratio >= 0.1:
        dear = f"a {same.unit} of {same.fuel} costs less than {same.ratio:.2g}"
        text = f"{dear} {_many(same.other_unit)} of {same.other_fuel}"
    else:
        dear = f"a {same.other_unit} of {same.other_fuel} costs more than {few(1.0 / same.ratio)}"
        text = f"{dear} {_many(same.unit)} of {same.fuel}"
    return f"{start} {text} (hours and purchases left out)."


def _many(unit: str) -> str:
    return {"cord": "cords", "short ton": "short tons", "gal": "gallons"}.get(unit, unit)


def winter_line(winters: Sequence[WinterBest]) -> str:
    """Whether the cheapest heater is another in a mild or a hard winter."""
    if len(winters) < 2:
        return ""
    names = list(dict.fromkeys(one.heater for one in winters))
    if len(names) == 1:
        return f"{names[0]} is the cheapest in each of the {len(winters)} winters."
    parts = []
    for name in names:
        mine = [one for one in winters if one.heater == name]
        parts.append(f"{name} in {len(mine)}")
    return (
        f"Cheapest winter by winter, {len(winters)} in all, mildest first: {', '.join(parts)}; "
        f"{winters[0].heater} in the mildest, {winters[-1].heater} in the hardest."
    )


def switch_line(found: Money, switches: Sequence[Switch]) -> str:
    """How sure the decision is."""
    if len(found.fit) < 2:
        return (
            "No other heater of known cost does its work as well, so no price changes the decision."
        )
    turning = [one for one in switches if one.within]
    if not turning:
        return "No unknown within its range changes the decision."
    return (
        f"{counted(len(turning), 'unknown')} within the range it may have changes the decision "
        "(marked *)."
        if len(turning) == 1
        else f"{len(turning)} unknowns within the ranges they may have change the decision (marked "
        "*)."
    )
