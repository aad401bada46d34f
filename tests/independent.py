"""The greenhouse's equations once more, written apart from the program, for a general solver.

    C_air dT/dt = (U + E + L(T))·(T_out − T) − S + Q_sun + Q_gain + (1 − f)·Q + Q_backup
                  − V(T) + Σ g_1·(T_1 − T)                          first node of each chain
    C_i dT_i/dt = g_i·(T_{i−1} − T_i) + g_{i+1}·(T_{i+1} − T_i) + s_i·(R − T_i)
                  + sun_i + gain_i + outside_i + heat_i·f·Q
    0 = Σ s_i·(T_i − R),  and 0 = C_i dT_i/dt where C_i = 0          radiant node, inner faces
    L(T) = L_ref·√(wind + stack·|T − T_out|)
    V(T) between 0 and V_max·(T − T_out), a steep ramp at the vent temperature
    C_iron dT_iron/dt = charge − k·(1 + slope·(T_iron − T)₊)·(T_iron − T)

U, S, sun and wind are constant over each hour (they are the hour's means), so the solver
is started anew each hour. Nothing of the program's own stepping is used: no θ, no
elimination on paper, no sub-steps: faces and the radiant node are solved for by numbers.
"""

from __future__ import annotations

import math
from dataclasses import dataclass, field

import numpy as np
from scipy.integrate import solve_ivp

from greenhouse_sim.greenhouse.numbers import Drive, House

STEEP_W_K = 1.0e7
"""Slope of the vent's and the ideal heater's ramp: their offset is then millikelvins."""


@dataclass(frozen=True)
class Fire:
    """A fire of constant power: some of its heat at once, some through an iron store."""

    direct_w: float = 0.0
    charge_w: float = 0.0
    floor_share: float = 0.0
    iron_c: float = 0.0
    iron_w_k: float = 0.0
    iron_slope: float = 0.0
    iron_start: float = 10.0


@dataclass(frozen=True)
class Heat:
    """What heats: nothing, a steady fire, or as much as the setpoint needs."""

    fire: Fire = field(default_factory=Fire)
    ideal: bool = False


@dataclass(frozen=True)
class Answer:
    """Hour by hour: mean air °C, first store at the hour's end °C, heat given W, iron °C."""

    air: np.ndarray
    node: np.ndarray
    heat_w: np.ndarray
    iron: np.ndarray


