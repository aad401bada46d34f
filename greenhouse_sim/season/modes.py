"""The slow parts of a greenhouse as modes, and a season's energy once the loop is through.

Soil layers, walls and barrels are nodes of capacity C_i joined by conductances, to the air a,
the outdoor air o and the deep ground u:

    C·dT/dt = −K·T + g_a·a + g_o·o + g_u·u + q

with K symmetric (it holds all conductances of a node on its diagonal). With y = √C·T this is
dy/dt = −(C^−½·K·C^−½)·y + C^−½·(…), a symmetric matrix: its eigenvectors V and rates λ ≥ 0
turn it into modes m = Vᵀ·y that do not meet,

    dm/dt = −λ·m + s,    s = Vᵀ·C^−½·(g_a·a + g_o·o + g_u·u + q).

Each is stepped by the θ-method over a sub-step Δt: with the mean M = θ·m¹ + (1−θ)·m⁰,

    M  = l·m⁰ + k·s,    l = 1/(1 + θλΔt),    k = θΔt·l
    m¹ = d·m⁰ + e·s,    d = 1 − λΔt·l,       e = Δt·l

and θ = max(½, 1 − 1/(λΔt)): second order where it can be, and never oscillating (d ≥ 0). An
exponential would be exact for air that stands still, but the air climbs and falls with the walls
around it; for that the θ-method, exact where all move together, came out four times as close.

The heat that the slow parts send to the air is cᵀ·mean − Σg_a·a with c = Vᵀ·C^−½·g_a. Its part
that follows a is a conductance of the air node, the rest a source, so air and slow parts are
solved together, the air's mean standing for its course within the sub-step.

Nodes without capacity are eliminated first (`greenhouse.network`); what passes through them at
once, from outdoors or from heat that falls on them, is the air's or outdoors' own.

Sources: the θ-method and its bound, Hairer and Wanner, *Solving Ordinary Differential Equations
II*, section IV.3; the rest is derived above (diagonalising so is textbook matter, for example
Strang, *Linear Algebra and Its Applications*, sections 5.4 and 6.3; from memory).
"""

from __future__ import annotations

import functools
from typing import NamedTuple

import numpy as np

from greenhouse_sim.greenhouse.network import MOST_KEPT, Joined, last_nodes, network
from greenhouse_sim.greenhouse.numbers import Drive, House
from greenhouse_sim.season import numbers as n
from greenhouse_sim.season import tally as at
from greenhouse_sim.season.numbers import Array, Hours, Modes
from greenhouse_sim.substep import STEP_S, SUB_STEPS

HOUR_S = 3600.0


class Sources(NamedTuple):
    """Share of each source that passes through inner faces at once."""

    sun_floor: float
    sun_mass: float
    heat: float
    gain: float
    outside: Array
    """Shape (chains,)."""

    def of(self, drive: Drive) -> Array:
        """Of the winter's sources, W, shape (hours,)."""
        return (
            drive.sun_floor_w * self.sun_floor
            + drive.sun_mass_w * self.sun_mass
            + drive.gain_w * self.gain
            + drive.outside_w @ self.outside[: drive.outside_w.shape[1]]
        )


class Links(NamedTuple):
    """What joins the modes to the rest, each of shape (modes,): Vᵀ·C^−½ times the nodes' own."""

    air: Array
    out: Array
    ground: Array
    sun_floor: Array
    sun_mass: Array
    heat: Array
    gain: Array
    outside: Array
    """Shape (chains, modes): of heat sent to the last node of each chain."""
    stored: Array
    """Heat held for each unit of the states, J."""
    mean_keep: Array
    """l."""
    mean_gain: Array
    """k, s."""
    end_gain: Array
    """e, s."""
    out_w_k: float
    """Conductance of all nodes to the outdoor air, W/K."""
    ground_w_k: float
    air_out_w_k: float
    """Conductance between air and outdoors through inner faces, W/K."""
    to_air: Sources
    to_out: Sources


class Slow(NamedTuple):
    """The slow parts, for the loop and for the books."""

    modes: Modes
    links: Links


class Known(NamedTuple):
    """What a winter's books hold before any heater runs."""

    total: Array
    """Shape (tally.SIZE,): sun, gains and latent heat, J; the rest zero."""
    constant_w: float
    """Sum over hours of what the shell loses with air at 0 °C, but for the slow parts, W."""
    out_sum: float
    """Sum of the hours' outdoor temperatures, °C."""
    ground_sum: float
    into_modes: Array
    """Shape (modes,): sum over hours of what sun and boundaries send to each, before e."""


