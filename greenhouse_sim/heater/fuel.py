"""Fuel: what a kilogram gives, gross and net, at the moisture it is burnt with.

Two bases run through everything that is published about fuel, and mixing them
moves an answer by 10 to 35 %:

- *gross* (higher heating value, HHV, GCV) counts the heat of the water vapour in
  the flue; *net* (lower heating value, LHV, NCV) does not;
- moisture on the *wet* basis is kg water per kg of wood as it lies there; on the
  *dry* basis per kg of oven-dry wood (hand meters, EPA test fuel).

Here moisture is on the wet basis and heat is per kilogram *as fired*, unless a name
or a docstring says otherwise.
"""

from __future__ import annotations

import difflib
import functools
from dataclasses import dataclass

from greenhouse_sim.errors import ScenarioError
from greenhouse_sim.tables.read import Row, read_keyed, read_rows

MOST_MOISTURE = 0.6
"""Wood wetter than this (wet basis) does not burn by itself."""
MOST_FUELS = 256
"""Fuels that are kept once they are worked out: every season asks for its own again."""


@dataclass(frozen=True)
class Fuel:
    """A fuel at one moisture. Heat is in J per kg as fired (wet), moisture on the wet basis."""

    name: str
    kind: str
    """wood, chips, pellets, propane, compost, electricity or none."""
    moisture: float
    """kg water per kg as fired (wet basis)."""
    gross_J_kg: float
    """Gross (higher) heating value as fired, J/kg."""
    net_J_kg: float
    """Net (lower) heating value as fired, J/kg."""
    gross_dry_J_kg: float
    """Gross (higher) heating value of the oven-dry fuel, J per kg dry."""
    cord_kg: float | None
    """Mass of a full cord (128 ft³ stacked) as fired, kg; None for what is not stacked."""
    stacked_kg_m3: float | None
    """Mass of a stacked cubic metre as fired, kg; None for what is not stacked."""
    bulk_kg_m3: float | None
    """Mass of a loose cubic metre as fired, kg; None for cordwood and electricity."""
    specific_gravity: float | None
    """Oven-dry mass over volume at 12 % moisture (water = 1); None for other fuels."""
    counted_in: str = "kg"
    """kg, or kWh for electricity, where a kilogram stands for a kilowatt-hour."""

    @property
    def net_per_gross(self) -> float:
        """Net over gross heat at this moisture (0.905 for hardwood at 20 % wet basis)."""
        return self.net_J_kg / self.gross_J_kg

    @property
    def dry_share(self) -> float:
        """kg oven-dry fuel per kg as fired."""
        return 1.0 - self.moisture


@functools.cache
def constant(key: str) -> float:
    """A number of ``tables/fuel_constants.csv``, in the unit of its row."""
    return constants()[key].number


def constants() -> dict[str, Row]:
    """The table of fuel constants."""
    return read_keyed("fuel_constants")


def wet_basis(dry: float) -> float:
    """Moisture per kg as fired from moisture per kg dry: M = u/(1 + u)."""
    return dry / (1.0 + dry)


def dry_basis(wet: float) -> float:
    """Moisture per kg dry from moisture per kg as fired: u = M/(1 − M)."""
    return wet / (1.0 - wet)


def net_dry(gross_dry_J_kg: float, hydrogen: float) -> float:
    """Net heat of oven-dry fuel, J per kg dry, from its gross heat.

    Burning a kilogram of hydrogen makes 8.936 kg of water, and net heat leaves out
    what its vapour carries: NCV_dry = GCV_dry − 2.443 MJ/kg · 8.936 · H
    (ISO 18125 and ISO 17225-1, from memory; the small terms for oxygen and
    nitrogen at constant pressure are left out, 0.2 % low).
    """
    vapour_J_kg = constant("evaporation") * 1e6
    return gross_dry_J_kg - vapour_J_kg * constant("water_of_hydrogen") * hydrogen


def net_as_fired(net_dry_J_kg: float, moisture: float) -> float:
    """Net heat as fired, J per kg, from net heat of the dry fuel and moisture (wet basis).

    A kilogram as fired holds (1 − M) kg dry fuel, and M kg water that is evaporated
    at 2.443 MJ/kg: NCV_ar = NCV_dry·(1 − M) − 2.443·M, which is the
    NCV_dry·(100 − M)/100 − 0.02443·M of ISO 18125 and ISO 17225-1 with M in percent.
    """
    return net_dry_J_kg * (1.0 - moisture) - constant("evaporation") * 1e6 * moisture


def gross_as_fired(gross_dry_J_kg: float, moisture: float) -> float:
    """Gross heat as fired, J per kg: water adds mass and no heat, GCV_ar = GCV_dry·(1 − M)."""
    return gross_dry_J_kg * (1.0 - moisture)


