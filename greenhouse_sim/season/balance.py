"""KERNEL: one sub-step of the greenhouse's heat balance.

The air node exchanges heat with the outdoor air (covers, leaks, perimeter), with
chains of slow nodes (soil layers, barrels, walls) and with the heater's store.
Over a sub-step Δt everything but temperatures is constant.

**Chains** are stepped by the θ-method. With Θ = θ·T¹ + (1−θ)·T⁰ for each node i,
g the conductance to the node before it and a the mean air temperature as the
"node before the first",

    C_i/(θ·Δt)·(Θ_i − T⁰_i) = g_i·(Θ_{i−1} − Θ_i) + g_{i+1}·(Θ_{i+1} − Θ_i) + q_i

is tridiagonal with constant coefficients, so it is eliminated once a season from
the far end to the air; each sub-step then costs a few multiplications a node.
θ = max(½, 1 − 1/(λΔt)), λ a Gershgorin bound of the chain's fastest rate: second
order where it can be, and never oscillating (the amplification factor
(1 − (1−θ)λΔt)/(1 + θλΔt) stays ≥ 0).

**Air** is fast, so it is solved exactly: what the chains send back is linear in the
mean air temperature, hence C·dT/dt = S − K·T with constant S and K, whose solution is

    T(Δt) = S/K + (T⁰ − S/K)·e,    e = exp(−K·Δt/C),
    mean  = S/K + (T⁰ − S/K)·(1 − e)·C/(K·Δt).

All fluxes use that mean, so energy closes to rounding: C·(T¹ − T⁰) = (S − K·mean)·Δt.
A controller (thermostat, vent) that wants T(Δt) = T* needs the extra heat
Q = (T* − T(Δt))·K/(1 − e), since T(Δt) is linear in Q.

Sources: the θ-method and its bound, Hairer and Wanner, *Solving Ordinary
Differential Equations II*, section IV.3; the rest is derived above.
"""

from __future__ import annotations

import math
from typing import NamedTuple

import numpy as np

from greenhouse_sim.greenhouse.numbers import House

Array = np.ndarray


# columns of the table of nodes, one row a node
CAP = 0
"""C/(θ·Δt), W/K."""
PULL = 1
"""g/a: what a node takes from the one before it."""
INVERSE = 2
"""1/a, K/W."""
HEAT = 3
"""Eliminated response to 1 W of floor-directed heat, W."""
PER_THETA = 4
CAPACITY = 5
"""C, J/K."""
FIRST = 6
"""1.0 for the first node of a chain."""
SUN_FLOOR = 7
SUN_MASS = 8
"""Shares of the sun on the floor and on added mass."""
OUT_W_K = 9
GROUND_W_K = 10
"""Conductances to the outdoor air and to the deep ground (of a chain's last node), W/K."""
TEMPERATURE = 11
RIGHT = 12
"""Eliminated right-hand side, W."""
SOURCE = 13
"""What reaches the node from outside the chains this hour, W."""
SUM = 14
"""Sum of its mean temperatures over the hour's sub-steps, °C."""
COLUMNS = 15


class Chains(NamedTuple):
    """The chains, eliminated: see `eliminate`."""

    nodes: Array
    """Shape (nodes, COLUMNS): a row of neighbours costs the loop less than many arrays."""
    air_w_k: float
    """What all chains together pull on the air, W/K."""
    heat_to_air: float
    """Share of floor-directed heat that reaches the air within the sub-step."""


class Pace(NamedTuple):
    """How the air answers within a sub-step; constant while the conductances are."""

    pull: float
    """K, W/K."""
    per_pull: float
    """1/K, K/W."""
    decay: float
    """e."""
    gain: float
    """Kelvin at the end for each W."""
    lag: float
    """(1 − e)·C/(K·Δt): weight of the start in the mean."""


class Control(NamedTuple):
    """What holds the air through the season."""

    steps_per_c: float
    """Δt over the air's heat capacity, K/W."""
    c_per_step: float
    """Its reciprocal, W/K."""
    heat_share: float
    """Share of the heater's heat that acts on the air within the sub-step."""
    backup_hold: float
    vent_at: float
    vent_w_k: float
    ideal_cooling: float


