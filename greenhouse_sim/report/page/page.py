"""The page: its sections in order, written down as HTML that needs nothing beside it."""

from __future__ import annotations

from collections.abc import Callable
from pathlib import Path
from typing import Any

from greenhouse_sim.report.charts.dark import DARK
from greenhouse_sim.report.page.answer import answer
from greenhouse_sim.report.page.assumed import assumed
from greenhouse_sim.report.page.away import away
from greenhouse_sim.report.page.costs import costs
from greenhouse_sim.report.page.findings import Findings
from greenhouse_sim.report.page.heaters import heaters
from greenhouse_sim.report.page.mind import mind
from greenhouse_sim.report.page.night import night
from greenhouse_sim.report.page.parts import Section
from greenhouse_sim.report.page.question import question
from greenhouse_sim.report.page.sure import sure
from greenhouse_sim.report.page.terms import terms
from greenhouse_sim.report.page.winter import winter
from greenhouse_sim.report.page.wood import wood

HERE = Path(__file__).parent
ORDER: tuple[Callable[[Findings], Section | None], ...] = (
    question, answer, heaters, winter, wood, night, away, costs, sure, assumed, mind, terms,
)  # fmt: skip
FIRST = (winter, heaters, night, costs, wood, away)
"""Sections in the order in which what they tell is worked out; `answer` needs all of it."""


def sections(found: Findings) -> list[Section]:
    """What there is to tell, in the order of the page."""
    made = {make: make(found) for make in dict.fromkeys((*FIRST, *ORDER))}
    told = (made[make] for make in ORDER)
    return [one for one in told if one is not None]


def page(found: Findings, version: str) -> str:
    """The whole page, made by this version of the program.

    Every text is escaped; only the pictures, which escape their own, go in as they are.
    """
    return written(f"Winter at {found.scenario.site.name}", sections(found), version)


def written(title: str, told: list[Section], version: str) -> str:
    """Sections as a page."""
    from jinja2 import Environment, FileSystemLoader, StrictUndefined

    held: Any = Environment(
        loader=FileSystemLoader(HERE), autoescape=True, undefined=StrictUndefined,
        trim_blocks=True, lstrip_blocks=True,
    )  # fmt: skip
    return str(
        held.get_template("page.html").render(
            title=title, sections=told, dark=DARK, version=version
        )
    )
