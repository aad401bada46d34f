"""What a heater costs a year, line by line: each has its quantity, unit, price and source.

Quantities of a year are means over the winters that were run: money adds up over winters, so the
mean, not the middle one, is what a grower pays in the long run.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from typing import TYPE_CHECKING, Any, NamedTuple

from greenhouse_sim.greenhouse.shape import shell
from greenhouse_sim.heater.burnt import default_fuel
from greenhouse_sim.heater.catalogue import choose
from greenhouse_sim.heater.fuel import Fuel, fuel_for
from greenhouse_sim.plans.hours import hours
from greenhouse_sim.plans.invest import yearly
from greenhouse_sim.plans.prices import Price, counted, fuel_price, price
from greenhouse_sim.season.run import Season, scenario_fuel
from greenhouse_sim.tables.read import read_keyed, read_rows
from greenhouse_sim.units import KWH_J, SHORT_TON_KG, from_si

if TYPE_CHECKING:
    from greenhouse_sim.scenario import Scenario
    from greenhouse_sim.scenario.money import Amount

BOUGHT, FUEL, CURRENT, BACKUP, WORK, REPAIRS, CROP = (
    "purchase", "fuel", "electricity", "back-up", "own hours", "repairs", "crop lost",
)  # fmt: skip
KINDS = (BOUGHT, FUEL, CURRENT, BACKUP, WORK, REPAIRS, CROP)
GALLON_M3 = from_si(1.0, "gal", "m^3")
CUBIC_YARD_M3 = (3.0 * 0.3048) ** 3
SCENARIO = "the scenario"


class Line(NamedTuple):
    """One line of a heater's yearly cost. Money in dollars."""

    heater: str
    kind: str
    """One of `KINDS`."""
    item: str
    quantity: float
    """A year; of a purchase how much is bought at once."""
    unit: str
    each: Price | None
    """None where no price is known."""
    key: str
    """Key of the price in ``tables/money.csv``; empty for what is bought."""
    life: float | None = None
    """Years that a purchase lasts."""
    rate: float = 0.0
    """Yearly interest on it."""

    @property
    def first(self) -> float:
        """Paid once, at the start."""
        return 0.0 if self.life is None or self.each is None else self.quantity * self.each.value

    @property
    def amount(self) -> float | None:
        """Dollars a year; None where no price is known."""
        return self._at(None if self.each is None else self.each.value)

    @property
    def low(self) -> float | None:
        """With the price at the low end of its range."""
        return self._at(None if self.each is None else self.each.low)

    @property
    def high(self) -> float | None:
        """With the price at the high end of its range."""
        return self._at(None if self.each is None else self.each.high)

    def _at(self, each: float | None) -> float | None:
        if each is None:
            return None
        total = self.quantity * each
        return total if self.life is None else yearly(total, self.rate, self.life)


def mean(rows: Sequence[Mapping[str, Any]], key: str) -> float:
    """Mean of a key of the ledgers over winters; 0 where there is none."""
    return sum(float(row[key] or 0.0) for row in rows) / len(rows)


def cost_lines(scenario: Scenario, heater: str, seasons: Sequence[Season]) -> tuple[Line, ...]:
    """Every line of what a heater costs a year.

    Parameters
    ----------
    scenario
        For its prices, wood, work and crop.
    heater
        A name of the catalogue.
    seasons
        Of this heater, one a winter.
    """
    rows = [season.ledger for season in seasons]
    return (*purchases(scenario, heater), *running(scenario, heater, rows))


def purchases(scenario: Scenario, heater: str) -> tuple[Line, ...]:
    """What is bought and built, once for each of the scenario's count; none of a heater owned."""
    if heater in scenario.money.owned:
        return ()
    rate, count = counted(scenario, "interest"), scenario.heater.count
    own = {part: cost for name, part, cost in scenario.money.costs if name == heater}
    found = []
    for row in _parts(heater):
        if row["part"] == "repairs":
            continue
        each, quantity, unit = _part_price(scenario, row), float(row["quantity"]), row["unit"]
        if row["part"] in own:
            each, quantity, unit = _given(own[row["part"]]), 1.0, "each"
        key = "wage" if row["price"] == "wage" and row["part"] not in own else ""
        if key and each is None:
            each = Price(0.0, 0.0, 0.0, unit, "own hours are not priced")
        life = float(row["life"])
        item = f"{row['part']}{f' × {count}' if count > 1 else ''}"
        found.append(Line(heater, BOUGHT, item, quantity * count, unit, each, key, life, rate))
    return tuple(found)


def running(scenario: Scenario, heater: str, rows: Sequence[Mapping[str, Any]]) -> tuple[Line, ...]:
    """What a year takes beside the purchases, from the winters' ledgers.

    Fuel, electricity, hours, repairs, lost crops.
    """
    fuel = default_fuel(heater, scenario_fuel(scenario))
    found = [
        *_fuel(scenario, heater, fuel, rows),
        *_current(scenario, heater, rows),
        *_backup(scenario, heater, rows),
        *_work(scenario, heater, rows),
        *_repairs(scenario, heater),
        *_crop(scenario, heater, rows),
    ]
    return tuple(line for line in found if line.quantity > 0.0)


def _parts(heater: str) -> list[dict[str, str]]:
    return [row for row in read_rows("costs") if row["heater"] == heater]


def _part_price(scenario: Scenario, row: Mapping[str, str]) -> Price | None:
    if row["price"] == "wage":
        return price(scenario, "wage")
    source = row["source"] + (f"; {row['note']}" if row["note"] else "")
    return Price(float(row["price"]), float(row["low"]), float(row["high"]), row["unit"], source)


