"""The test boxes of ANSI/ASHRAE Standard 140, cases 600 and 900, as scenarios.

Geometry, layers and constants: Standard 140-2020, section 5.2.1 and 5.2.2, as coded in a public
set of inputs for it; the U-values with their films from memory of the 2004 edition. 8 m × 6 m ×
2.7 m, 12 m² of double clear glass in the south wall, floor on a metre of insulation over outdoor
air, half an air change an hour, 200 W of internal gain.

A listed surface has one heat capacity, which lies in the middle of its layer. It gets what lies
inside its insulation; boards outside the insulation follow the outdoor air within minutes and are
left out.

Cases 395 to 430 build case 600 up without sun inside: no window, a window of its layers that lets
no light through, air changes, gain, and an outside that takes up 0.6 of the sun, not 0.1.
"""

from __future__ import annotations

from pathlib import Path
from typing import Any, NamedTuple

import greenhouse_sim as gs
from greenhouse_sim.greenhouse.leak import air_heat
from greenhouse_sim.season.run import Winter, ready
from winters_at_hand import hours_of

VOLUME_M3 = 129.6
WINDOW_U = 2.10
"""W/m²K, edition of 2020; older editions 3.0. It is 1/(1/4.5 + 0.198 + 1/17.8): its layers between
the films of case 450, which hold the radiation that the programs found there on average."""
DARK_WINDOW_U = 1.0 / (0.12 + 2 * 0.003048 / 1.0 + 0.012 / 0.0625 + 0.04)
"""The same layers (two panes of 1.0 W/mK, a gap that counts as 0.0625 W/mK) between usual films."""
WINDOW_SUN = 0.769
"""Solar heat gain coefficient at normal incidence, edition of 2020; older ones 0.789."""
FIRST_H, DAYS = 10 * 24, 30
"""Thirty days from 11 January."""
HEAT_AT, COOL_AT = "20 degC", "27 degC"

PLASTERBOARD, TIMBER = (0.16, 950.0 * 840.0), (0.14, 650.0 * 1200.0)
BLOCK, SLAB = (0.51, 1400.0 * 1000.0), (1.13, 1400.0 * 1000.0)
"""Conductivity, W/mK, and heat capacity, J/m³K."""
Layer = tuple[float, tuple[float, float]]

SHELLS: dict[str, dict[str, tuple[float, Layer]]] = {
    "600": {"wall": (0.514, (0.012, PLASTERBOARD)), "floor": (0.039, (0.025, TIMBER))},
    "900": {"wall": (0.512, (0.100, BLOCK)), "floor": (0.039, (0.080, SLAB))},
}
"""Per case and part: U-value with films, W/m²K, and the layer inside the insulation, m."""
ROOF = (0.318, (0.010, PLASTERBOARD))
WALLS = (
    ("north", 8.0 * 2.7),
    ("east", 6.0 * 2.7),
    ("west", 6.0 * 2.7),
    ("south", 8.0 * 2.7 - 12.0),
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


def opaque(name: str, area: float, tilt: float, facing: str, built: tuple[float, Layer]) -> dict:
    """One opaque surface; its outside takes up 0.6 of the sun."""
    u_value, (thickness, (conductivity, per_m3)) = built
    return {
        "name": name,
        "area": f"{area} m^2",
        "tilt": tilt,
        "azimuth": facing,
        "u_value": f"{u_value} W/m^2/K",
        "opaque": True,
        "absorptance": 0.6,
        "heat_capacity": f"{thickness * per_m3} J/m^2/K",
        "heat_capacity_behind": f"{0.5 * thickness / conductivity} m^2*K/W",
    }


def box(case: str, elevation_m: float, *, held: bool = True) -> dict[str, Any]:
    """The greenhouse section of a case; ``held`` keeps it from going over 27 °C."""
    parts = SHELLS[case]
    surfaces = [opaque(f"{name} wall", area, 90.0, name, parts["wall"]) for name, area in WALLS]
    surfaces.append(opaque("roof", 48.0, 0.0, "south", ROOF))
    surfaces.append(opaque("floor", 48.0, 180.0, "south", parts["floor"]))
    window = {
        "name": "window",
        "area": "12 m^2",
        "tilt": 90.0,
        "azimuth": "south",
        "u_value": f"{WINDOW_U} W/m^2/K",
        "solar_transmittance": WINDOW_SUN,
    }
    cooled = {"ideal_cooling_above": COOL_AT} if held else {}
    return {
        "shape": "surfaces",
        "floor_area": "48 m^2",
        "volume": f"{VOLUME_M3} m^3",
        "heat_capacity": f"{air_heat(elevation_m) * VOLUME_M3} J/K",
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
        dark = {"opaque": True, "absorptance": has.absorptance}
        window = {key: whole["surface"][-1][key] for key in ("name", "area", "tilt", "azimuth")}
        surfaces.append(window | dark | {"u_value": f"{DARK_WINDOW_U} W/m^2/K"})
    else:
        south["area"] = f"{8.0 * 2.7} m^2"
    return whole | {
        "surface": surfaces,
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