class Air(NamedTuple):
    """What happened to the air in a sub-step."""

    end: float
    """Temperature at the end, °C."""
    mean: float
    """Mean temperature, °C."""
    heat_w: float
    """Controlled heat of the heater, W (air and floor together)."""
    backup_w: float
    """Heat of the back-up, W."""
    vent_w: float
    """Heat vented or cooled away, W."""


def theta_of(start: int, end: int, end_g: float, house: House, step_s: float) -> float:
    """The θ of one chain: ½ where stable without oscillation, up to 1 for fast nodes.

    The bound of the fastest rate is Gershgorin's: of each row the diagonal (both
    conductances over C) and beside it those to other nodes of the chain. The air's
    temperature is given, so a first node's conductance to it stands in the diagonal only.
    """
    fastest = 0.0
    for i in range(start, end):
        if house.node_c[i] <= 0.0:
            return 1.0
        before = house.node_g[i]
        after = house.node_g[i + 1] if i + 1 < end else end_g
        row = before + after
        if i > start:
            row += before
        if i + 1 < end:
            row += after
        fastest = max(fastest, row / house.node_c[i])
    if fastest * step_s <= 2.0:
        return 0.5
    return 1.0 - 1.0 / (fastest * step_s)


def eliminate(house: House, step_s: float) -> Chains:
    """Eliminate every chain from its far end to the air, once a season."""
    nodes = np.zeros((house.node_c.shape[0], COLUMNS))
    air_w_k = 0.0
    heat_to_air = 0.0
    for k in range(house.end_g.shape[0]):
        start = house.chain_start[k]
        last = house.chain_start[k + 1] - 1
        theta = theta_of(start, last + 1, house.end_g[k], house, step_s)
        nodes[start, FIRST] = 1.0
        if house.end_out[k] > 0.5:
            nodes[last, OUT_W_K] = house.end_g[k]
        else:
            nodes[last, GROUND_W_K] = house.end_g[k]
        beyond = house.end_g[k]
        carried = 0.0
        for i in range(last, start - 1, -1):
            nodes[i, PER_THETA] = 1.0 / theta
            nodes[i, CAPACITY] = house.node_c[i]
            nodes[i, CAP] = house.node_c[i] / (theta * step_s)
            a = nodes[i, CAP] + house.node_g[i] + beyond
            nodes[i, INVERSE] = 1.0 / a
            nodes[i, PULL] = house.node_g[i] / a
            nodes[i, HEAT] = house.node_heat[i] + carried
            nodes[i, SUN_FLOOR] = house.node_sun_floor[i]
            nodes[i, SUN_MASS] = house.node_sun_mass[i]
            nodes[i, TEMPERATURE] = house.node_start[i]
            carried = nodes[i, PULL] * nodes[i, HEAT]
            beyond = house.node_g[i] * (1.0 - nodes[i, PULL])
        air_w_k += beyond
        heat_to_air += carried
    return Chains(nodes, air_w_k, heat_to_air)


def chain_sources(
    nodes: Array, t_out: float, t_ground: float, sun_floor_w: float, sun_mass_w: float
) -> None:
    """Begin an hour: what reaches each node from outside the chains, and empty sums."""
    for i in range(nodes.shape[0]):
        nodes[i, SOURCE] = (
            nodes[i, SUN_FLOOR] * sun_floor_w
            + nodes[i, SUN_MASS] * sun_mass_w
            + nodes[i, OUT_W_K] * t_out
            + nodes[i, GROUND_W_K] * t_ground
        )
        nodes[i, SUM] = 0.0


def chain_push(nodes: Array) -> float:
    """Eliminate the right-hand sides; return what the chains send to the air, W."""
    sent = 0.0
    carried = 0.0
    for i in range(nodes.shape[0] - 1, -1, -1):
        right = nodes[i, CAP] * nodes[i, TEMPERATURE] + nodes[i, SOURCE] + carried
        nodes[i, RIGHT] = right
        carried = nodes[i, PULL] * right
        if nodes[i, FIRST] > 0.5:
            sent += carried
            carried = 0.0
    return sent


