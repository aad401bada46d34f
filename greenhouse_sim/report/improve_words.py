"""The answer about improvements in sentences."""

from __future__ import annotations

from typing import TYPE_CHECKING

from greenhouse_sim.plans.improve import Improved
from greenhouse_sim.plans.outcome import Outcome
from greenhouse_sim.plans.package import Found, Targets
from greenhouse_sim.plans.prices import any_own, price
from greenhouse_sim.report.dollars import rough
from greenhouse_sim.report.improve_table import fuel, named, unit
from greenhouse_sim.report.words import Units, counted, few, whole

if TYPE_CHECKING:
    from greenhouse_sim.scenario import Scenario


def first_line(found: Improved, units: Units) -> str:
    """What all steps of the order come to."""
    if not found.order:
        return "No improvement of the catalogue lowers the yearly cost here"
    last, base = found.order[-1].outcome, found.base_few
    names = [step.name for step in found.order]
    have, left = (fuel(found.farm, one, units) for one in (base, last))
    return (
        f"First {names[0]}"
        + (f", then {', '.join(names[1:])}" if names[1:] else "")
        + f": from {few(have)} to {few(left)} {unit(found.farm, units)}, {whole(base.wakeups)} to "
        f"{whole(last.wakeups)} times up, {rough(base.yearly)} to {rough(last.yearly)} a year, "
        f"for {rough(last.first)}"
    )


def few_line(found: Improved) -> str:
    """Where the order was tried in fewer winters than there are: how near their mean is."""
    if len(found.places) == len(found.winters):
        return ""
    all_, some = found.base, found.base_few
    off = 100.0 * (some.heat_kWh / all_.heat_kWh - 1.0) if all_.heat_kWh > 0.0 else 0.0
    return (
        f"Order and packages are tried in {len(found.places)} of {len(found.winters)} winters (a "
        f"mild, a middle and a hard one: {off:+.0f} % heat against the mean of all)."
    )


def not_in_order(found: Improved) -> str:
    """Measures that the order leaves out."""
    taken = {step.name for step in found.order}
    rest = [one.name for one in found.fit if one.name not in taken]
    if not rest:
        return ""
    return (
        f"Not in the order, because they cost more than they then save or stand in the place of "
        f"another: {', '.join(rest)}."
    )


def crop_line(found: Improved) -> str:
    """Measures that keep the crop in more winters, whatever they cost."""
    many, base = len(found.winters), found.base
    saves = [
        f"{one.names[0]} ({one.lost} of {many})" for one in found.alone if one.lost < base.lost
    ]
    if base.lost == 0:
        return ""
    if not saves:
        return f"The crop freezes in {base.lost} of {many} winters, and no measure alone helps."
    return f"The crop freezes in {base.lost} of {many} winters; in fewer with {', '.join(saves)}."


def left_out_line(found: Improved) -> str:
    """Measures that do not fit the farm."""
    if not found.left_out:
        return ""
    parts = [f"{one.name} ({one.why})" for one in found.left_out]
    return f"Left out: {'; '.join(parts)}."


def package_lines(result: Found, found: Improved, units: Units) -> list[str]:
    """The package of the search, or the nearest."""
    out, whole_ = result.nearest, result.everywhere
    text = f"{named(out)}: {_figures(out, found, units)}"
    if result.best is None:
        said = [f"No package meets {_limits(result.targets)}. The nearest of those run is {text}."]
    elif result.targets.any:
        said = [f"Cheapest package with {_limits(result.targets)}: {text}."]
    else:
        said = [f"Cheapest package: {text}."]
    if len(found.places) < len(found.winters):
        said.append(f"In all {len(found.winters)} winters: {_figures(whole_, found, units)}.")
        missed = result.targets.misses(whole_.wakeups, whole_.cold_hours, whole_.first)
        if result.best is not None and missed > 0.0:
            said.append("There it misses the targets a little: ask for somewhat less.")
    said.append(_how(result))
    return said


def _figures(out: Outcome, found: Improved, units: Units) -> str:
    return (
        f"{few(fuel(found.farm, out, units))} {unit(found.farm, units)}, {few(out.wakeups)} times "
        f"up and {whole(out.cold_hours)} hours cold a winter, {rough(out.yearly)} a year, "
        f"{rough(out.first)} to buy"
    )


def _limits(targets: Targets) -> str:
    parts = []
    if targets.wakeups is not None:
        parts.append(f"at most {targets.wakeups:g} times up")
    if targets.cold_hours is not None:
        parts.append(f"at most {whole(targets.cold_hours)} hours below setpoint a winter")
    if targets.budget is not None:
        parts.append(f"at most {rough(targets.budget)} to buy")
    return ", ".join(parts)


def _how(result: Found) -> str:
    if result.whole:
        return (
            f"All {result.run} packages that go together were run: among these measures, in these "
            "winters, none does better."
        )
    text = (
        f"{result.run} of {result.possible} packages were run; the rest are ruled out by bounds, "
        "taking it that a measure which helps in everything alone does no harm in company."
    )
    if result.contradicted:
        text += (
            f" {counted(result.contradicted, 'pair')} of runs contradict that, by "
            f"{rough(result.by)} a year at most: so much cheaper a package may have been missed; "
            "--every runs all."
        )
    return text


def notes(scenario: Scenario, found: Improved) -> list[str]:
    """How to read the tables, and what is not in them."""
    wage = price(scenario, "wage")
    said = [
        f"{scenario.heater.kind}; a year: its fuel, electricity, back-up, own hours "
        f"({'at ' + rough(wage.value) + ' each' if wage and wage.value else 'not priced'}) and "
        "repairs, and the measures spread over their lives; what the heater costs to buy is left "
        "out. Hours cold are counted against the setpoint in force, the lower one too.",
        "A measure saves less after another: that is why the order's savings are below those of "
        "each alone. A lower setpoint or a later start grows less; that is "
        + (
            "counted for the weeks of a later start only."
            if price(scenario, "crop_value")
            else "not counted: write [money] crop_value."
        ),
    ]
    if not any_own(scenario):
        said.append(
            "No price stands in the scenario: typical ones are used. Without prices, fuel, times "
            "up and hours cold decide; write your own in [money]."
        )
    return said
