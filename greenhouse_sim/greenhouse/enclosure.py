"""A room whose every surface is listed: its surfaces exchange heat with the air and each other.

Where a list of surfaces holds its floor too, the inside is closed. Each surface then has an inner
face, which gives heat to the air by convection and to all other faces by radiation, through a
common radiant node. Behind it lie the middle of the surface's heat capacity, if it has one, and the
rest of its resistance to the outdoor air:

    air ─ h_c·A ─ face ─ A/b ─ capacity ─ A/r ─ outdoors,   face ─ h_r·A ─ radiant node,
    1/U = 1/h_i + b + r,   with U the listed value, h_i its inner film (convection and radiation)

(`heat_capacity_behind` is b; with none the face holds the capacity itself.)

r holds the outer film. Sun falls on the opaque faces, sun and sky on the
outside act where they fall, as heat behind the face. A U-value of building standards counts the
sky as warm as the air (ISO 13790 adds what a colder sky draws), so the whole difference counts.

A list without a floor is a sizing sheet or a shell over soil: there a published U-value stands for
what leaves the air, and the sky that it holds is taken out again (`sky`).

Surfaces that are alike but for the way they face share one chain; since the network is linear and
their inner faces see the same room, that changes nothing.
"""

from __future__ import annotations

from typing import Any, NamedTuple

from greenhouse_sim.greenhouse.chain import Chain
from greenhouse_sim.greenhouse.loss import wall_halves
from greenhouse_sim.greenhouse.skin import DOWN_DEG, Skin
from greenhouse_sim.greenhouse.table import envelope
from greenhouse_sim.tables.read import read_keyed

ROOF_DEG = 60.0
"""A surface flatter than this is a roof."""

SLICES = 3
"""Slices of a layer that stores heat, each with its capacity in the middle."""


class Alike(NamedTuple):
    """Surfaces that differ by the way they face only."""

    place: str
    """Row of the table of enclosures: wall, roof, floor or window."""
    skins: tuple[Skin, ...]

    @property
    def area_m2(self) -> float:
        """All of them, m²."""
        return float(sum(skin.part.area_m2 for skin in self.skins))


def number(key: str) -> float:
    """A number of the table of enclosures, in the unit that its row states."""
    return read_keyed("enclosure")[key].number


def is_closed(house: Any) -> bool:
    """Whether the inside of a house is closed: surfaces with their floor, and no curtain."""
    listed = any(row.tilt > DOWN_DEG for row in house.surface)
    return bool(house.shape == "surfaces" and listed and house.night_curtain is None)


def alike(skins: tuple[Skin, ...]) -> tuple[Alike, ...]:
    """The surfaces by what they are made of, in the order of their chains."""
    found: dict[tuple[Any, ...], list[Skin]] = {}
    for skin in skins:
        key = (_place(skin), skin.opaque, skin.u_value, skin.capacity, skin.capacity_behind)
        found.setdefault(key, []).append(skin)
    return tuple(Alike(str(key[0]), tuple(group)) for key, group in found.items())


def face_chains(skins: tuple[Skin, ...]) -> list[Chain]:
    """A chain for each kind of surface: inner face, capacity, outdoors."""
    floor = sum(one.area_m2 for one in alike(skins) if one.place == "floor")
    dark = sum(one.area_m2 for one in alike(skins) if one.skins[0].opaque) - floor
    return [_face_chain(one, floor, dark) for one in alike(skins)]


def _face_chain(one: Alike, floor_m2: float, dark_m2: float) -> Chain:
    area, skin = one.area_m2, one.skins[0]
    node_c: tuple[float, ...] = (area * skin.capacity,)
    node_g: tuple[float, ...] = (area * number(f"convection_{one.place}"),)
    end = wall_halves(skin)[1] * area / skin.part.area_m2
    if skin.capacity_behind > 0.0:
        step = 2.0 * skin.capacity_behind / SLICES / area
        node_c = (0.0, *[area * skin.capacity / SLICES] * SLICES)
        node_g = (*node_g, 2.0 / step, *[1.0 / step] * (SLICES - 1))
        end = 1.0 / (1.0 / end - skin.capacity_behind / area + 0.5 * step)
    return Chain(
        node_c,
        node_g,
        end,
        1.0,
        _light(one, floor_m2, dark_m2),
        0.0,
        0.0,
        radiant=area * number("radiant_film"),
    )


def _light(one: Alike, floor_m2: float, dark_m2: float) -> float:
    """Its share of the sun inside: the floor's as published, the other opaque faces by area."""
    on_floor = envelope("box_floor_light")
    if one.place == "floor":
        return on_floor * one.area_m2 / floor_m2
    if not one.skins[0].opaque:
        return 0.0
    return (1.0 - on_floor - envelope("box_light_leaves")) * one.area_m2 / dark_m2


def _place(skin: Skin) -> str:
    if skin.part.tilt_deg > DOWN_DEG:
        return "floor"
    if not skin.opaque:
        return "window"
    return "roof" if skin.part.tilt_deg < ROOF_DEG else "wall"
