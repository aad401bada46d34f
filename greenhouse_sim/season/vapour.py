"""KERNEL: one hour of the water vapour in the greenhouse.

With χ the absolute humidity (kg/m³) of the air, V its volume and everything else constant
through the hour,

    V·dχ/dt = s + g·(χ_sat − χ) + Q·(χ_out − χ) − K·max(χ − χ_cover, 0)

s is what the sun evaporates at crop and soil, g the conductance of leaves and moist soil, Q the
flow of leaks and vents, K the conductance to the covers and χ_cover saturation at their inner
side. The air holds no more than χ_sat; what would go beyond it is fog, and gives its heat back.

The equation is linear below χ_cover (dry covers), between χ_cover and χ_sat (wet covers) and at
χ_sat (fog), and χ moves one way only; so the hour is at most three exponentials, solved exactly:

    χ(t) = level + (χ_0 − level)·exp(−G·t/V),    level = push/G,
    ∫χ dt = (push·t − V·(χ(t) − χ_0)) / G,

G and push being what is multiplied by χ and what is not. The integral is taken from the balance
itself, so that water closes to rounding.

Of the heat of condensation a share comes back to the inside (`moist_air`). Drops are taken to
run off.

Before and after, transpired = returned + cover + out + stored. The hour's air temperature and the
heat of its vents are given: what vapour does to the heat balance in turn is settled between
winters (`greenhouse_sim.season.damp`), not within the hour.

Sources: transpiration, see `greenhouse.vapour`; the rest is derived above.
"""

from __future__ import annotations

import math
from typing import NamedTuple

from greenhouse_sim.greenhouse.numbers import House
from greenhouse_sim.greenhouse.vapour_numbers import LATENT_J_KG, Vapour
from greenhouse_sim.season.moist_air import Cover, cover_now, saturation, saturation_slope
from greenhouse_sim.season.numbers import Array

HOUR_S = 3600.0
LEAST_PER_S = 1e-9
"""Air changes that even a sealed house has, 1/s."""


class Hour(NamedTuple):
    """The vapour of an hour. Powers are means over the hour, W."""

    chi: float
    """Absolute humidity at its end, kg/m³."""
    mean_chi: float
    """Its mean, kg/m³."""
    humidity: float
    """Mean relative humidity, 0 to 1."""
    cover_t: float
    """Mean inner temperature of the covers without the heat of condensation, °C."""
    wet: float
    """Share of the hour through which the covers were wet."""
    transpired_w: float
    """Heat that evaporation at crop and soil took, from the sun (``sun_w``) and from the air."""
    returned_w: float
    """Heat that fog and the inner share of condensation gave back."""
    cover_w: float
    """Heat of condensation that went out through the covers."""
    out_w: float
    """Latent heat that left with air, less what came with it."""
    stored_w: float
    """Latent heat by which the air's vapour grew."""


class Course(NamedTuple):
    """How the humidity went: amounts of the hour, kg."""

    end: float
    area: float
    """∫χ dt, kg s/m³."""
    done_s: float
    wet_s: float
    condensed: float
    fog: float


def course(
    volume_m3: float, chi: float, most: float, given: float, pull: float, cover: Cover
) -> Course:
    """Walk the hour: ``given`` − ``pull``·χ (kg/s) is what reaches the air but for the covers."""
    at = min(chi, most)
    fog = (chi - at) * volume_m3
    left = HOUR_S
    area = 0.0
    wet_s = 0.0
    condensed = 0.0
    for _ in range(3):
        wet = 0.0
        if at > cover.dew or (at == cover.dew and given > pull * at):
            wet = cover.flow
        push = given + wet * cover.dew
        whole = pull + wet
        gain = push - whole * at
        if at >= most and gain > 0.0:
            fog += gain * left
            area += at * left
            condensed += wet * (at - cover.dew) * left
            if wet > 0.0:
                wet_s += left
            left = 0.0
            break
        level = push / whole
        edge = most
        drying = wet > 0.0 and gain < 0.0
        if drying or (wet <= 0.0 and cover.flow > 0.0 and gain > 0.0):
            edge = cover.dew
        span = left
        crosses = (gain > 0.0 and level > edge) or (drying and level < edge)
        if crosses:
            span = volume_m3 / whole * math.log1p((edge - at) / (level - edge))
        if crosses and span < left:
            end = edge
        else:
            span = left
            end = at - (level - at) * math.expm1(-whole * span / volume_m3)
        part = (push * span - volume_m3 * (end - at)) / whole
        area += part
        if wet > 0.0:
            condensed += wet * (part - cover.dew * span)
            wet_s += span
        at = end
        left -= span
        if left <= 0.0:
            break
    return Course(at, area, HOUR_S - left, wet_s, condensed, fog)


