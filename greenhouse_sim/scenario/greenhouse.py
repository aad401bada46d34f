"""[greenhouse]: what a grower can measure with a tape, and what it is made of."""

from __future__ import annotations

from typing import Annotated

from pydantic import BeforeValidator, Field, model_validator

from greenhouse_sim.scenario.azimuth import Azimuth, RidgeLine
from greenhouse_sim.scenario.curtain import check_curtain
from greenhouse_sim.scenario.fitted import Fitted
from greenhouse_sim.scenario.kinds import Flag, Number, Quantity, Text, count, one_of, share
from greenhouse_sim.scenario.names import row_of
from greenhouse_sim.scenario.parts import CoverChoice, Floor, NightCurtain, NorthWall, WallBehind
from greenhouse_sim.scenario.section import Section, none_or_list, none_or_table
from greenhouse_sim.scenario.shape import check_shape

SHAPES = ("hoop", "gothic", "gable", "lean-to", "dome", "surfaces")


def _length(low: float, high: float, example: str) -> Quantity:
    return Quantity(unit="m", low=low, high=high, example=example)


class Mass(Section):
    """Something heavy that keeps heat overnight; ``count`` of them, each of ``volume``."""

    what: Annotated[str, row_of("masses", "mass", "water barrels")]
    count: Annotated[int, count("12", high=100_000)]
    volume: Annotated[float, Quantity(unit="m^3", low=1e-6, high=10_000, example="55 gal")]
    """m³ of one."""
    in_sun: Annotated[float, share("0.5")]
    """Share of it that stands in the sun."""


class Surface(Section):
    """One outer surface of a free shape."""

    name: Annotated[str, Text(example="south window")]
    area: Annotated[float, Quantity(unit="m^2", low=1e-6, high=1e6, example="12 m^2")]
    tilt: Annotated[float, Number(low=0, high=180, unit="deg", word="degrees", example="90")]
    """0 faces the sky, 90 is upright."""
    azimuth: Annotated[float, Azimuth()]
    """The way it faces, degrees clockwise from north."""
    u_value: Annotated[
        float, Quantity(unit="W/m^2/K", low=0, high=100, example="0.7 Btu/hr/ft^2/degF")
    ]
    solar_transmittance: Annotated[float | None, share("0.8", none="none")]
    """None where opaque."""
    opaque: Annotated[bool, Flag()]
    absorptance: Annotated[float, share("0.6")]
    """Share of the sun that its outside takes up."""
    heat_capacity: Annotated[
        float, Quantity(unit="J/m^2/K", low=0, high=1e8, example="20 kJ/m^2/K")
    ]
    heat_capacity_behind: Annotated[
        float, Quantity(unit="m^2*K/W", low=0, high=10, example="0.1 m^2*K/W")
    ]
    """m²K/W from the inner face to the middle of what stores heat."""


class Greenhouse(Section):
    """The greenhouse. Sizes are None where a shape has no such size."""

    shape: Annotated[str, one_of("shape", *SHAPES)]
    width: Annotated[float | None, _length(1, 100, "30 ft")] = None
    """m; of a dome the diameter."""
    length: Annotated[float | None, _length(1, 1000, "72 ft")] = None
    sidewall: Annotated[float | None, _length(0, 20, "5 ft")] = None
    ridge: Annotated[float | None, _length(1, 30, "13 ft")] = None
    """m above the floor; of a dome the height."""
    ridge_runs: Annotated[float, RidgeLine()]
    """Azimuth of the ridge line, degrees from 0 up to 180."""
    faces: Annotated[float, Azimuth()]
    """Of a lean-to: the way its low side faces, degrees clockwise from north."""
    cover: CoverChoice
    north_wall: Annotated[NorthWall | None, BeforeValidator(none_or_table)]
    wall: Annotated[WallBehind | None, BeforeValidator(none_or_table)] = None
    """Of a lean-to: the wall that it leans on."""
    night_curtain: Annotated[NightCurtain | None, BeforeValidator(none_or_table)]
    row_cover: Annotated[
        str | None, row_of("row_covers", "row cover", "medium row cover", none="none")
    ]
    """A cover over the crop inside the house: damage is judged under it."""
    tightness: Annotated[str, row_of("tightness", "tightness", "good")]
    air_changes: Annotated[
        float | None,
        Quantity(unit="1/s", low=0, high=100 / 3600, example="0.8 /hour", none="none"),
    ]
    """1/s, in place of ``tightness``."""
    perimeter_insulation: Annotated[str, row_of("perimeter", "perimeter insulation", "R10 2 ft")]
    planted_share: Annotated[float, share("0.7")]
    structure_share: Annotated[float, share("0.1", below=1.0)]
    """Share of the light lost to structure and dirt."""
    vent_air_changes: Annotated[
        float, Quantity(unit="1/s", low=0, high=1000 / 3600, example="40 /hour")
    ]
    """1/s, most that open vents carry."""
    floor: Floor
    fitted: Annotated[Fitted | None, BeforeValidator(none_or_table)] = None
    mass: Annotated[
        tuple[Mass, ...],
        BeforeValidator(none_or_list),
        Field(examples=["[[greenhouse.mass]] tables"]),
    ]
    surface: Annotated[tuple[Surface, ...], Field(examples=["[[greenhouse.surface]] tables"])] = ()
    floor_area: Annotated[
        float | None, Quantity(unit="m^2", low=0.1, high=1e5, example="48 m^2", none="none")
    ] = None
    volume: Annotated[
        float | None, Quantity(unit="m^3", low=0.1, high=1e6, example="130 m^3", none="none")
    ] = None
    heat_capacity: Annotated[
        float | None, Quantity(unit="J/K", low=1, high=1e12, example="2 MJ/K", none="none")
    ]
    """J/K of the air side and inner surfaces."""
    internal_gain: Annotated[float, Quantity(unit="W", low=0, high=1e7, example="200 W")]
    floor_u_value: Annotated[
        float | None, Quantity(unit="W/m^2/K", low=0, high=100, example="0.04 W/m^2/K", none="none")
    ]
    """W/m²K from the floor to the outdoor air, in place of the soil."""
    ideal_cooling_above: Annotated[
        float | None, Quantity(unit="degC", low=-50, high=200, example="27 degC", none="none")
    ]

    @model_validator(mode="after")
    def _possible(self) -> Greenhouse:
        check_shape(self)
        check_curtain(self)
        return self

    @property
    def wall_behind(self) -> WallBehind | None:
        """The wall that a lean-to leans on."""
        return self.wall