class Walk(NamedTuple):
    """A greenhouse in a winter, ready for the loop and for its books."""

    house: House
    slow: Slow
    hours: Hours
    known: Known


def walk_of(house: House, drive: Drive) -> Walk:
    """A greenhouse in a winter, ready for the loop."""
    slow = slow_parts(house)
    return Walk(house, slow, *hours_of(house, slow, drive))


class Apart(NamedTuple):
    """The slow parts of a greenhouse taken apart, the same in all winters."""

    slow: Slow
    """Without the levels that a winter begins at."""
    vectors: Array
    """V."""
    root: Array
    """√C of the nodes that store heat."""


def slow_parts(house: House, step_s: float = STEP_S) -> Slow:
    """Take the slow parts of a greenhouse apart into modes (see above), for this sub-step."""
    slow, vectors, root = _apart(Joined(house), step_s)
    table = slow.modes.table.copy()
    table[:, n.LEVEL] = vectors.T @ (root * house.node_start[house.node_c > 0.0])
    return slow._replace(modes=slow.modes._replace(table=table))


@functools.lru_cache(maxsize=MOST_KEPT)
def _apart(joined: Joined, step_s: float) -> Apart:
    """Kept: a greenhouse stands in many winters."""
    house = joined.house
    net = network(house)
    air, out, ground = net.air, net.out, net.ground
    root = np.sqrt(net.capacity)
    rate, vectors = np.linalg.eigh(net.matrix / np.outer(root, root))
    swing = np.maximum(rate, 0.0) * step_s
    theta = np.where(swing <= 2.0, 0.5, 1.0 - 1.0 / np.maximum(swing, 2.0))
    into = vectors.T / root
    at_once = into @ net.place
    node_gain = house.node_gain + np.zeros(len(house.node_c))
    last = last_nodes(house)

    def sources(share: Array) -> Sources:
        return Sources(
            float(share @ house.node_sun_floor),
            float(share @ house.node_sun_mass),
            float(share @ house.node_heat),
            float(share @ node_gain),
            share[last],
        )

    mean_keep = 1.0 / (1.0 + theta * swing)
    mean_gain = theta * step_s * mean_keep
    end_gain = step_s * mean_keep
    links = Links(
        into @ air,
        into @ out,
        into @ ground,
        at_once @ house.node_sun_floor,
        at_once @ house.node_sun_mass,
        at_once @ house.node_heat,
        at_once @ node_gain,
        np.ascontiguousarray(at_once[:, last].T),
        into @ net.capacity,
        mean_keep,
        mean_gain,
        end_gain,
        float(out.sum()),
        float(ground.sum()),
        net.air_out,
        sources(net.to_air),
        sources(net.to_out),
    )
    table = np.zeros((len(rate), n.COLUMNS))
    table[:, n.KEEP] = 1.0 - swing * mean_keep
    table[:, n.FROM_AIR] = end_gain * links.air
    table[:, n.FROM_FLOOR] = end_gain * links.heat
    table[:, n.SENDS] = links.air * mean_keep
    first = into[:, 0] if len(rate) else np.zeros(0)
    table[:, n.CROP_KEEP] = first * mean_keep
    table[:, n.CROP_GAIN] = first * mean_gain / end_gain
    soil_i = 1 if house.crop_covered > 0.5 else 0
    soil = into[:, soil_i] if len(rate) > soil_i else np.zeros(len(rate))
    modes = Modes(
        table,
        float(air.sum() + net.air_out - links.air @ (mean_gain * links.air)),
        float(links.air @ (mean_gain * links.heat)) + links.to_air.heat,
        np.ascontiguousarray(soil),
    )
    return Apart(Slow(modes, links), vectors, root)


