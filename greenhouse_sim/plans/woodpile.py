"""The woodpile: how much to have ready, for how many winters it is enough, and when to cut."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import date
from typing import TYPE_CHECKING, NamedTuple

import numpy as np

from greenhouse_sim.errors import ScenarioError
from greenhouse_sim.heater.burnt import default_fuel
from greenhouse_sim.heater.catalogue import burns, choose
from greenhouse_sim.heater.fuel import Fuel, fuel_for
from greenhouse_sim.plans.drying import CutBy, DryingYear, creosote, cut_by, drying_year
from greenhouse_sim.plans.labour import Work, work
from greenhouse_sim.plans.other_wood import Ratio, Wood, ratios
from greenhouse_sim.plans.pile import Lasts, Midwinter, Use, guide, half_day, midwinter, use
from greenhouse_sim.plans.quantiles import Covered, covered
from greenhouse_sim.plans.stack import Rack, Stack, number, stack
from greenhouse_sim.season.run import Season, scenario_fuel
from greenhouse_sim.tables.read import read_rows
from greenhouse_sim.weather import Weather

if TYPE_CHECKING:
    from greenhouse_sim.scenario import Scenario

Array = np.ndarray
PILED = ("wood", "pellets", "compost")
"""Kinds of fuel that a grower lays in."""
EATS = {"wood": "cordwood", "pellets": "pellets", "compost": "wood chips with manure"}
WRITE = {"wood": "red oak", "pellets": "pellets", "compost": "wood chips"}
MOISTURES = (0.15, 0.20, 0.25, 0.30, 0.40)
"""Wet basis; what burning wood at each comes to."""


class Ready(NamedTuple):
    """A pile to have ready, for a share of the winters."""

    cover: Covered
    """Its amount is in kg as fired."""
    volume_m3: float | None
    """Stacked (wood) or loose (pellets)."""
    stack: Stack | None
    half: date
    """The last morning on which half of it must still be there."""
    guide_kg: Array
    """What must be left each morning to last, kg."""
    left_kg: Array
    """What is left each morning in the middle winter, kg."""


class OtherWood(NamedTuple):
    """Another wood in the same heater, dry."""

    species: str
    ratio: Ratio
    """Over the scenario's own wood."""
    cut: CutBy


class Wet(NamedTuple):
    """The scenario's wood at another moisture (wet basis)."""

    moisture: float
    ratio: Ratio
    creosote: str


class Pellets(NamedTuple):
    """Pellets as they are bought."""

    bags: int
    pallets: int
    deliveries: int


class Compost(NamedTuple):
    """What a compost pile is heaped from, m³ before mixing."""

    pile_m3: float
    chips_m3: float
    manure_m3: float
    trucks: int


class Mix(NamedTuple):
    """Own wood and bought wood of a pile, kg; money where a price is known."""

    own_kg: float
    buy_kg: float
    cost: float | None


@dataclass(frozen=True, eq=False)
class Woodpile:
    """The whole answer."""

    heater: str
    fuel: Fuel
    seasons: tuple[Season, ...]
    used: Use
    ready: tuple[Ready, ...]
    rule: Midwinter | None
    rack: Rack
    year: DryingYear
    woods: tuple[OtherWood, ...]
    wet: tuple[Wet, ...]
    compost: Compost | None
    own_kg: float | None
    price: tuple[float, str] | None
    work: tuple[Work, ...]
    rest: Lasts | None

    @property
    def kind(self) -> str:
        """wood, pellets or compost."""
        return self.fuel.kind

    def mix(self, kg: float) -> Mix:
        """What of a pile is own, and what is to be bought for how much."""
        own = min(kg, self.own_kg if self.own_kg is not None else kg)
        return Mix(own, kg - own, cost(kg - own, self.fuel, self.price))


def check_fuel(scenario: Scenario) -> None:
    """Refuse a heater without a pile, and a fuel in the file that the heater cannot burn.

    Raises
    ------
    ScenarioError
        With what to write instead.
    """
    heater = scenario.heater.kind
    kind = burns(heater)
    place = f"{scenario.path or 'scenario'}: "
    if kind not in PILED:
        raise ScenarioError(
            f"{place}[heater] kind: {heater} has no pile to lay in; name a heater that burns wood, "
            "pellets or compost"
        )
    raw = scenario.written.raw.get("fuel")
    if not isinstance(raw, dict) or "species" not in raw:
        return
    species = scenario.fuel.species
    fits = {"wood": "wood", "pellets": "pellets", "compost": "chips"}[kind]
    if fuel_for(species).kind != fits:
        raise ScenarioError(
            f"{place}[fuel] species: {heater} cannot burn {species}; it takes {EATS[kind]}: write "
            f'species = "{WRITE[kind]}", or another heater'
        )


def unlimited(scenario: Scenario) -> Scenario:
    """The scenario with as much fuel as is needed: what a winter takes, not what there is."""
    return scenario.with_(**{"fuel.pile": None}) if scenario.fuel.pile is not None else scenario


