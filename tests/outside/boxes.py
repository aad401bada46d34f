"""The test boxes of ANSI/ASHRAE Standard 140, cases 600 and 900, as scenarios.

Geometry, layers and constants: Standard 140-2020, section 5.2.1 and 5.2.2, as coded in a public
set of inputs for it; the U-values with their films from memory of the 2004 edition. 8 m × 6 m ×
2.7 m, 12 m² of double clear glass in the south wall, floor on a metre of insulation over outdoor
air, half an air change an hour, 200 W of internal gain.

A listed surface has one heat capacity, which lies in the middle of its layer. It gets what lies
inside its insulation; boards outside the insulation follow the outdoor air within minutes and are
left out.
"""

from __future__ import annotations

from pathlib import Path
from typing import Any

import greenhouse_sim as gs
from greenhouse_sim.greenhouse.leak import air_heat
from greenhouse_sim.season.run import Winter, ready
from winters_at_hand import hours_of

VOLUME_M3 = 129.6
WINDOW_U = 2.10
"""W/m²K, edition of 2020 (winter rating); older editions 3.0."""
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
        "600" (light) or "900" (heavy).
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
            "greenhouse": box(case, elevation_m, held=held),
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
