"""Rows of the table of outside checks that any machine can compute."""

from __future__ import annotations

import math
from types import SimpleNamespace

import numpy as np

from greenhouse_sim.drive.glazing import at_angle
from greenhouse_sim.drive.sun import sun_position
from greenhouse_sim.drive.vapour import outdoor_vapour
from greenhouse_sim.greenhouse.cover import cover, curtain
from greenhouse_sim.greenhouse.film import wet_part
from greenhouse_sim.greenhouse.leak import air_heat
from greenhouse_sim.greenhouse.loss import curtained, windy_u
from greenhouse_sim.greenhouse.part import SurfacePart
from greenhouse_sim.greenhouse.shape import shell
from greenhouse_sim.greenhouse.skin import Skin
from greenhouse_sim.greenhouse.sky import (
    berdahl_martin,
    clark_allen,
    sky_radiation,
    sky_temperature,
)
from greenhouse_sim.greenhouse.vapour import saturated
from greenhouse_sim.heater.cord import cord_heat
from greenhouse_sim.heater.fuel import fuel_for, net_as_fired, net_dry
from greenhouse_sim.season import tally as at
from greenhouse_sim.season.balance import Control, air_step, pace
from greenhouse_sim.season.hour import season
from greenhouse_sim.season.many import run_one
from greenhouse_sim.substep import STEP_S
from greenhouse_sim.tables import read_keyed
from greenhouse_sim.units import BTU_J
from independent import Heat, solve
from outside.boxes import thirty_days, typical_winter
from outside.checks import Check, near
from outside.checks_of_plans import plans
from winters_at_hand import demo, lone_task, no_heater, winter

WIND = "Mihara and Hayashi 1979, J. Agric. Meteorol. 35:13, k = {:.2f} + {:.2f} w"
DIFFER = "the trials differ: 0.37 and more in the film house of 1979; edge seals are not described"
BTU_LB = 2326.0
FOOT_M = 0.3048
HELD_C = 10.0


def at_hand() -> list[Check]:
    """All rows."""
    return [
        *exact(), *solver(), *covers(), *curtains(), *leaks(), *sky_and_sun(), *moist(), *fuels(),
        *plans(),
    ]  # fmt: skip


def exact() -> list[Check]:
    """One node of 5 MJ/K and 250 W/K from 20 °C into -15 °C."""
    rhythm = pace(250.0, STEP_S / 5.0e6, 5.0e6 / STEP_S)
    control = Control(STEP_S / 5.0e6, 5.0e6 / STEP_S, 1.0, 1.0, -1e3, 1e3, 0.0, 0.0)
    rows = []
    for heat_w, closed in ((0.0, -15.0), (6000.0, 9.0)):
        air = 20.0
        for _ in range(round(6.0 * 3600.0 / STEP_S)):
            air = air_step(air, 250.0 * -15.0 + heat_w, rhythm, control, 0.0, 20.0, 0.0, -15.0).end
        wanted = closed + (20.0 - closed) * math.exp(-6.0 * 3600.0 * 250.0 / 5.0e6)
        what = f"one node after 6 h with {heat_w:.0f} W"
        rows.append(near(what, "closed form", "°C", wanted, 1e-3, air))
    return rows


def solver() -> list[Check]:
    """A test box in thirty winter days against the general solver."""
    found = thirty_days("900FF", typical_winter())
    ours = run_one(season, lone_task(found.house, found.drive, no_heater())).trace
    theirs = solve(found.house, found.drive, Heat(), float(found.drive.setpoint[0]))
    off = ours[:, at.TRACE.index("air_C")] - theirs.air
    source = "scipy solve_ivp, Greensboro NC, from 11 January; limit of this project"
    rms = float(np.sqrt(np.mean(off**2)))
    return [Check("box 900FF: RMS of thirty days' air", source, "K", 0.0, 0.1, rms)]


def u_value(name: str, wind_m_s: float) -> float:
    """A cover of the table in the wind, W/m²K."""
    row = cover(name)
    part = SurfacePart("roof", "roof", 1.0, 1.0, 20.0, 180.0, 1.0)
    skin = Skin(
        part, row.u_value, row.reference_wind, False, row.solar_direct, row.solar_diffuse,
        row.layers, row.longwave_dry, row.longwave_wet, 0.0, 0.0, math.nan,
    )  # fmt: skip
    return float(windy_u(skin, np.array([wind_m_s]))[0][0])