def vapour_hour(
    v: Vapour,
    chi: float,
    air_t: float,
    t_out: float,
    chi_out: float,
    sun_w: float,
    flow_m3_s: float,
    loss_w_k: float,
    sky_w: float,
) -> Hour:
    """Carry the humidity through an hour at these temperatures and flows.

    Parameters
    ----------
    v
        The greenhouse's vapour numbers.
    chi
        Absolute humidity at the hour's beginning, kg/m³.
    air_t, t_out
        Temperatures indoors and outdoors, °C.
    chi_out
        Outdoor absolute humidity at indoor density, kg/m³ (`drive.vapour.outdoor_vapour`).
    sun_w
        Sun that crop and soil turn into vapour at the reference temperature, W
        (`Drive.sun_latent_w`).
    flow_m3_s
        Air exchanged by leaks and vents, m³/s (`air_flow`).
    loss_w_k, sky_w
        Loss coefficient of the shell and its loss beyond it, W/K and W, as in `Drive`.
    """
    most = saturation(v, air_t)
    cover = cover_now(v, air_t, t_out, loss_w_k, sky_w, most)
    flow = max(flow_m3_s, LEAST_PER_S * v.volume_m3)
    ratio = LATENT_J_KG * saturation_slope(v, air_t, most) / v.air_heat
    warm = v.sun_half / (ratio + v.sun_half)
    used_w = sun_w * v.sun_scale * (1.0 - warm)
    given = used_w / LATENT_J_KG + v.moist_m3_s * most + flow * chi_out
    went = course(v.volume_m3, chi, most, given, v.moist_m3_s + flow, cover)
    to_w = LATENT_J_KG / HOUR_S
    mean = went.area / went.done_s
    cover_w = cover.out_share * went.condensed * to_w
    return Hour(
        went.end,
        mean,
        min(max(mean / most, 0.0), 1.0),
        cover.t,
        went.wet_s / HOUR_S,
        used_w * went.done_s / HOUR_S + v.moist_m3_s * (most * went.done_s - went.area) * to_w,
        (went.fog + went.condensed) * to_w - cover_w,
        cover_w,
        flow * (went.area - chi_out * went.done_s) * to_w,
        v.volume_m3 * (went.end - chi) * to_w,
    )


def air_flow(v: Vapour, leak_w_k: float, vent_w: float, air_t: float, t_out: float) -> float:
    """Air exchanged by leaks and vents, m³/s, from the heat that they carry."""
    vent_w_k = 0.0
    if vent_w > 0.0:
        vent_w_k = v.vent_w_k
        if vent_w < v.vent_w_k * (air_t - t_out):
            vent_w_k = vent_w / (air_t - t_out)
    return (leak_w_k + vent_w_k) / v.air_heat


def walk(
    v: Vapour,
    house: House,
    t_out: Array,
    loss_w_k: Array,
    sky_w: Array,
    leak_wind: Array,
    sun_w: Array,
    chi_out: Array,
    air_t: Array,
    vent_w: Array,
    out: Array,
) -> None:
    """Carry the humidity through a winter whose air is known.

    Parameters
    ----------
    v, house
        The greenhouse's numbers.
    t_out, loss_w_k, sky_w, leak_wind, sun_w, chi_out
        float64, shape (hours,): of `Drive` (``sun_w``: its sun_latent_w), and the outdoor
        absolute humidity at indoor density, kg/m³.
    air_t, vent_w
        float64, shape (hours,): mean air, °C, and heat carried by vents, W.
    out
        float64, shape (hours, 3): filled with the heat that vapour takes from sun and air, W,
        the mean relative humidity and the share of the hour in which covers are wet.
    """
    chi = v.start_chi
    for h in range(air_t.shape[0]):
        felt = house.leak_stack * abs(air_t[h] - t_out[h])
        leak_w_k = house.leak_w_k * math.sqrt(leak_wind[h] + felt)
        flow = air_flow(v, leak_w_k, vent_w[h], air_t[h], t_out[h])
        hour = vapour_hour(
            v, chi, air_t[h], t_out[h], chi_out[h], sun_w[h], flow, loss_w_k[h], sky_w[h]
        )
        chi = hour.chi
        out[h, 0] = hour.transpired_w - hour.returned_w
        out[h, 1] = hour.humidity
        out[h, 2] = hour.wet
