"""[greenhouse] fitted: what a thermometer log taught, as factors on the tables."""

from __future__ import annotations

from typing import Annotated

from greenhouse_sim.scenario.kinds import Number
from greenhouse_sim.scenario.section import Section

LOW, HIGH = 0.1, 10.0


def _factor() -> Number:
    return Number(low=LOW, high=HIGH, word="a factor", example="1.08")


class Fitted(Section):
    """Factors on what the measures and tables give; 1 where nothing was learned."""

    loss: Annotated[float, _factor()]
    """On the heat-loss coefficient of covers and walls."""
    leak: Annotated[float, _factor()]
    """On the air that leaks."""
    capacity: Annotated[float, _factor()]
    """On the heat capacity of the air and what hangs and stands in it."""
    soil: Annotated[float, _factor()]
    """On the conductivity of the soil."""
    sun: Annotated[float, _factor()]
    """On the sun that gets in."""