def covers() -> list[Check]:
    """U-values in the wind, and the air's heat."""
    rows = []
    for name, a, b in (("single glass", 4.41, 0.40), ("single poly", 4.87, 0.54)):
        for wind in (1.0, 3.0, 5.0):
            k = a + b * wind
            what = f"{name} at {wind:.0f} m/s, within 10 %"
            rows.append(near(what, WIND.format(a, b), "W/m²K", k, 0.1 * k, u_value(name, wind)))
    saved = 1.0 - u_value("double poly inflated", 4.0) / u_value("single poly", 4.0)
    source = "hot box 34 %, extension 35 %, handbook 30 to 40 % of transmission"
    cause = "measured houses with double (3.85) and single film (7.03 W/m²K at 4 m/s) give 0.45"
    rows.append(Check("double film saves against single", source, "1", 0.30, 0.40, saved, cause))
    factor = air_heat(0.0) * FOOT_M**3 / BTU_J / 1.8
    rows.append(
        near("heat of air", "extension bulletins, 0.018", "Btu/ft³°F", 0.018, 0.0005, factor)
    )
    return rows


def curtains() -> list[Check]:
    """Curtains and wet film."""

    def closed(bare: float, name: str, share: float = 1.0) -> float:
        row = curtain(name)
        return float(curtained(np.array([bare]), np.ones(1), row.r_value, share)[0])

    kim = "Kim et al. 2018, Energies 11(3):578 (the curtain's resistance is from it too)"
    double, single = u_value("double poly inflated", 3.0), u_value("single poly", 1.0)
    usual = read_keyed("defaults")["greenhouse.night_curtain.share"].number
    windy = u_value("single poly", 4.0)
    trials = "Çaylı and Akyüz 2019, three lettuce houses"
    return [
        near("double plastic, bare", kim, "W/m²K", 3.85, 0.3, double),
        near("double plastic, curtain", kim, "W/m²K", 2.76, 0.2, closed(double, "thermal curtain")),
        near(
            "film curtain in a film house saves, 1 m/s",
            "Mihara and Hayashi 1979, from the lines", "1", 0.386, 0.05,
            1.0 - closed(single, "inner film") / single,
        ),
        Check(
            "screen over single film saves, 4 m/s", trials, "1", 0.17, 0.36,
            1.0 - closed(windy, "thermal curtain", usual) / windy, DIFFER,
        ),
        Check(
            "screen over single film saves, calm", trials, "1", 0.08, 0.22,
            1.0 - closed(u_value("single poly", 0.0), "thermal curtain", usual)
            / u_value("single poly", 0.0),
            DIFFER,
        ),
        near("dry share of film under 40 g/m² of dew", "Kon et al. 1985", "1", 0.221, 5e-4,
             float(wet_part(40.0))),
    ]  # fmt: skip


def leaks() -> list[Check]:
    """Infiltration of sound double film, the mean of a winter held at 10 °C."""
    farm = demo(greenhouse__tightness="good", greenhouse__cover="double poly inflated")
    found = winter(farm)
    elevation = found.weather.elevation_m
    stack = found.house.leak_stack * np.abs(HELD_C - found.drive.t_out)
    leaking = found.house.leak_w_k * np.sqrt(found.drive.leak_wind + stack)
    volume = shell(farm, found.weather.latitude).volume_m3
    hourly = leaking * 3600.0 / (air_heat(elevation) * volume)
    tracer = "tracer tests in ten commercial ranges: lowest 0.34, mean 0.56, none above 1.0"
    return [Check("air changes of good double film", tracer, "1/h", 0.34, 1.0, hourly.mean())]


