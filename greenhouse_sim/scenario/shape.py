"""Which sizes a shape needs, and which of them can be built."""

from __future__ import annotations

import math
from typing import TYPE_CHECKING

from greenhouse_sim import units
from greenhouse_sim.scenario.enclosure import check_closed
from greenhouse_sim.scenario.problem import Problem

if TYPE_CHECKING:
    from greenhouse_sim.scenario.greenhouse import Greenhouse, Surface

_SIZES = {
    "width": '"30 ft"',
    "length": '"72 ft"',
    "sidewall": '"5 ft"',
    "ridge": '"13 ft"',
    "floor_area": '"48 m^2"',
    "volume": '"130 m^3"',
}
_HOUSE = ("width", "length", "sidewall", "ridge")
_NEEDS = {"dome": ("width", "ridge"), "surfaces": ("floor_area", "volume")}
_LEAST_RISE_M = 0.1
_FLATTEST_DOME = 0.2
"""A dome under a fifth of its diameter in height is no shelter but a lid."""


def check_shape(house: Greenhouse) -> None:
    """Refuse sizes that are missing, useless or impossible for the shape.

    Raises
    ------
    Problem
        Naming the key.
    """
    needs = _NEEDS.get(house.shape, _HOUSE)
    for size, example in _SIZES.items():
        given = getattr(house, size) is not None
        if size in needs and not given:
            raise Problem(
                f'is missing (shape "{house.shape}" needs it); write {size} = {example}', size
            )
        if given and size not in needs:
            raise Problem(f'means nothing for shape "{house.shape}"; take the line out', size)
    _check_surfaces(house)
    if house.wall is not None and house.shape != "lean-to":
        raise Problem(
            'only a lean-to has a wall behind it; use north_wall, or shape = "lean-to"', "wall"
        )
    if house.shape == "dome":
        _check_dome(house)
    elif house.shape != "surfaces":
        _check_rise(house)


def _check_rise(house: Greenhouse) -> None:
    assert house.width is not None
    assert house.ridge is not None
    assert house.sidewall is not None
    rise = house.ridge - house.sidewall
    if rise < _LEAST_RISE_M:
        raise Problem(
            f"{_feet(house.ridge)} is not above the sidewall ({_feet(house.sidewall)}); write the "
            'height of the ridge over the floor, such as "13 ft"',
            "ridge",
        )
    if house.sidewall == 0.0 and house.shape in ("gable", "lean-to"):
        raise Problem(
            f'a {house.shape} needs a sidewall of some height; write sidewall = "5 ft"', "sidewall"
        )
    half = house.width / 2.0
    if house.shape == "hoop" and rise > half * 1.01:
        raise Problem(
            f"{_feet(house.ridge)} is too high for a hoop: its bow can rise half the width "
            f"({_feet(half)}) over the sidewall, here it rises {_feet(rise)}; write a lower ridge, "
            'a higher sidewall, or shape = "gothic"',
            "ridge",
        )
    if rise > 3.0 * house.width:
        raise Problem(
            f"{_feet(house.ridge)} is over three times the width above the sidewall; "
            'write the height of the ridge over the floor, such as "13 ft"',
            "ridge",
        )


def _check_dome(house: Greenhouse) -> None:
    assert house.width is not None
    assert house.ridge is not None
    if not _FLATTEST_DOME * house.width <= house.ridge <= house.width:
        raise Problem(
            f"a dome {_feet(house.width)} across can be {_feet(_FLATTEST_DOME * house.width)} to "
            f"{_feet(house.width)} high, not {_feet(house.ridge)}; write its height over the floor",
            "ridge",
        )


def _check_surfaces(house: Greenhouse) -> None:
    if house.shape != "surfaces":
        if house.surface:
            raise Problem(
                f'shape "{house.shape}" makes its own surfaces; take the [[greenhouse.surface]] '
                'tables out, or write shape = "surfaces"',
                "surface",
            )
        return
    if not house.surface:
        raise Problem(
            'is missing (shape "surfaces" needs it); write a [[greenhouse.surface]] table for each',
            "surface",
        )
    for number, part in enumerate(house.surface):
        if part.opaque == (part.solar_transmittance is not None):
            wrong = "has both" if part.opaque else "has neither"
            raise Problem(
                f"{wrong} opaque = true and solar_transmittance; write one of them",
                "surface", number, "opaque",
            )  # fmt: skip
        total = (part.solar_transmittance or 0.0) + part.absorptance
        if total > 1.0 + 1e-9:
            raise Problem(
                f"solar_transmittance and absorptance add up to {total:g}; write values that "
                "add up to 1 at most",
                "surface", number, "absorptance",
            )  # fmt: skip
        _check_capacity(part, number)
    assert house.floor_area is not None
    check_closed(house.surface, house.floor_area)


def _check_capacity(part: Surface, number: int) -> None:
    """Refuse a capacity that would lie outside the surface."""
    whole = 1.0 / part.u_value if part.u_value > 0.0 else math.inf
    if part.heat_capacity_behind >= whole:
        raise Problem(
            f"{part.heat_capacity_behind:g} m^2*K/W lies behind the whole surface, whose u_value "
            f"leaves {whole:.3g} m^2*K/W; write half the resistance of the layer that stores heat",
            "surface", number, "heat_capacity_behind",
        )  # fmt: skip


def _feet(metres: float) -> str:
    return f"{units.from_si(metres, 'm', 'ft'):.1f} ft ({metres:.2f} m)"
