"""The catalogue of improvements: what each changes in a scenario, and what it costs there.

A row of ``tables/improvements.csv`` says what to change: *film* another cover of the film,
*set* a key to a value, *always* a sheet that stays closed, *wall* a north wall, *better* one
class tighter, *add* so many more barrels, *lower* a temperature by so much, *later* the season's
start, *drier* the wood, *bigger* a field of the heater so many times. Where a scenario has a
measure already, or cannot have it, the measure is left out and the reason told.
"""

from __future__ import annotations

from collections.abc import Callable, Mapping
from datetime import date, timedelta
from typing import TYPE_CHECKING, Any, NamedTuple

from greenhouse_sim.errors import ScenarioError
from greenhouse_sim.greenhouse.shape import shell
from greenhouse_sim.heater.catalogue import choose
from greenhouse_sim.plans.cost_lines import beds_ft2
from greenhouse_sim.plans.invest import yearly
from greenhouse_sim.plans.prices import counted, price
from greenhouse_sim.scenario.money import Amount
from greenhouse_sim.tables.read import read_rows
from greenhouse_sim.units import FT_M, to_si

if TYPE_CHECKING:
    from greenhouse_sim.scenario import Scenario

Row = Mapping[str, str]
Changes = dict[str, Any]
FILMS = {
    "double": {"single poly": "double poly inflated", "single poly IR": "double poly inflated IR"},
    "infrared": {
        "single poly": "single poly IR",
        "double poly inflated": "double poly inflated IR",
    },
}
"""Which cover becomes which."""
BARREL = {"what": "water barrels", "volume": "55 gal"}
LEAP_YEAR = 2000


class Unfit(Exception):
    """Why a measure does not fit a scenario."""


class Measure(NamedTuple):
    """One improvement, priced for one scenario. Money in dollars."""

    name: str
    row: Row
    cost: Amount
    life: float
    yearly: float
    """Its cost spread over its life with interest, and its `upkeep`."""
    upkeep: float
    """Its own hours at the wage, and the crop that it gives up, a year."""
    hours: float
    group: str
    source: str

    def applied(self, scenario: Scenario) -> Scenario:
        """The scenario with this measure.

        Raises
        ------
        Unfit, ScenarioError
            The measure does not fit.
        """
        return scenario.with_(**CHANGES[self.row["how"]](scenario, self.row))


class LeftOut(NamedTuple):
    """A measure that does not fit, and why."""

    name: str
    why: str


def measures(scenario: Scenario) -> tuple[tuple[Measure, ...], tuple[LeftOut, ...]]:
    """The measures that fit a scenario, in the table's order, and those that do not."""
    fit: list[Measure] = []
    out: list[LeftOut] = []
    for row in read_rows("improvements"):
        try:
            measure = _priced(scenario, row)
            changed = measure.applied(scenario)
        except (Unfit, ScenarioError) as problem:
            out.append(LeftOut(row["name"], str(problem)))
            continue
        if changed.key() == scenario.key():
            out.append(LeftOut(row["name"], "is there already"))
        else:
            fit.append(measure)
    return tuple(fit), tuple(out)


def together(scenario: Scenario, chosen: tuple[Measure, ...]) -> Scenario:
    """The scenario with several measures, applied in the table's order."""
    order = [row["name"] for row in read_rows("improvements")]
    for measure in sorted(chosen, key=lambda one: order.index(one.name)):
        scenario = measure.applied(scenario)
    return scenario


def _priced(scenario: Scenario, row: Row) -> Measure:
    given = dict(scenario.money.improvements).get(row["name"])
    if given is None:
        many = _quantity(scenario, row["quantity"])
        given = Amount(*(many * float(row[key]) for key in ("low", "price", "high")))
    life, work = float(row["life"]), float(row["hours"])
    wage = price(scenario, "wage")
    upkeep = work * (wage.value if wage else 0.0) + _crop_forgone(scenario, row)
    each = upkeep + yearly(given.value, counted(scenario, "interest"), life)
    return Measure(row["name"], row, given, life, each, upkeep, work, row["group"], row["source"])


def _crop_forgone(scenario: Scenario, row: Row) -> float:
    """Dollars a year of crop that a later start gives up, where the crop has a price."""
    worth = price(scenario, "crop_value")
    if row["how"] != "later" or worth is None:
        return 0.0
    return worth.value * beds_ft2(scenario) * to_si(row["value"], "day", row["name"]) / 7.0


def _quantity(scenario: Scenario, what: str) -> float:
    """How many units a measure takes: ft² of cover, floor, bed or north side, ft of edge."""
    if what == "each":
        return 1.0
    built = shell(scenario)
    green = scenario.greenhouse
    clear = ("roof", "sides", "ends", "north")
    m2 = {
        "cover": sum(part.area_m2 for part in built.parts if part.part in clear),
        "north": sum(part.area_m2 for part in built.parts if part.part == "north"),
        "floor": built.floor_m2,
        "bed": built.floor_m2 * green.planted_share,
    }
    if what == "edge":
        return built.perimeter_m / FT_M
    return m2[what] / FT_M**2


