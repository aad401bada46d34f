"""The question in words: which farm, which winters, what is asked."""

from __future__ import annotations

from greenhouse_sim.report.page.findings import Findings
from greenhouse_sim.report.page.parts import Section, plain, section
from greenhouse_sim.report.reading import farm_line
from greenhouse_sim.report.words import winter_words

MOST_NAMES = 6
"""More winters than this are told by the first and the last."""


def question(found: Findings) -> Section:
    """What is asked of which farm."""
    winters = found.comparison.winters
    return section(
        "question",
        "The question",
        plain(
            "Which heater carries this greenhouse through the winter, how much fuel must be ready, "
            "how often must somebody get up for it, how long can it be left alone, and what does "
            "it cost?",
            f"{farm_line(found.scenario, winters, found.units)}: {names(winters)}.",
            f"Asked about: {asked(found)}. Tried beside it: every other heater that the program "
            "knows, in the same greenhouse under the same routine.",
        ),
    )


def names(winters: tuple[str, ...]) -> str:
    """The winters by name."""
    told = [winter_words(winter) for winter in winters]
    if len(told) > MOST_NAMES:
        return f"{told[0]} to {told[-1]}"
    return ", ".join(told)


def asked(found: Findings) -> str:
    """The scenario's own heater and its back-up."""
    scenario = found.scenario
    count = scenario.heater.count
    own = f"{count} of {found.heater}" if count > 1 else found.heater
    if scenario.backup is None:
        return f"{own}, no back-up"
    from_C = found.units.temperature(scenario.backup.starts_below)
    return f"{own}, with {scenario.backup.kind} as back-up from {from_C}"
