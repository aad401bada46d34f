"""The test boxes of ANSI/ASHRAE Standard 140, cases 600 and 900, as scenarios.

Layers, films and window: Standard 140-2020, section 5.2.1 with its tables, read in a public
copy of its text; case 900 is section 5.2.2. 8 m × 6 m × 2.7 m, 12 m² of double clear glass in the
south wall, floor on a metre of insulation over outdoor air, half an air change an hour, 200 W of
internal gain.

**U-values.** The standard gives each surface two pairs of constant films. Its combined ones hold
radiation too, as six programs found it on average: outside with a sky colder than the air, inside
with what faces warmed by the sun send (1.8 W/m²K for a wall). They belong to the printed U-values
(window 2.10, wall 0.418) and to a model with one film for all. A closed room radiates by itself, to
its sky and among its faces, so it gets the other pair, convection alone: inside from
`tables/enclosure.csv`, outside here, with 4 ε σ T³ at 10 °C, near the year's mean, beside it. A
listed U-value is then that of the layers between this outer film and the inner film which the
library takes off again.

**Capacity.** A listed surface has one heat capacity, which lies in the middle of its layer. It gets
the board inside the insulation, and a third of the insulation's own: insulation stands on a
straight line between its faces (it settles within minutes), and a store on a line from 1 to 0
counts as ∫ x² dx = 1/3 of itself at its warm end. So do the panes of the window, which the room's
air gets: C f² each, f being how far a pane follows the air. Boards outside follow the outdoor air
within minutes and are left out (f² under 0.003).

Cases 395 to 430 build case 600 up without sun inside: no window, a window of its layers that lets
no light through, air changes, gain, and an outside that takes up 0.6 of the sun, not 0.1.
"""

from __future__ import annotations

from pathlib import Path
from typing import Any, NamedTuple

import greenhouse_sim as gs
from greenhouse_sim.greenhouse.enclosure import number
from greenhouse_sim.greenhouse.leak import air_heat
from greenhouse_sim.greenhouse.sky import KELVIN, SIGMA
from greenhouse_sim.greenhouse.table import envelope
from greenhouse_sim.season.run import Winter, ready
from winters_at_hand import hours_of

VOLUME_M3 = 129.6
WINDOW_M2 = 12.0
WINDOW_SUN = 0.769
"""Solar heat gain coefficient at normal incidence, edition of 2020; older ones 0.789."""
FIRST_H, DAYS = 10 * 24, 30
"""Thirty days from 11 January."""
HEAT_AT, COOL_AT = "20 degC", "27 degC"


class Layer(NamedTuple):
    """One layer of a surface."""

    thickness: float
    """m."""
    conductivity: float
    """W/mK."""
    per_m3: float
    """Heat capacity, J/m³K."""

    @property
    def resistance(self) -> float:
        """m²K/W."""
        return self.thickness / self.conductivity

    @property
    def capacity(self) -> float:
        """J/m²K."""
        return self.thickness * self.per_m3


Layers = tuple[Layer, ...]
SIDING = Layer(0.009, 0.14, 530.0 * 900.0)
WALL: dict[str, Layers] = {
    "600": (Layer(0.012, 0.16, 950.0 * 840.0), Layer(0.066, 0.04, 12.0 * 840.0), SIDING),
    "900": (Layer(0.100, 0.51, 1400.0 * 1000.0), Layer(0.0615, 0.04, 10.0 * 1400.0), SIDING),
}
"""From inside to outside: plasterboard or concrete block, quilt or foam, wood siding."""
FLOOR: dict[str, Layers] = {
    "600": (Layer(0.025, 0.14, 650.0 * 1200.0), Layer(1.003, 0.04, 0.0)),
    "900": (Layer(0.080, 1.13, 1400.0 * 1000.0), Layer(1.007, 0.04, 0.0)),
}
"""Timber or concrete slab on insulation that is given no mass."""
ROOF: Layers = (
    Layer(0.010, 0.16, 950.0 * 840.0), Layer(0.1118, 0.04, 12.0 * 840.0),
    Layer(0.019, 0.14, 530.0 * 900.0),
)  # fmt: skip
"""Plasterboard, quilt, roof deck."""
PANE = Layer(0.003048, 1.0, 2470.0 * 750.0)
GAP = 0.012 / 0.0625
"""Air between the panes, convection and radiation in its conductivity, m²K/W."""
PANES = PANE.resistance + GAP + PANE.resistance

OUTER_CONVECTION = {"wall": 11.9, "roof": 14.4, "floor": 0.8, "window": 8.0}
"""W/m²K, table 5-7, the smaller of its two: convection alone."""
EMITTANCE = {"wall": 0.9, "roof": 0.9, "floor": 0.9, "window": 0.84}
MEAN_OUTDOORS_C = 10.0


def outer_film(place: str) -> float:
    """Convection, and radiation to surroundings as warm as the air, W/m²K."""
    warm = MEAN_OUTDOORS_C + KELVIN
    return OUTER_CONVECTION[place] + 4.0 * EMITTANCE[place] * SIGMA * warm**3


def listed_u(place: str, resistance: float) -> float:
    """U-value to list for layers of this resistance (m²K/W), W/m²K: see the module."""
    return 1.0 / (1.0 / envelope("inside_film") + resistance + 1.0 / outer_film(place))


def panes_follow() -> float:
    """Heat capacity of a window's panes as far as the air sees it, J/m²K: see the module."""
    inside = 1.0 / (number("convection_window") + number("radiant_film"))
    outside = 1.0 / outer_film("window")
    whole = inside + PANES + outside
    inner, outer = 1.0 - inside / whole, outside / whole
    return PANE.capacity * (inner * inner + outer * outer)


