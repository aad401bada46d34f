"""Cautions: what a grower must hear beside any number of ours."""

from __future__ import annotations

from greenhouse_sim.report.away_words import away_cautions
from greenhouse_sim.report.cautions import cautions
from greenhouse_sim.report.page.findings import Findings
from greenhouse_sim.report.page.parts import Section, lead, listed, section


def mind(found: Findings) -> Section:
    """On fire, smoke, carbon monoxide, pressure, codes, and fires left alone."""
    alone = away_cautions() if found.absence is not None else ()
    return section(
        "cautions",
        "Cautions",
        lead("Numbers about nights and absences are heat, not permission."),
        listed(*cautions(), *alone),
    )
