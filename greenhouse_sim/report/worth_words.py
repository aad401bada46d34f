"""Whether winter heat pays, in sentences."""

from __future__ import annotations

from typing import TYPE_CHECKING

from greenhouse_sim.plans.prices import any_own, counted, price
from greenhouse_sim.plans.worth import Held, Week, Worth
from greenhouse_sim.report.dollars import by_area, rough
from greenhouse_sim.report.words import Units

if TYPE_CHECKING:
    from greenhouse_sim.scenario import Scenario


def first_line(found: Worth, units: Units) -> str:
    """The setpoint that leaves most, or the crop value from which heat pays."""
    best = found.best
    if best is None:
        return _without_value(found, units)
    what = _named(best, found, units)
    own = found.held[found.own]
    gap = (best.margin or 0.0) - (own.margin or 0.0)
    text = (
        f"At {by_area(found.crop_value or 0.0, units)} and week most is left {what}: "
        f"{rough(best.margin)} a winter after {rough(best.cost)} of heat"
    )
    return text + (f", {rough(gap)} more than at your setpoint" if best is not own else "")


def _without_value(found: Worth, units: Units) -> str:
    even = found.break_even
    if even is None:
        if found.held[found.own].lost >= 1.0:
            return (
                "Heat does not pay here as it is: the crop freezes every winter with it too; see "
                "greenhouse-sim improve and compare"
            )
        return "Heat never pays here: the crop does no better with it than without"
    least, _, area = by_area(even, units).partition(" a ")
    return (
        f"Heat at your setpoint pays, against none, if a {area} of bed brings over {least} in a "
        "week of growing"
    )


def _named(held: Held, found: Worth, units: Units) -> str:
    if held is found.off:
        return "without heat"
    if held is found.guard:
        assert held.night_C is not None
        return f"at {units.temperature(held.night_C)}, which only keeps the crop alive"
    assert held.night_C is not None and held.day_C is not None
    return (
        f"at {units.temperature(held.night_C)} by night and {units.temperature(held.day_C)} by day"
    )


def edge_line(found: Worth) -> str:
    """Where the best setpoint lies at the end of those tried."""
    best = found.best
    if best is None or best is not found.held[-1]:
        return ""
    return "That is the warmest setpoint tried: a warmer one may leave more still."


def weeks_line(found: Worth) -> str:
    """Stretches of weeks in which holding the setpoint does not pay."""
    if found.crop_value is None:
        return ""
    idle = [week for week in found.weeks if not week.pays]
    if not idle:
        return "Holding your setpoint pays in every week of the season."
    if len(idle) == len(found.weeks):
        return "Holding your setpoint, rather than only keeping the crop alive, pays in no week."
    spans = _spans(found.weeks)
    return (
        "Holding your setpoint, rather than only keeping the crop alive, does not pay "
        + " and ".join(f"from {_day(first)} to {_day(last, True)}" for first, last in spans)
        + "."
    )


def _spans(weeks: tuple[Week, ...]) -> list[tuple[Week, Week]]:
    spans: list[tuple[Week, Week]] = []
    for before, week in zip((None, *weeks), weeks, strict=False):
        if week.pays:
            continue
        if spans and before is spans[-1][1]:
            spans[-1] = (spans[-1][0], week)
        else:
            spans.append((week, week))
    return spans


def _day(week: Week, last: bool = False) -> str:
    when = week.last if last else week.first
    return f"{when.day} {when:%B}"


def notes(found: Worth, scenario: Scenario, units: Units) -> list[str]:
    """How to read the tables."""
    least, most = (counted(scenario, key) for key in ("growth_from", "growth_to"))
    said = [
        "Heat costs: fuel, electricity, back-up and own hours of the winter; what the heater costs "
        "to buy, sweeping and repairs are the same at every setpoint and left out.",
        "The crop value is of an average week at your setpoint; other weeks and setpoints bring "
        "more or less as the plants' air is warmer (degree-days between "
        f"{units.temperature(least)} and {units.temperature(most)}). Light is left out: in the "
        "darkest weeks a warm crop grows less than that, so heat pays less then. "
        "A frozen crop brings nothing until it has grown again.",
        "At other setpoints the night alarm moves with the setpoint.",
    ]
    if found.crop_value is None:
        said.append(
            "No crop value is given. Decided without it: what each setpoint costs, and the crop "
            'value from which it pays. Write [money] crop_value, such as "0.25 /ft^2/week".'
        )
    if not any_own(scenario):
        said.append("No price stands in the scenario: typical ones are used; write [money].")
    wage = price(scenario, "wage")
    if wage is not None and wage.value > 0.0:
        said.append(f"Own hours count {rough(wage.value)} each ([money] wage).")
    return said