def sky_and_sun() -> list[Check]:
    """Sky temperatures and the sun's place."""
    dew, clear = np.array([9.85]), np.array([0.0])
    emittance = clark_allen(dew, clear)
    walton = "Walton 1983 after Clark and Allen 1978"
    cold = berdahl_martin(np.array([-15.0]), np.array([1e5]), np.array([6.0]), clear)
    rows = [
        near("sky emittance, dew point 283 K", walton, "1", 0.815, 6e-4, float(emittance[0])),
        near("sky radiation of it", walton, "W/m²", 340.6, 0.5,
             float(sky_radiation(emittance, np.array([19.85]))[0])),
        near("clear sky at -10 °C, dew -15 °C", "Berdahl and Martin 1984, by hand", "°C", -37.5,
             0.1, float(sky_temperature(sky_radiation(cold, np.array([-10.0])))[0])),
    ]  # fmt: skip
    place = SimpleNamespace(
        utc_offset_h=-7.0 - 30.0 / 3600.0, latitude=39.742476, longitude=-105.1786,
        elevation_m=1830.14, pressure_Pa=np.array([82000.0]), t_out_C=np.array([11.0]),
        times=lambda: np.array([np.datetime64("2003-10-17T12:00:00", "s")]),
    )  # fmt: skip
    sun = sun_position(place)
    nrel = "Reda and Andreas, NREL/TP-560-34302, worked example"
    # the example's zenith holds refraction, ours does not
    rows += [
        near("sun's zenith", nrel, "degree", 50.11162 + 0.0135, 0.02, float(sun.zenith_deg[0])),
        near("sun's azimuth", nrel, "degree", 194.34024, 1e-3, float(sun.azimuth_deg[0])),
    ]
    for degrees, layers, share in ((60, 1, 0.91), (70, 1, 0.78), (60, 2, 0.88), (70, 2, 0.70)):
        ours = float(at_angle(np.cos(np.radians(degrees)), layers))
        what = f"{layers} pane(s) at {degrees} degrees over normal"
        source = "Duffie and Beckman, figure 5.1.1 (from memory)"
        rows.append(near(what, source, "1", share, 0.02, ours))
    return rows


def moist() -> list[Check]:
    """Water vapour."""
    rows = []
    for t_C, m3_kg in ((0.01, 205.99), (20.0, 57.762), (40.0, 19.517)):
        ours = 1.0 / saturated(t_C)
        what = f"volume of saturated vapour at {t_C:g} °C, within 0.5 %"
        source = "steam tables IAPWS-IF97 (from memory)"
        rows.append(near(what, source, "m³/kg", m3_kg, 0.005 * m3_kg, ours))
    for t_C, pressure_Pa in ((5.0, 872.6), (25.0, 3169.7)):
        ours = saturated(t_C) * 461.5 * (t_C + 273.15)
        what = f"saturation pressure at {t_C:g} °C, within 0.5 %"
        source = "ASHRAE Fundamentals 2017, ch. 1 table 3"
        rows.append(near(what, source, "Pa", pressure_Pa, 0.005 * pressure_Pa, ours))
    dew = SimpleNamespace(t_dew_C=np.array([20.0]))
    source = "steam tables at the dew point, air at 15 °C"
    wanted = 1.0 / 57.762 * 293.15 / 288.15
    ours = float(outdoor_vapour(dew)[0])
    rows.append(near("outdoor vapour, dew 20 °C", source, "kg/m³", wanted, 0.006 * wanted, ours))
    return rows


def fuels() -> list[Check]:
    """Heat of fuels."""
    net = net_as_fired(net_dry(20.14e6, 0.06), 0.20) / BTU_LB
    iso = "ISO 18125 / ISO 17225-1 formula as printed"
    propane = fuel_for("propane")
    gallon = propane.gross_J_kg * (propane.bulk_kg_m3 or 0.0) * 3.785411784e-3 / BTU_J
    rows = [
        near("net heat of 18.5 MJ/kg dry at 20 % water", iso, "MJ/kg", 14.31, 0.006,
             net_as_fired(18.5e6, 0.20) / 1e6),
        near("net heat of 19.1 MJ/kg dry at 40 % water", iso, "MJ/kg", 10.48, 0.006,
             net_as_fired(19.1e6, 0.40) / 1e6),
        near("wood at 20 % water, net", "farm-energy extension, within 1.5 %", "Btu/lb", 6200.0,
             93.0, net),
        near("propane, gross", "EIA, within 0.2 %", "Btu/gal", 91502.0, 183.0, gallon),
    ]  # fmt: skip
    for species, mmbtu in (("red oak", 25.9), ("white ash", 24.6), ("eastern white pine", 15.0)):
        ours = cord_heat(species, 0.2).gross_J / (1e6 * BTU_J)
        source = "University of Kentucky, -1 to +7 % (heat of dry wood 6 % lower there)"
        what = f"a cord of {species}, gross"
        rows.append(Check(what, source, "million Btu", 0.99 * mmbtu, 1.07 * mmbtu, ours))
    return rows