def _given(cost: Amount) -> Price:
    return Price(cost.value, cost.low, cost.high, "each", SCENARIO)


def _fuel(
    scenario: Scenario, heater: str, fuel: Fuel, rows: Sequence[Mapping[str, Any]]
) -> list[Line]:
    """Wood by the cord, pellets by the ton, propane by the gallon, a compost pile by its heap."""
    if fuel.kind == "wood":
        key, each = fuel_price(scenario, fuel)
        item = f"{fuel.name}, {'own' if key == 'own_wood' else 'bought'}"
        return [Line(heater, FUEL, item, mean(rows, "cords"), "cord", each, key)]
    if fuel.kind == "pellets":
        key, each = fuel_price(scenario, fuel)
        tons = mean(rows, "fuel_kg") / SHORT_TON_KG
        return [Line(heater, FUEL, "pellets", tons, "short ton", each, key)]
    if fuel.kind == "propane":
        gallons = _gallons(mean(rows, "fuel_energy_kWh"))
        each = price(scenario, "propane")
        return [Line(heater, FUEL, "propane", gallons, "gal", each, "propane")]
    if fuel.kind == "compost":
        own = scenario.heater.overrides if heater == scenario.heater.kind else {}
        pile_m3 = choose(heater, own).number("pile_volume", "m^3")
        yards = pile_m3 * scenario.heater.count / CUBIC_YARD_M3
        each = price(scenario, "compost")
        return [Line(heater, FUEL, "chips and manure", yards, "yd³", each, "compost")]
    return []


def _gallons(kWh: float) -> float:
    """US gallons of propane that hold so much gross heat."""
    gas = fuel_for("propane")
    assert gas.bulk_kg_m3 is not None
    return kWh * KWH_J / (gas.gross_J_kg * gas.bulk_kg_m3 * GALLON_M3)


def _current(scenario: Scenario, heater: str, rows: Sequence[Mapping[str, Any]]) -> list[Line]:
    each = price(scenario, "electricity")
    used = mean(rows, "electricity_kWh")
    return [Line(heater, CURRENT, "electricity", used, "kWh", each, "electricity")]


def _backup(scenario: Scenario, heater: str, rows: Sequence[Mapping[str, Any]]) -> list[Line]:
    """Fuel of the back-up; the current of an electric one is among the electricity."""
    if scenario.backup is None:
        return []
    fuel = default_fuel(scenario.backup.kind, None)
    used = mean(rows, "backup_fuel_kWh")
    if fuel.kind == "propane":
        each = price(scenario, "propane")
        return [Line(heater, BACKUP, "propane", _gallons(used), "gal", each, "propane")]
    if fuel.kind == "pellets":
        key, each = fuel_price(scenario, fuel)
        tons = used * KWH_J / fuel.gross_J_kg / SHORT_TON_KG
        return [Line(heater, BACKUP, "pellets", tons, "short ton", each, key)]
    return []


def _work(scenario: Scenario, heater: str, rows: Sequence[Mapping[str, Any]]) -> list[Line]:
    """Own hours; a wage that is not known prices them at nothing."""
    share = 1.0 if scenario.fuel.source == "cut" else 0.0
    each_winter = [hours(scenario, row, share) for row in rows]
    each = price(scenario, "wage") or Price(0.0, 0.0, 0.0, "1/hour", "own hours are not priced")
    return [
        Line(heater, WORK, task, sum(one[task] for one in each_winter) / len(rows), "hour", each,
             "wage")
        for task in each_winter[0]
    ]  # fmt: skip


def _repairs(scenario: Scenario, heater: str) -> list[Line]:
    own = {part: cost for name, part, cost in scenario.money.costs if name == heater}
    count = float(scenario.heater.count)
    return [
        Line(
            heater, REPAIRS, "parts", count, "year",
            _given(own["repairs"]) if "repairs" in own else _part_price(scenario, row), "",
        )
        for row in _parts(heater)
        if row["part"] == "repairs"
    ]  # fmt: skip


def beds_ft2(scenario: Scenario) -> float:
    """Planted area, ft²."""
    return shell(scenario).floor_m2 * scenario.greenhouse.planted_share / 0.3048**2


def lost(scenario: Scenario, rows: Sequence[Mapping[str, Any]]) -> int:
    """Winters in which the crop counts as lost."""
    hours_from = read_keyed("money")["crop_lost_after"].number
    limit = scenario.money.rates.get("crop_lost_after", hours_from)
    return sum(float(row["hours_below_damage"]) >= float(limit or hours_from) for row in rows)


def _crop(scenario: Scenario, heater: str, rows: Sequence[Mapping[str, Any]]) -> list[Line]:
    """A crop lost once in a winter: the beds' worth of some weeks, times the share of winters."""
    worth = price(scenario, "crop_value")
    if worth is None:
        return []
    weeks = price(scenario, "crop_weeks")
    assert weeks is not None
    each = Price(
        worth.value * weeks.value, worth.low * weeks.low, worth.high * weeks.high, "1/ft^2",
        f"{worth.value:g} a square foot and week ({worth.source}), {weeks.value:g} weeks",
    )  # fmt: skip
    area = beds_ft2(scenario) * lost(scenario, rows) / len(rows)
    item = f"crop lost in {lost(scenario, rows)} of {len(rows)} winters"
    return [Line(heater, CROP, item, area, "ft²", each, "crop_value")]
