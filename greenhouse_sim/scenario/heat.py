"""[heater] and [backup]: a heater of the catalogue, with fields of one's own; [fuel]."""

from __future__ import annotations

from typing import Annotated, Any

from pydantic import Field, ValidationInfo, model_validator

from greenhouse_sim import units
from greenhouse_sim.scenario.kinds import Quantity, as_float, count, one_of, share
from greenhouse_sim.scenario.names import HEATER, SPECIES, catalogue, other_fuels
from greenhouse_sim.scenario.problem import Problem, shown
from greenhouse_sim.scenario.section import Section, unknown_key
from greenhouse_sim.tables import Row

PLAIN_UNITS = ("1", "", "unit", "dimensionless", "count")
MOST_MOISTURE = 0.65


class _FromCatalogue(Section):
    kind: Annotated[str, HEATER, Field(examples=['"wood stove, large"'])]
    own: tuple[tuple[str, float | str], ...] = ()

    @model_validator(mode="before")
    @classmethod
    def _catalogue_fields(cls, given: Any) -> Any:
        """Move the keys that are fields of the catalogue into ``own``, in the catalogue's units."""
        if not isinstance(given, dict):
            return given
        if "kind" not in given:
            raise Problem('is missing; write kind = "wood stove, large"', "kind")
        table = catalogue(_kind(given["kind"]))
        keys = tuple(key for key in cls.model_fields if key != "own")
        kept = {key: value for key, value in given.items() if key in keys}
        own = []
        for key, value in given.items():
            if key in keys:
                continue
            if key not in table:
                raise unknown_key(key, (*keys, *table))
            own.append((key, _field(key, value, table[key])))
        return {**kept, "own": tuple(sorted(own))}

    @property
    def overrides(self) -> dict[str, float | str]:
        """Catalogue fields that the scenario changes, in the unit of the catalogue's row."""
        return dict(self.own)


def _kind(value: Any) -> str:
    try:
        return str(HEATER.read(value, False))
    except Problem as problem:
        raise Problem(str(problem), "kind") from None


def _field(key: str, value: Any, row: Row) -> float | str:
    if row.unit == "text":
        if not isinstance(value, str) or not value.strip():
            raise Problem(f'{shown(value)} is not a text; write one such as "{row.value}"', key)
        return value.strip()
    plain = row.unit in PLAIN_UNITS
    example = row.value if plain else f'"{row.value} {row.unit}"'
    try:
        if isinstance(value, str):
            number = units.read_quantity(
                value, "dimensionless" if plain else row.unit, example.strip('"')
            )
        elif isinstance(value, (int, float)) and not isinstance(value, bool) and plain:
            number = as_float(value)
        else:
            raise Problem(f"{shown(value)} has no unit; write it as in {example}")
    except ValueError as problem:
        raise Problem(str(problem), key) from None
    if number < 0.0 and row.unit != "degC":
        raise Problem(f"{shown(value)} is negative; write one such as {example}", key)
    return number


class HeaterChoice(_FromCatalogue):
    """The heater, and how many of them stand side by side."""

    count: Annotated[int, count("1", high=100)]
    root_zone_share: Annotated[float | None, share("0.25", none="none")]
    """Share of its heat that pipes in the beds or under pots on the soil give to the root zone, in
    place of the catalogue's ``floor_share``; None where the heater is not laid out so."""
    bench_share: Annotated[float, share("0.25")]
    """Share of its heat that pipes over the soil or under the bench give to the air at the plants,
    beneath their row cover; without one that air is the house's."""

    @model_validator(mode="after")
    def _one_share(self) -> HeaterChoice:
        if self.root_zone_share is not None and "floor_share" in dict(self.own):
            raise Problem(
                "says the same as floor_share; write one of them, such as root_zone_share = 0.25",
                "root_zone_share",
            )
        if self.bench_share + (self.root_zone_share or 0.0) > 1.0:
            raise Problem(
                "and root_zone_share are together more than all of the heat; "
                "write shares that add up to 1 at most",
                "bench_share",
            )
        return self

    @property
    def overrides(self) -> dict[str, float | str]:
        """As of any choice, the root-zone share among them."""
        laid = {} if self.root_zone_share is None else {"floor_share": self.root_zone_share}
        return {**super().overrides, **laid}


class BackupChoice(_FromCatalogue):
    """A heater that starts by itself."""

    starts_below: Annotated[float, Quantity(unit="degC", low=-100, high=60, example="38 degF")]
    """Air temperature that it holds, °C."""


class Fuel(Section):
    """What is burned. ``price`` is a number and its unit: 1/m^3 (stacked), 1/kg or 1/J."""

    species: Annotated[str, SPECIES]
    moisture: Annotated[float, share("0.20", below=MOST_MOISTURE)]
    """Wet basis."""
    source: Annotated[str, one_of("source of fuel", "cut", "buy")]
    price: tuple[float, str] | None
    pile: float | None
    """What is in store when the season starts: m³ stacked of wood, kg of any other fuel."""

    @model_validator(mode="before")
    @classmethod
    def _amounts(cls, given: Any, info: ValidationInfo) -> Any:
        if not isinstance(given, dict):
            return given
        amounts: dict[str, Any] = {}
        if "price" in given:
            amounts["price"] = _price(given["price"])
        if "pile" in given:
            by_weight = given.get("species") in other_fuels()
            amounts["pile"] = _pile(given["pile"], by_weight, bool((info.context or {}).get("si")))
        return {**given, **amounts}


def _price(value: Any) -> tuple[float, str] | None:
    if value in (None, "none"):
        return None
    if isinstance(value, tuple) and len(value) == 2 and value[1] in ("1/m^3", "1/kg", "1/J"):
        return value
    if not isinstance(value, str):
        raise Problem(f'{shown(value)} has no unit; write a price such as "250 /cord"', "price")
    bare = " ".join(word for word in value.replace("$", " ").split() if word.lower() not in _MONEY)
    message = ""
    for unit in ("1/m^3", "1/kg", "1/J"):
        try:
            price = units.read_quantity(bare, unit, "250 /cord")
        except ValueError as problem:
            message = str(problem)
            continue
        if price < 0.0:
            raise Problem(f'{shown(value)} is negative; write a price such as "250 /cord"', "price")
        return price, unit
    raise Problem(message.replace(shown(bare), shown(value)), "price")


_MONEY = ("dollar", "dollars", "usd", "cad", "eur", "euro", "euros", "€", "£")


def _pile(value: Any, by_weight: bool, si: bool) -> float | None:
    kind = Quantity(
        unit="kg" if by_weight else "m^3",
        low=0.0,
        high=1e7,
        example="4 ton" if by_weight else "6 cord",
        none="none",
    )
    if value in (None, "none"):
        return None
    try:
        return kind.read(value, si)
    except ValueError as problem:
        raise Problem(str(problem), "pile") from None