WALLS = (
    ("north", 8.0 * 2.7),
    ("east", 6.0 * 2.7),
    ("west", 6.0 * 2.7),
    ("south", 8.0 * 2.7 - WINDOW_M2),
)
"""Opaque area by orientation, m²."""


class Fabric(NamedTuple):
    """What a case without sun inside has."""

    window: bool
    air_changes: float
    gain_w: float
    absorptance: float


FABRIC = {
    "395": Fabric(False, 0.0, 0.0, 0.1),
    "400": Fabric(True, 0.0, 0.0, 0.1),
    "410": Fabric(True, 0.5, 0.0, 0.1),
    "420": Fabric(True, 0.5, 200.0, 0.1),
    "430": Fabric(True, 0.5, 200.0, 0.6),
}


def opaque(name: str, area: float, tilt: float, facing: str, place: str, built: Layers) -> dict:
    """One opaque surface; its outside takes up 0.6 of the sun."""
    board, insulation = built[:2]
    return {
        "name": name,
        "area": f"{area} m^2",
        "tilt": tilt,
        "azimuth": facing,
        "u_value": f"{listed_u(place, sum(one.resistance for one in built))} W/m^2/K",
        "opaque": True,
        "absorptance": 0.6,
        "heat_capacity": f"{board.capacity + insulation.capacity / 3.0} J/m^2/K",
        "heat_capacity_behind": f"{0.5 * board.resistance} m^2*K/W",
    }


def air_capacity(elevation_m: float, window: bool = True) -> float:
    """Heat capacity of the air, with the window's panes, J/K."""
    panes = WINDOW_M2 * panes_follow() if window else 0.0
    return air_heat(elevation_m) * VOLUME_M3 + panes


def box(case: str, elevation_m: float, *, held: bool = True) -> dict[str, Any]:
    """The greenhouse section of a case; ``held`` keeps it from going over 27 °C."""
    surfaces = [
        opaque(f"{name} wall", area, 90.0, name, "wall", WALL[case]) for name, area in WALLS
    ]
    surfaces.append(opaque("roof", 48.0, 0.0, "south", "roof", ROOF))
    surfaces.append(opaque("floor", 48.0, 180.0, "south", "floor", FLOOR[case]))
    window = {
        "name": "window",
        "area": f"{WINDOW_M2} m^2",
        "tilt": 90.0,
        "azimuth": "south",
        "u_value": f"{listed_u('window', PANES)} W/m^2/K",
        "solar_transmittance": WINDOW_SUN,
    }
    cooled = {"ideal_cooling_above": COOL_AT} if held else {}
    return {
        "shape": "surfaces",
        "floor_area": "48 m^2",
        "volume": f"{VOLUME_M3} m^3",
        "heat_capacity": f"{air_capacity(elevation_m)} J/K",
        "air_changes": "0.5 /hour",
        "internal_gain": "200 W",
        "surface": [*surfaces, window],
        **cooled,
    }


def fabric(case: str, elevation_m: float) -> dict[str, Any]:
    """The greenhouse section of a case without sun inside."""
    has, whole = FABRIC[case], box("600", elevation_m)
    surfaces = [one | {"absorptance": has.absorptance} for one in whole["surface"][:-1]]
    south = next(one for one in surfaces if one["name"] == "south wall")
    if has.window:
        shown = ("name", "area", "tilt", "azimuth", "u_value")
        dark = {"opaque": True, "absorptance": has.absorptance}
        surfaces.append({key: whole["surface"][-1][key] for key in shown} | dark)
    else:
        south["area"] = f"{8.0 * 2.7} m^2"
    return whole | {
        "surface": surfaces,
        "heat_capacity": f"{air_capacity(elevation_m, has.window)} J/K",
        "air_changes": f"{has.air_changes} /hour",
        "internal_gain": f"{has.gain_w} W",
    }


def scenario(
    case: str,
    weather: str,
    elevation_m: float,
    season: tuple[str, str] = ("01-01", "12-31"),
    *,
    held: bool = True,
) -> gs.Scenario:
    """A case as a scenario with an ideal heater at 20 °C.

    Parameters
    ----------
    case
        "600" (light) or "900" (heavy), or one of ``FABRIC``.
    weather
        Name of a weather file.
    elevation_m
        Height of the site, m: air has the density of that height.
    season
        First and last day.
    held
        Cooled above 27 °C; else vents and cooler never open.
    """
    return gs.scenario_from_dict(
        {
            "site": {
                "weather": [weather],
                "season": {"start": season[0], "end": season[1]},
                "elevation": f"{elevation_m} m",
                "ground_reflectance": 0.2,
                "deep_ground": "10 degC",
            },
            "greenhouse": (
                fabric(case, elevation_m) if case in FABRIC else box(case, elevation_m, held=held)
            ),
            "crop": {
                "setpoint": {"day": HEAT_AT, "night": HEAT_AT},
                "vent_at": "27 degC" if held else "200 degC",
                "damage_below": "-100 degC",
            },
            "heater": {"kind": "ideal"},
        }
    )


def typical_winter() -> gs.Weather:
    """January and February of Greensboro NC, 723170, a typical year in pvlib's wheel."""
    import pvlib

    record = gs.read_weather(Path(pvlib.__file__).parent / "data" / "723170TYA.CSV")
    return gs.winters(record, (1, 1), (2, 28))[0]


def thirty_days(case: str, weather: gs.Weather) -> Winter:
    """A box, cooled above 27 °C unless it floats ("600FF"), in thirty winter days."""
    held = not case.endswith("FF")
    found = ready(scenario(case[:3], weather.name, weather.elevation_m, held=held), weather)
    return hours_of(found, FIRST_H, FIRST_H + 24 * DAYS)