def hours_of(house: House, slow: Slow, drive: Drive) -> tuple[Hours, Known]:
    """A winter as the loop walks through it, and what its books hold already."""
    links = slow.links
    into = _into_modes(links, drive)
    in_air = 1.0 - float(np.sum(house.node_gain))
    fixed_w_k = drive.loss_w_k + house.edge_w_k
    sun_w = drive.sun_air_w + drive.sun_floor_w + drive.sun_mass_w + drive.sun_latent_w
    hours = Hours(
        drive.t_out,
        drive.t_ground,
        fixed_w_k + slow.modes.air_w_k,
        (fixed_w_k + links.air_out_w_k) * drive.t_out
        + drive.sun_air_w
        + drive.gain_w * in_air
        + links.to_air.of(drive)
        - drive.sky_w
        + into @ (links.mean_gain * links.air),
        np.zeros_like(drive.t_out),
        drive.leak_wind,
        drive.setpoint,
        np.ascontiguousarray(into * links.end_gain),
        drive.need_sum_j,
    )
    total = np.zeros(at.SIZE)
    total[at.SUN_J] = HOUR_S * sun_w.sum()
    total[at.GAIN_J] = HOUR_S * drive.gain_w.sum()
    total[at.LATENT_J] = HOUR_S * drive.sun_latent_w.sum()
    known = Known(
        total,
        float(
            (
                drive.sky_w
                - (drive.loss_w_k + links.air_out_w_k) * drive.t_out
                + links.to_out.of(drive)
            ).sum()
            - drive.outside_w.sum()
        ),
        float(drive.t_out.sum()),
        float(drive.t_ground.sum()),
        into.sum(axis=0),
    )
    return hours, known


def _into_modes(links: Links, drive: Drive) -> Array:
    """What sun and boundaries send to each mode in each hour, before e, shape (hours, modes)."""
    first, *others = (
        (drive.t_out, links.out),
        (drive.t_ground, links.ground),
        (drive.sun_floor_w, links.sun_floor),
        (drive.sun_mass_w, links.sun_mass),
        (drive.gain_w, links.gain),
    )
    # mode by mode, each over all hours: long rows take a third of the time of many short ones
    by_mode = np.multiply(first[1][:, None], first[0])
    part = np.empty_like(first[0])
    for source, link in others:
        for row, share in zip(by_mode, link.tolist(), strict=True):
            row += np.multiply(source, share, out=part)
    if not drive.outside_w.shape[1]:
        return np.ascontiguousarray(by_mode.T)
    outside = np.matmul(drive.outside_w, links.outside[: drive.outside_w.shape[1]])
    outside += by_mode.T
    return outside


def close_books(total: Array, table: Array, state: Array, begun: Array, walk: Walk) -> None:
    """Complete a whole season's tally with what the loop did not need to know.

    The slow parts' losses come from the mean states, their storage from the last: two ways
    through the same stepping, so the balance that follows can fail.

    Parameters
    ----------
    total
        The loop's tally, shape (tally.SIZE,); completed in place.
    table
        The table of modes as the loop left it.
    state, begun
        The season's state at its end and its beginning, shape (STATE_SIZE,).
    walk
        The greenhouse and the winter.
    """
    house, slow, _, known = walk
    links = slow.links
    # plain floats: single numbers out of an array take several times as long
    tally: list[float] = total.tolist()
    air_sum, floor_sum = tally[at.AIR_SUM], tally[at.FLOOR_SUM]
    into = links.air * air_sum + SUB_STEPS * known.into_modes + links.heat * floor_sum
    mean_sum = links.mean_keep * table[:, n.LEVEL_SUM] + links.mean_gain * into
    far_out = STEP_S * float(links.out @ mean_sum - links.out_w_k * SUB_STEPS * known.out_sum)
    far_down = STEP_S * float(
        links.ground @ mean_sum - links.ground_w_k * SUB_STEPS * known.ground_sum
    )
    hour_sum = air_sum / SUB_STEPS
    slow_w_k = slow.modes.air_w_k - links.air_out_w_k
    drawn_w = tally[at.PULL_SUM] - (house.edge_w_k + slow_w_k) * hour_sum - tally[at.VAPOUR_SUM]
    passed_j = STEP_S * links.to_out.heat * floor_sum
    total += known.total
    total[at.LATENT_J] += HOUR_S * tally[at.VAPOUR_SUM]
    total[at.ENVELOPE_J] = HOUR_S * (drawn_w + known.constant_w) + far_out + passed_j
    total[at.GROUND_J] = HOUR_S * house.edge_w_k * (hour_sum - known.out_sum) + far_down
    change = float(links.stored @ (table[:, n.LEVEL] - slow.modes.table[:, n.LEVEL]))
    total[at.STORAGE_J] = house.air_c * float(state[n.AIR] - begun[n.AIR]) + change
