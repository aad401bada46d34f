"""The answer first: a line from each part of the page."""

from __future__ import annotations

from greenhouse_sim.plans.quantiles import few_winters
from greenhouse_sim.report import away_words, money_words, nights_words, woodpile_words
from greenhouse_sim.report.line import one_line
from greenhouse_sim.report.page.findings import Findings
from greenhouse_sim.report.page.parts import Section, lead, listed, noted, section
from greenhouse_sim.report.words import counted

MOST_HEATERS = 6


def answer(found: Findings) -> Section:
    """The line that a grower would say, and what else decides."""
    rows = [season.ledger for season in found.own]
    backup = found.scenario.backup.kind if found.scenario.backup else None
    few = few_winters(len(rows))
    lines = [
        crop_line(found),
        keepers_line(found),
        f"{money_words.first_line(found.costs.money)}.",
    ]
    if found.woodpile is not None:
        lines.append(f"{woodpile_words.first_line(found.woodpile, found.units)}.")
    lines.append(f"{nights_words.first_line(found.nights, found.units)}.")
    if found.absence is not None:
        lines.append(f"{away_words.first_line(found.absence, found.units)}.")
    return section(
        "answer",
        "The answer",
        lead(f"{found.heater}: {one_line(rows, found.units, backup)}."),
        listed(*lines),
        noted(few),
    )


def crop_line(found: Findings) -> str:
    """In how many winters the crop is damaged by the scenario's own heater."""
    many = len(found.own)
    hurt = hurt_winters(found, found.heater)
    under = found.units.temperature(found.scenario.crop.damage_below)
    if not hurt:
        every = "the one winter" if many == 1 else f"each of the {many} winters"
        return f"{found.heater}: the crop stays over {under}, where damage begins, in {every}."
    times = "in the one winter" if many == 1 else f"in {hurt} of {many} winters"
    return f"{found.heater}: the crop is damaged (under {under}) {times}."


def keepers_line(found: Findings) -> str:
    """The heaters that keep the crop in every winter, or in the most."""
    tried = found.comparison.heaters
    hurt = {name: hurt_winters(found, name) for name in tried}
    fewest = min(hurt.values())
    best = [name for name in tried if hurt[name] == fewest]
    shown = ", ".join(best[:MOST_HEATERS])
    if len(best) > MOST_HEATERS:
        shown += f" and {len(best) - MOST_HEATERS} more"
    many = counted(len(tried), "heater")
    if fewest == 0:
        return f"Of {many} tried, {len(best)} keep the crop in every winter: {shown}."
    lost = f"{fewest} of {len(found.own)} winters" if len(found.own) > 1 else "the one winter"
    return f"None of {many} tried keeps the crop in every winter; least lost, {lost}: {shown}."


def hurt_winters(found: Findings, heater: str) -> int:
    """Winters in which the crop is damaged."""
    return sum(s.ledger["hours_below_damage"] >= 0.5 for s in found.comparison.of(heater))
