"""Parts of the greenhouse that are tables of their own: covers, walls, curtain, floor."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Annotated, Any

from pydantic import Field, model_validator

from greenhouse_sim.scenario.clock import Clock
from greenhouse_sim.scenario.kinds import Kind, Quantity, share
from greenhouse_sim.scenario.names import COVER, CURTAIN
from greenhouse_sim.scenario.problem import Problem, shown
from greenhouse_sim.scenario.section import Section

_R_VALUE = Quantity(unit="m^2*K/W", low=0.01, high=50, example="20 ft^2*degF*hr/Btu")
_PER_AREA = Quantity(unit="J/m^2/K", low=0, high=1e8, example="20 kJ/m^2/K")


class CoverChoice(Section):
    """Rows of the cover table. A single name in the file covers all parts."""

    roof: Annotated[str, COVER]
    sides: Annotated[str, COVER]
    ends: Annotated[str, COVER]
    north: Annotated[str | None, COVER] = None
    """The side or end that faces north; None where it is like its twin."""

    @model_validator(mode="before")
    @classmethod
    def _one_for_all(cls, given: Any) -> Any:
        if isinstance(given, dict):
            return given
        name = COVER.read(given, False)
        return {"roof": name, "sides": name, "ends": name}


class NorthWall(Section):
    """An insulated, opaque wall in place of the cover that faces north."""

    r_value: Annotated[float, _R_VALUE]
    """m²K/W, without the air films on its faces."""
    absorptance: Annotated[float, share("0.6")]
    heat_capacity: Annotated[float, _PER_AREA]
    """J/m²K of its inner face."""


class WallBehind(NorthWall):
    """The wall that a lean-to leans on."""

    other_side: Annotated[
        float | None, Quantity(unit="degC", low=-30, high=40, example="50 degF", none="outdoors")
    ]
    """Temperature on its other side, °C; None for outdoors."""


@dataclass(frozen=True, kw_only=True)
class Closing(Kind):
    """When a curtain is closed: ``"dark"``, ``"never"``, or from one hour to another."""

    example: str = "dark"

    def read(self, value: Any, si: bool) -> str | tuple[float, float]:
        if value in ("dark", "never"):
            return str(value)
        if isinstance(value, (list, tuple)) and len(value) == 2:
            return Clock().read(value[0], si), Clock().read(value[1], si)
        raise Problem(
            f'{shown(value)} is no time to close; write "dark", "never", or two times of day: '
            '["17:00", "07:00"]'
        )


class NightCurtain(Section):
    """A curtain drawn under the cover, or an inner film that stays up all winter.

    ``closed = ["00:00", "24:00"]`` keeps it closed by day as well.
    """

    cover: Annotated[str, CURTAIN, Field(examples=['"thermal curtain"'])]
    share: Annotated[float, share("0.9")]
    """Share of the covered surface that the closed curtain really shields."""
    closed: Annotated[str | tuple[float, float], Closing()]
    """``"dark"``, ``"never"``, or (hour, hour)."""


class Floor(Section):
    """The soil of the floor."""

    conductivity: Annotated[float, Quantity(unit="W/m/K", low=0.05, high=10, example="1.2 W/m/K")]
    heat_capacity: Annotated[
        float, Quantity(unit="J/m^3/K", low=1e5, high=1e7, example="2.2 MJ/m^3/K")
    ]