def wood_names() -> tuple[str, ...]:
    """Species of the table of woods, as a scenario names them."""
    return tuple(row["name"] for row in read_rows("woods"))


def fuel_names() -> tuple[str, ...]:
    """Every fuel a scenario can name: the woods, and the other fuels."""
    others = tuple(row["name"] for row in read_rows("fuels") if row["kind"] != "none")
    return wood_names() + others


@functools.lru_cache(maxsize=MOST_FUELS)
def fuel_for(species: str, moisture: float | None = None, where: str = "[fuel] species") -> Fuel:
    """The fuel of this name at this moisture (wet basis).

    Parameters
    ----------
    species
        A row of ``tables/woods.csv`` ("red oak") or ``tables/fuels.csv`` ("pellets").
    moisture
        kg water per kg as fired (wet basis), 0 to 0.6. Cordwood and chips take it (0.20
        and 0.30 where absent); pellets and the rest are burnt as sold.
    where
        The place to name in a message.

    Raises
    ------
    ScenarioError
        An unknown name, or a moisture outside its range.
    """
    if moisture is not None and not 0.0 <= moisture < MOST_MOISTURE:
        raise ScenarioError(
            f"{where}: moisture {moisture:g} is not a share of the wet weight from 0 to "
            f"{MOST_MOISTURE:g}; write one such as 0.20 (a hand meter's 25 % of the dry weight)"
        )
    wanted = species.strip().lower()
    if wanted in _by_small("woods"):
        water = constant("fallback_moisture") if moisture is None else moisture
        return _wood(_by_small("woods")[wanted], water)
    if wanted in _by_small("fuels"):
        return _other(_by_small("fuels")[wanted], moisture)
    raise ScenarioError(f"{where}: no fuel is called {species!r}; {_nearest(wanted)}")


@functools.cache
def _by_small(table: str) -> dict[str, dict[str, str]]:
    """The rows of a table by their names in small letters."""
    return {row["name"].lower(): row for row in read_rows(table)}


def _nearest(wanted: str) -> str:
    names = fuel_names()
    near = difflib.get_close_matches(wanted, [name.lower() for name in names], n=3, cutoff=0.5)
    if near:
        return "did you mean " + " or ".join(f'"{name}"' for name in near) + "?"
    return "write one such as " + ", ".join(f'"{name}"' for name in ("red oak", "pellets")) + "."


def _wood(row: dict[str, str], moisture: float) -> Fuel:
    gravity = float(row["specific_gravity"])
    gross_dry = float(row["gross_MJ_kg"]) * 1e6
    stacked = stacked_density(gravity, moisture)
    return Fuel(
        name=row["name"],
        kind="wood",
        moisture=moisture,
        gross_J_kg=gross_as_fired(gross_dry, moisture),
        net_J_kg=net_as_fired(net_dry(gross_dry, constant("hydrogen_share")), moisture),
        gross_dry_J_kg=gross_dry,
        cord_kg=stacked * constant("cord_ft3") * CUBIC_FOOT_M3,
        stacked_kg_m3=stacked,
        bulk_kg_m3=None,
        specific_gravity=gravity,
    )


def _other(row: dict[str, str], moisture: float | None) -> Fuel:
    own = float(row["moisture"])
    water = moisture if row["kind"] == "chips" and moisture is not None else own
    gross_dry = float(row["gross_MJ_kg"]) * 1e6
    bulk = float(row["bulk_kg_m3"]) * (1.0 - own) / (1.0 - water)
    return Fuel(
        name=row["name"],
        kind=row["kind"],
        moisture=water,
        gross_J_kg=gross_as_fired(gross_dry, water),
        net_J_kg=net_as_fired(net_dry(gross_dry, float(row["hydrogen"])), water),
        gross_dry_J_kg=gross_dry,
        cord_kg=None,
        stacked_kg_m3=None,
        bulk_kg_m3=bulk or None,
        specific_gravity=None,
        counted_in=row["counted_in"],
    )


CUBIC_FOOT_M3 = 0.3048 * 0.3048 * 0.3048


def stacked_density(specific_gravity: float, moisture: float) -> float:
    """Mass as fired of a stacked cubic metre, kg/m³, at a moisture on the wet basis.

    Oven-dry mass = specific gravity × 1000 kg/m³ × solid share (80 ft³ of a cord's
    128); as fired it is that over (1 − M). Specific gravity is oven-dry mass over the
    volume at 12 % moisture; that wood swells a little when wetter is left out
    (a cord of green wood then reads up to 8 % too heavy in dry matter).
    """
    solid_share = constant("solid_ft3_in_cord") / constant("cord_ft3")
    return specific_gravity * constant("water_density") * solid_share / (1.0 - moisture)
