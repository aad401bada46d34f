"""A winter whose greenhouse differs in what the grower does not know.

Preparing a winter takes forty times as long as running it, so what is multiplied is multiplied in
the prepared numbers, and exactly so:

- leaks and the floor's edge stand as a factor of their own in `House`;
- sun inside is proportional to the light that structure and dirt let pass, and its split between
  crop and soil linear in the planted share, as is the crop's vapour: two prepared winters hold
  all (`sun_by_planting`);
- the covers' factor multiplies what the shell loses to outdoors and sky in every hour. That is
  exact as it stands, but not quite another U-value of the covers: on a house all of film an eighth
  more loses 0.1 % more so than by its U-value in the hour's wind (a test), behind a closed
  curtain of 0.1 m²K/W 4 % more (its resistance would not grow), and opaque parts go with it;
- soil is built anew, which is cheap.
"""

from __future__ import annotations

from collections.abc import Mapping
from typing import TYPE_CHECKING, NamedTuple

import numpy as np

from greenhouse_sim.drive.drive import make_house
from greenhouse_sim.greenhouse.ground import site_ground
from greenhouse_sim.greenhouse.numbers import Drive
from greenhouse_sim.greenhouse.undisturbed import day_of_year
from greenhouse_sim.greenhouse.vapour_numbers import Vapour
from greenhouse_sim.plans import unknowns as of
from greenhouse_sim.season.modes import walk_of
from greenhouse_sim.season.run import Winter, ready

if TYPE_CHECKING:
    from greenhouse_sim.scenario import Scenario
    from greenhouse_sim.weather import Weather

SUN = ("sun_air_w", "sun_floor_w", "sun_mass_w", "sun_latent_w")
ALL_PLANTED, HALF_PLANTED = 1.0, 0.5


class Pair(NamedTuple):
    """A winter of the farm as written, and of the same farm planted otherwise."""

    scenario: Scenario
    written: Winter
    other: Winter | None
    """None where planting is not among the unknowns."""
    other_share: float


def sun_by_planting(scenario: Scenario, weather: Weather, planting: bool) -> Pair:
    """Prepare a winter as written and, where ``planting`` is unknown, planted otherwise."""
    share = scenario.greenhouse.planted_share
    other = ALL_PLANTED if share < 0.9 else HALF_PLANTED
    written = ready(scenario, weather)
    second = ready(_greenhouse(scenario, planted_share=other), weather) if planting else None
    return Pair(scenario, written, second, other)


def changed_winter(pair: Pair, values: Mapping[str, float]) -> Winter:
    """The winter with the house's unknowns at these values (by key; see `unknowns`)."""
    scenario, winter = pair.scenario, pair.written
    house, drive, vapour = winter.house, winter.drive, winter.moisture.vapour
    if of.SOIL in values:
        conductivity = scenario.greenhouse.floor.conductivity * values[of.SOIL]
        soil = scenario.greenhouse.floor.model_copy(update={"conductivity": conductivity})
        other = _greenhouse(scenario, floor=soil)
        house = make_house(other, winter.weather)
        below = site_ground(other, winter.weather).below_C(day_of_year(winter.weather))
        drive = drive._replace(t_ground=np.array(below, dtype=float))
    leak = values.get(of.LEAK, 1.0) * values.get(of.FIXED_LEAK, 1.0)
    house = house._replace(
        leak_w_k=house.leak_w_k * leak, edge_w_k=house.edge_w_k * values.get(of.EDGE, 1.0)
    )
    if of.PLANTED in values and pair.other is not None:
        share = scenario.greenhouse.planted_share
        part = (values[of.PLANTED] - share) / (pair.other_share - share)
        drive = _between_sun(drive, pair.other.drive, part)
        vapour = Vapour(*_between(vapour, pair.other.moisture.vapour, part))
    if of.LIGHT in values:
        open_share = 1.0 - scenario.greenhouse.structure_share
        light = (1.0 - values[of.LIGHT]) / open_share
        drive = drive._replace(**{name: getattr(drive, name) * light for name in SUN})
    cover = values.get(of.COVER, 1.0)
    drive = drive._replace(loss_w_k=drive.loss_w_k * cover, sky_w=drive.sky_w * cover)
    moisture = winter.moisture._replace(vapour=vapour)
    return winter._replace(house=house, drive=drive, moisture=moisture, walk=walk_of(house, drive))


def _greenhouse(scenario: Scenario, **changes: object) -> Scenario:
    """The scenario with checked values of its greenhouse replaced."""
    house = scenario.greenhouse.model_copy(update=changes)
    return scenario.model_copy(update={"greenhouse": house})


def _between_sun(one: Drive, other: Drive, part: float) -> Drive:
    sun = {name: (1.0 - part) * getattr(one, name) + part * getattr(other, name) for name in SUN}
    return one._replace(**sun)


def _between(one: Vapour, other: Vapour, part: float) -> list[float]:
    return [(1.0 - part) * a + part * b for a, b in zip(one, other, strict=True)]