def woodpile(
    scenario: Scenario,
    seasons: Sequence[Season],
    records: Sequence[Weather],
    held: Rack,
    *,
    own_kg: float | None = None,
    rest: Lasts | None = None,
    engine: str = "auto",
) -> Woodpile:
    """What to have ready, from winters that were run without a limit to the pile.

    Parameters
    ----------
    scenario
        The farm, see `check_fuel`.
    seasons
        Traced seasons of its own heater, one a winter.
    records
        The whole weather files: how fast wood dries in each month.
    held
        How the wood is stacked.
    own_kg
        The grower's own fuel, kg as fired; all where None.
    rest
        See `greenhouse_sim.plans.pile.lasts`.
    engine
        As in `greenhouse_sim.season.many.run_many`.
    """
    fuel = default_fuel(seasons[0].heater, scenario_fuel(scenario))
    used = use(seasons)
    year = drying_year(records)
    woods: tuple[OtherWood, ...] = ()
    wet: tuple[Wet, ...] = ()
    if fuel.kind == "wood":
        woods, wet = _others(scenario, seasons, fuel, used, year, engine)
    middle = float(np.median(used.total_kg))
    share = 1.0 if own_kg is None or middle <= 0.0 else min(1.0, own_kg / middle)
    return Woodpile(
        seasons[0].heater,
        fuel,
        tuple(seasons),
        used,
        _ready(used, fuel, held) if fuel.kind != "compost" and middle > 0.0 else (),
        midwinter(used, seasons[0].weather.latitude),
        held,
        year,
        woods,
        wet,
        compost(scenario) if fuel.kind == "compost" else None,
        own_kg,
        scenario.fuel.price,
        tuple(work(scenario, season, share) for season in seasons),
        rest,
    )


def _ready(used: Use, fuel: Fuel, held: Rack) -> tuple[Ready, ...]:
    spent = np.concatenate([[0.0], np.median(np.cumsum(used.kg, axis=1), axis=0)])
    found = []
    for cover in covered(list(used.total_kg)):
        curve = guide(used, cover.share)
        dense = fuel.stacked_kg_m3 or fuel.bulk_kg_m3
        volume = cover.amount / dense if dense else None
        stacked = stack(volume, cover.amount, held) if fuel.kind == "wood" and volume else None
        found.append(
            Ready(
                cover, volume, stacked, half_day(curve, used), curve,
                np.maximum(cover.amount - spent, 0.0),
            )
        )  # fmt: skip
    return tuple(found)


def _others(
    scenario: Scenario,
    seasons: Sequence[Season],
    fuel: Fuel,
    used: Use,
    year: DryingYear,
    engine: str,
) -> tuple[tuple[OtherWood, ...], tuple[Wet, ...]]:
    dry = number("dry_enough", "1")
    names = [row["name"] for row in read_rows("woods")]
    woods = [Wood(name, dry) for name in names]
    wet = [Wood(fuel.name, moisture) for moisture in MOISTURES]
    found = ratios(scenario, seasons, [*woods, *wet], Wood(fuel.name, fuel.moisture), engine)
    first = used.days[0]
    others = [
        OtherWood(name, ratio, cut_by(name, first, year))
        for name, ratio in zip(names, found, strict=False)
    ]
    at = [
        Wet(moisture, ratio, creosote(moisture))
        for moisture, ratio in zip(MOISTURES, found[len(names) :], strict=True)
    ]
    return tuple(sorted(others, key=lambda one: one.ratio.same_heat)), tuple(at)


def pellets(kg: float) -> Pellets:
    """Bags, pallets and deliveries of pellets, each rounded up."""
    bags = int(np.ceil(kg / number("bag_mass", "kg") - 1e-9))
    pallets = int(np.ceil(bags / number("pallet_bags", "1") - 1e-9))
    return Pellets(bags, pallets, int(np.ceil(pallets / number("delivery_pallets", "1") - 1e-9)))


def compost(scenario: Scenario) -> Compost:
    """What the scenario's compost piles are heaped from.

    Chips and manure lose ``mix_shrink`` of their volume when they are mixed: manure fills the
    gaps between the chips.
    """
    heater = choose(scenario.heater.kind, scenario.heater.overrides)
    pile = heater.number("pile_volume", "m^3") * scenario.heater.count
    parts = pile / (1.0 - number("mix_shrink", "1"))
    manure = parts * number("manure_share", "1")
    trucks = int(np.ceil(parts / number("truck_volume", "m^3") - 1e-9))
    return Compost(pile, parts - manure, manure, trucks)


def cost(kg: float, fuel: Fuel, price: tuple[float, str] | None) -> float | None:
    """What so much fuel costs; None without a price, or with one of another measure."""
    if price is None:
        return None
    value, unit = price
    if unit == "1/kg":
        return value * kg
    if unit == "1/J":
        return value * kg * fuel.gross_J_kg
    return value * kg / fuel.stacked_kg_m3 if fuel.stacked_kg_m3 else None