def _film(scenario: Scenario, row: Row) -> Changes:
    cover = scenario.greenhouse.cover
    if row["value"] not in FILMS:
        if cover.roof != "single poly":
            raise Unfit(f"is for a roof of single poly, not of {cover.roof}")
        return {row["key"]: row["value"]}
    kinds = FILMS[row["value"]]
    if cover.roof not in kinds:
        raise Unfit(f"the roof is of {cover.roof}")
    parts = {part: getattr(cover, part) for part in ("roof", "sides", "ends")}
    return {row["key"]: {part: kinds.get(name, name) for part, name in parts.items()}}


def _set(scenario: Scenario, row: Row) -> Changes:
    if row["key"] == "greenhouse.night_curtain":
        _no_curtain_yet(scenario)
        return {row["key"]: {"cover": row["value"], "closed": "dark"}}
    have = getattr(scenario.greenhouse, row["key"].split(".")[1])
    if have not in (None, "none"):
        raise Unfit(f"has {have} already")
    return {row["key"]: row["value"]}


def _no_curtain_yet(scenario: Scenario) -> None:
    if scenario.greenhouse.night_curtain is not None:
        raise Unfit(f"has {scenario.greenhouse.night_curtain.cover} already")


def _always(scenario: Scenario, row: Row) -> Changes:
    _no_curtain_yet(scenario)
    return {row["key"]: {"cover": row["value"], "closed": ["00:00", "24:00"]}}


def _wall(scenario: Scenario, row: Row) -> Changes:
    if scenario.greenhouse.north_wall is not None:
        raise Unfit("has one already")
    if _quantity(scenario, "north") <= 0.0:
        raise Unfit("no wall faces north")
    return {row["key"]: {"r_value": row["value"]}}


def _better(scenario: Scenario, row: Row) -> Changes:
    if scenario.greenhouse.air_changes is not None:
        raise Unfit("the scenario states its air changes itself")
    classes = [one["name"] for one in read_rows("tightness")]
    place = classes.index(scenario.greenhouse.tightness)
    if place == 0:
        raise Unfit("is as tight as the table goes")
    return {row["key"]: classes[place - 1]}


def _add(scenario: Scenario, row: Row) -> Changes:
    written = scenario.written.raw.get("greenhouse", {}).get("mass", [])
    have = [] if written == "none" else list(written)
    return {row["key"]: [*have, {**BARREL, "count": int(row["value"])}]}


def _lower(scenario: Scenario, row: Row) -> Changes:
    less_k = to_si(row["value"], "K", row["name"])
    if row["key"] == "routine.gets_up_below":
        below = scenario.routine.gets_up_below
        if below is None:
            raise Unfit("nobody gets up at night")
        return {row["key"]: below - less_k}
    crop = scenario.crop
    if crop.schedule:
        raise Unfit("the setpoint goes by clock hours")
    if crop.setpoint_night - less_k < crop.damage_below:
        raise Unfit("would lie under the crop's damage temperature")
    low, high = crop.setpoint_night - less_k, crop.setpoint_day - less_k
    return {row["key"]: {"day": high, "night": low}}


def _later(scenario: Scenario, row: Row) -> Changes:
    days = round(to_si(row["value"], "day", row["name"]))
    start = date(LEAP_YEAR, *scenario.site.season_start)
    end = date(LEAP_YEAR, *scenario.site.season_end)
    length = (end - start).days % 366
    if length < 3 * days:
        raise Unfit("the season is too short")
    later = start + timedelta(days=days)
    return {row["key"]: f"{later:%m-%d}"}


def _drier(scenario: Scenario, row: Row) -> Changes:
    if choose(scenario.heater.kind).text("fuel") != "wood":
        raise Unfit(f"{scenario.heater.kind} burns no wood")
    if scenario.fuel.moisture <= float(row["value"]) + 0.005:
        raise Unfit("the wood is as dry already")
    return {row["key"]: float(row["value"])}


def _bigger(scenario: Scenario, row: Row) -> Changes:
    field = row["key"].split(".")[1]
    heater = choose(scenario.heater.kind, scenario.heater.overrides)
    if field not in heater.table:
        raise Unfit(f"{heater.name} has no firebox of that kind")
    room = heater.number(field, "m^3") * float(row["value"])
    return {row["key"]: f"{room:.9g} m^3"}


CHANGES: dict[str, Callable[[Scenario, Row], Changes]] = {
    "film": _film, "set": _set, "always": _always, "wall": _wall, "better": _better,
    "add": _add, "lower": _lower, "later": _later, "drier": _drier, "bigger": _bigger,
}  # fmt: skip
