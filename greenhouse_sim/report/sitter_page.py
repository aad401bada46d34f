"""A page to print for whoever sits in: times, loads, what to do when."""

from __future__ import annotations

import math
from typing import TYPE_CHECKING

from greenhouse_sim.heater.catalogue import burns, choose, law_of
from greenhouse_sim.plans.absence import Absence
from greenhouse_sim.plans.absence_sums import Loads, loads, warnings
from greenhouse_sim.plans.absence_terms import number
from greenhouse_sim.report.away_table import load_rows
from greenhouse_sim.report.away_words import away_cautions, lasts
from greenhouse_sim.report.cautions import cautions
from greenhouse_sim.report.words import Units

if TYPE_CHECKING:
    from greenhouse_sim.scenario import Scenario

LINE = "______________________"
FIRED = ("wood", "pellets")
"""Fuels that somebody puts in."""


def sitter_page(found: Absence, scenario: Scenario, units: Units) -> str:
    """The page as Markdown text, with a line end."""
    parts = [
        f"# Looking after the greenhouse: {scenario.site.name}\n",
        f"From {LINE} to {LINE}. The grower: {LINE} phone {LINE}\n",
        _at_a_glance(found, scenario, units),
        _visits(found, scenario, units),
        _when(found, scenario, units),
        "## Mind\n\n" + "\n".join(f"- {text}" for text in (*away_cautions(), *cautions())) + "\n",
        "Computed from past winters for this greenhouse and heater; the weather outside is what "
        "counts. When in doubt, come sooner.\n",
    ]
    return "\n".join(parts)


def _at_a_glance(found: Absence, scenario: Scenario, units: Units) -> str:
    crop = scenario.crop
    low, high = units.temperature(crop.setpoint_night), units.temperature(crop.setpoint_day)
    rows = [
        f"- Heater: {found.heater}"
        + (f", {scenario.heater.count} of them" if scenario.heater.count > 1 else ""),
        f"- It should be {low} by night and {high} by day.",
        f"- The crop is hurt under {units.temperature(crop.damage_below)}.",
        f"- Vents open at {units.temperature(crop.vent_at)}.",
    ]
    if found.has_backup:
        below = units.temperature(found.starts_below)
        rows.append(
            f"- Back-up: {found.backup}; it starts by itself under {below}. Look at its tank."
        )
    return "## At a glance\n\n" + "\n".join(rows) + "\n"


def _visits(found: Absence, scenario: Scenario, units: Units) -> str:
    hour = f"{math.floor(found.terms.helper_hour):02d}:00"
    if burns(found.heater) not in FIRED:
        return (
            f"## Visits\n\nOnce a day at {hour}: read the thermometer, look at the heater, write "
            "both down. There is no fuel to put in.\n"
        )
    law = law_of(choose(scenario.heater.kind, scenario.heater.overrides))
    said = f"Reckoned with one visit a day at {hour}. "
    if law == "full burn":
        said += (
            "Each charge burns out in an hour or a few and leaves its heat in the store. After the "
            "grower's last look-in the house stayed over its setpoint at least so long on nine of "
            "ten evenings:"
        )
        rows = _fires(found, units)
        after = "let it burn out with the air open, as the grower showed you"
    else:
        said += "Where the fire does not last a day, more visits keep it burning:"
        rows = _burns(found, units, "It lasts, shut down" if law == "set and leave" else "It lasts")
        after = "when it has caught, set the air as the grower showed you"
    return (
        f"## Visits\n\n{said}\n\n" + "\n".join(rows) + "\n\n"
        "At each visit: read the thermometer and write it down; look at the fire; put in the load; "
        f"{after}; ashes only into the lidded metal pail, outdoors.\n"
    )


def _burns(found: Absence, units: Units, lasting: str) -> list[str]:
    """Lines of the table of a fire that is kept burning."""
    rows = [f"| Month | Load at a visit | Most | {lasting} | Visits a day |"]
    rows.append("| --- | --- | --- | --- | --- |")
    for (month, usual, most), one in zip(load_rows(found, units), loads(found), strict=True):
        rows.append(
            f"| {month} | {usual} | {most} | {lasts(one.fire_h)} | {visits_a_day(one.fire_h)} |"
        )
    return rows


def _fires(found: Absence, units: Units) -> list[str]:
    """Lines of the table of fires that are lit anew to fill a store."""
    rows = ["| Month | Charge at a visit | Most | Warm for | Fires a day |"]
    rows.append("| --- | --- | --- | --- | --- |")
    for (month, usual, most), one in zip(load_rows(found, units), loads(found), strict=True):
        rows.append(f"| {month} | {usual} | {most} | {lasts(one.heat_h)} | {fires_a_day(one)} |")
    return rows


def visits_a_day(fire_h: float) -> str:
    """How many visits keep a fire of so many hours burning."""
    if math.isnan(fire_h):
        return "no fire"
    return str(math.ceil(24.0 / max(fire_h, 1.0)))


def fires_a_day(one: Loads) -> str:
    """How many fires hold the setpoint where a fire's heat lasts for so many hours."""
    if math.isnan(one.kg):
        return "no fire"
    if one.heat_h < number("next_fire"):
        return "one after another"
    return str(math.ceil(24.0 / one.heat_h))


def _when(found: Absence, scenario: Scenario, units: Units) -> str:
    alarm = units.temperature(found.terms.alarms[found.terms.alarm])
    warned = warnings(found)[found.terms.alarm]
    damage = units.temperature(scenario.crop.damage_below)
    if math.isnan(warned.shortest_h):
        time = "In no past winter was the crop hurt within two weeks, but come and look."
    else:
        soon = warned.tenth_h < number("sitter_rest")
        time = (
            f"From then to harm to the crop it took {lasts(warned.middle_h)} as a rule, and in the "
            f"worst case {lasts(warned.shortest_h)}. "
            + ("That is short: go at once." if soon else "Go and look soon.")
        )
    rows = [
        f"- **Low alarm, under {alarm}.** Call {LINE}, then {LINE}. {time}",
        f"- **High alarm, over {units.temperature(found.terms.high)}.** Open vents and doors by "
        "hand; shut the heater's air.",
        "- **Fire out.** Rake the coals together; no coals: light it anew as the grower showed "
        "you. Never with liquid fuel.",
        f"- **Near {damage} and no fire.** Start the back-up; cover the beds with row cover or "
        "blankets, clear of stove and pipe; keep doors shut.",
        "- **Power cut.** Fans, pumps, augers and thermostats stand still. A boiler: do not load "
        "it; let the fire burn down. Vents: open them by hand before the sun is high.",
        "- **Carbon monoxide or smoke alarm, smell of gas.** Out, leave the door open, call for "
        "help. Nothing in there is worth going back for.",
    ]  # fmt: skip
    return "## What to do when\n\n" + "\n".join(rows) + "\n"
