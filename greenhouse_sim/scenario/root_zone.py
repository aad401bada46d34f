"""Whether there is soil that a heater can be laid in."""

from __future__ import annotations

from greenhouse_sim.scenario.enclosure import FACES_DOWN_DEG
from greenhouse_sim.scenario.greenhouse import Greenhouse
from greenhouse_sim.scenario.heat import HeaterChoice
from greenhouse_sim.scenario.problem import Problem


def check_root_zone(heater: HeaterChoice, house: Greenhouse) -> None:
    """Refuse root-zone heat in a free shape that states its floor: it has no soil.

    Raises
    ------
    Problem
        Naming the key and the way out.
    """
    stated = house.floor_u_value is not None or any(
        row.tilt > FACES_DOWN_DEG for row in house.surface
    )
    if heater.root_zone_share and house.shape == "surfaces" and stated:
        raise Problem(
            "has no soil to be laid in, because the floor is given by floor_u_value or a surface "
            "that faces down; take that out, or write root_zone_share = 0",
            "heater",
            "root_zone_share",
        )