class Equations:
    """The right-hand side for one hour at a time.

    State: air, nodes that store heat, iron, then ∫ air dt and ∫ heat dt (h). The places of all
    nodes are those of the house, with the common radiant node behind them.
    """

    def __init__(self, house: House, drive: Drive, heat: Heat) -> None:
        self.house, self.drive, self.heat = house, drive, heat
        count = len(house.node_c)
        radiant = house.star_g + np.zeros(count)
        self.capacity = np.append(house.node_c, 0.0)
        self.holds = self.capacity > 0.0
        self.at_rest = ~self.holds
        kept = int(self.holds.sum())
        self.nodes = slice(1, 1 + kept)
        self.iron = 1 + kept
        self.size = kept + 4
        self.first = house.chain_start[:-1]
        self.last = house.chain_start[1:] - 1
        self.first_g = house.node_g[self.first]
        self.links = np.zeros((count + 1, count + 1))
        for i, g in enumerate(radiant):
            self.links[i, i] -= g
            self.links[count, count] -= g
            self.links[i, count] += g
            self.links[count, i] += g
        if not radiant.any():
            self.links[count, count] = -1.0
        for start, end in zip(house.chain_start[:-1], house.chain_start[1:], strict=True):
            for i in range(start + 1, end):
                g = house.node_g[i]
                self.links[i, i] -= g
                self.links[i - 1, i - 1] -= g
                self.links[i, i - 1] += g
                self.links[i - 1, i] += g
        for node, g in zip(self.first, self.first_g, strict=True):
            self.links[node, node] -= g
        for node, g in zip(self.last, house.end_g, strict=True):
            self.links[node, node] -= g
        self.into_first = np.zeros(count + 1)
        self.into_first[self.first] = self.first_g
        self._settle()

    def _settle(self) -> None:
        """Nodes without capacity by those with: L_ss·T_s = −(L_sh·T_h + q_s), solved by numbers.

        What is left over is linear in kept nodes, air, heat and the hour's sources: its matrices.
        """
        held, still = np.flatnonzero(self.holds), np.flatnonzero(self.at_rest)
        links = self.links
        by_source = np.zeros((len(self.capacity), len(self.capacity)))
        by_source[still[:, None], still] = -np.linalg.inv(links[np.ix_(still, still)])
        by_kept = by_source[:, still] @ links[np.ix_(still, held)]
        by_kept[held] = np.eye(len(held))
        share = self.first_g @ by_kept[self.first], self.first_g @ by_source[self.first]
        per_c = 1.0 / self.capacity[held]
        into = np.zeros_like(by_source)
        into[held, held] = 1.0
        rate = links @ by_source + into
        self.of_kept = np.vstack([(links @ by_kept)[held] * per_c[:, None], share[0]])
        self.of_source = np.vstack([rate[held] * per_c[:, None], share[1]])
        self.of_air = self.of_source @ self.into_first
        self.of_air[-1] -= np.sum(self.first_g)
        self.of_heat = self.of_source @ np.append(self.house.node_heat, 0.0)

    def set_hour(self, h: int) -> None:
        """Take the hour's constants."""
        d, house = self.drive, self.house
        self.out, self.hold = d.t_out[h], d.setpoint[h]
        self.u = d.loss_w_k[h] + house.edge_w_k
        self.wind = d.leak_wind[h]
        on_nodes = house.node_gain * d.gain_w[h]
        self.air_w = d.sun_air_w[h] + d.gain_w[h] - np.sum(on_nodes) - d.sky_w[h]
        source = np.zeros(len(self.capacity))
        inside = source[:-1]
        inside += house.node_sun_floor * d.sun_floor_w[h] + house.node_sun_mass * d.sun_mass_w[h]
        inside += on_nodes
        for k in range(d.outside_w.shape[1]):
            source[self.last[k]] += d.outside_w[h, k]
        beyond = np.where(house.end_out > 0.5, self.out, d.t_ground[h])
        source[self.last] += house.end_g * beyond
        self.of_hour = self.of_source @ source

    def given(self, air: float, iron: float) -> tuple[float, float]:
        """Heat into the greenhouse and heat out of the iron, W."""
        if self.heat.ideal:
            return max(STEEP_W_K * (self.hold - air), 0.0), 0.0
        fire = self.heat.fire
        over = iron - air
        passive = fire.iron_w_k * (1.0 + fire.iron_slope * max(over, 0.0)) * over
        return fire.direct_w + passive, passive

    def vented(self, air: float) -> float:
        """Heat let out by the vents, W."""
        wanted = max(STEEP_W_K * (air - self.house.vent_at), 0.0)
        return min(wanted, self.house.vent_w_k * max(air - self.out, 0.0))

    def __call__(self, _t_h: float, state: np.ndarray) -> np.ndarray:
        """Rates of all states, each hour."""
        house, floor = self.house, self.heat.fire.floor_share
        air, iron = float(state[0]), float(state[self.iron])
        heat_w, from_iron = self.given(air, iron)
        # of each kept node K/s; last, W from the chains into the air
        inside = self.of_kept @ state[self.nodes]
        inside += self.of_hour + air * self.of_air + (floor * heat_w) * self.of_heat
        leak = house.leak_w_k * math.sqrt(self.wind + house.leak_stack * abs(air - self.out))
        into_air = (
            (self.u + leak) * (self.out - air)
            + self.air_w
            + (1.0 - floor) * heat_w
            - self.vented(air)
            + inside[-1]
        )
        rate = np.zeros(self.size)
        rate[0] = into_air / house.air_c
        rate[self.nodes] = inside[:-1]
        fire = self.heat.fire
        rate[self.iron] = (fire.charge_w - from_iron) / fire.iron_c if fire.iron_c > 0.0 else 0.0
        rate *= 3600.0
        rate[-2] = air
        rate[-1] = heat_w
        return rate


def solve(house: House, drive: Drive, heat: Heat, start_air: float) -> Answer:
    """Integrate every hour of the drive.

    Parameters
    ----------
    house, drive
        The program's own numbers of the greenhouse and the winter.
    heat
        What heats.
    start_air
        Air at the beginning, °C; the nodes start as the house says.
    """
    equations = Equations(house, drive, heat)
    hours = len(drive.t_out)
    state = np.zeros(equations.size)
    state[0] = start_air
    state[equations.nodes] = house.node_start[house.node_c > 0.0]
    state[equations.iron] = heat.fire.iron_start
    air, node, heat_w, iron = (np.empty(hours) for _ in range(4))
    for h in range(hours):
        equations.set_hour(h)
        state[-2:] = 0.0
        if heat.ideal:
            _lift(equations, state)
        found = solve_ivp(equations, (0.0, 1.0), state, method="LSODA", rtol=1e-6, atol=1e-6)
        if not found.success:
            raise RuntimeError(f"hour {h}: {found.message}")
        state = found.y[:, -1].copy()
        air[h], heat_w[h], iron[h] = state[-2], state[-1], state[equations.iron]
        node[h] = state[1] if equations.iron > 1 else 0.0
    return Answer(air, node, heat_w, iron)


def _lift(equations: Equations, state: np.ndarray) -> None:
    """An ideal heater meets a setpoint that stepped up at its stroke; count that heat."""
    if state[0] < equations.hold:
        state[-1] = equations.house.air_c * (equations.hold - state[0]) / 3600.0
        state[0] = equations.hold