def chain_step(nodes: Array, mean: float, floor_w: float) -> float:
    """Step the nodes with the air's mean known; return the heat that they took up, J."""
    stored = 0.0
    before = mean
    for i in range(nodes.shape[0]):
        if nodes[i, FIRST] > 0.5:
            before = mean
        late = (nodes[i, RIGHT] + nodes[i, HEAT] * floor_w) * nodes[i, INVERSE]
        before = nodes[i, PULL] * before + late
        change = (before - nodes[i, TEMPERATURE]) * nodes[i, PER_THETA]
        nodes[i, TEMPERATURE] += change
        nodes[i, SUM] += before
        stored += nodes[i, CAPACITY] * change
    return stored


def far_losses(nodes: Array, t_out: float, t_ground: float, steps: float) -> tuple[float, float]:
    """Mean losses of the hour through the chains' far ends, W: to outdoors, to the deep ground."""
    outdoors = 0.0
    ground = 0.0
    for i in range(nodes.shape[0]):
        mean = nodes[i, SUM] / steps
        outdoors += nodes[i, OUT_W_K] * (mean - t_out)
        ground += nodes[i, GROUND_W_K] * (mean - t_ground)
    return outdoors, ground


def pace(pull_w_k: float, steps_per_c: float, c_per_step: float) -> Pace:
    """The air's response for the present conductances, with Δt/C (K/W) and C/Δt (W/K)."""
    per_pull = 1.0 / pull_w_k
    gone = 1.0 - math.exp(-pull_w_k * steps_per_c)
    gain = gone * per_pull
    return Pace(pull_w_k, per_pull, 1.0 - gone, gain, gain * c_per_step)


def air_step(
    start: float,
    push_w: float,
    pace_now: Pace,
    control: Control,
    heat_most: float,
    hold: float,
    backup_most: float,
    t_out: float,
) -> Air:
    """Solve the air for one sub-step, with heater, back-up and vents under control.

    ``push_w`` − pull·T is the uncontrolled heat into the air. The heater gives up to
    ``heat_most`` W to hold ``hold``; control.heat_share of it acts now.
    """
    push = push_w
    end = push * pace_now.gain + start * pace_now.decay
    heat = 0.0
    if heat_most > 0.0:
        wanted = (hold - end) / (pace_now.gain * control.heat_share)
        heat = min(max(wanted, 0.0), heat_most)
        push += heat * control.heat_share
        end = push * pace_now.gain + start * pace_now.decay
    backup = 0.0
    if backup_most > 0.0 and end < control.backup_hold:
        backup = min((control.backup_hold - end) / pace_now.gain, backup_most)
        push += backup
        end = push * pace_now.gain + start * pace_now.decay
    if end > control.vent_at:
        return vented(start, push, end, pace_now, control, heat, backup, t_out)
    level = push * pace_now.per_pull
    mean = level + (start - level) * pace_now.lag
    return Air(end, mean, heat, backup, 0.0)


def vented(
    start: float,
    push: float,
    end: float,
    pace_now: Pace,
    control: Control,
    heat: float,
    backup: float,
    t_out: float,
) -> Air:
    """The same with vents: open just enough to hold their temperature, or wide open."""
    vent = (end - control.vent_at) / pace_now.gain
    level = (push - vent) * pace_now.per_pull
    mean = level + (start - level) * pace_now.lag
    if control.ideal_cooling > 0.5 or vent <= control.vent_w_k * (mean - t_out):
        return Air(control.vent_at, mean, heat, backup, vent)
    level = push * pace_now.per_pull
    mean = level + (start - level) * pace_now.lag
    if mean <= t_out:
        return Air(end, mean, heat, backup, 0.0)
    wide = pace(pace_now.pull + control.vent_w_k, control.steps_per_c, control.c_per_step)
    level = (push + control.vent_w_k * t_out) * wide.per_pull
    end = level + (start - level) * wide.decay
    mean = level + (start - level) * wide.lag
    return Air(end, mean, heat, backup, control.vent_w_k * (mean - t_out))
