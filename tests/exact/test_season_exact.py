"""The kernel against closed forms: exponential cooling, two nodes, a periodic swing, a store.

The numbers of sections "one node" and "two nodes" were worked with the exact solutions
written beside them (eigenvalues for two nodes), not with this program.
"""

from __future__ import annotations

import math

import numpy as np
import pytest

from greenhouse_sim.greenhouse.numbers import Drive, House
from greenhouse_sim.heater.numbers import Backup, Heater
from greenhouse_sim.heater.store import Store, no_release, store_release, store_step
from greenhouse_sim.routine.numbers import Calendar, Habits
from greenhouse_sim.season import tally as at
from greenhouse_sim.season.balance import Control, air_step, pace
from greenhouse_sim.season.hour import season
from greenhouse_sim.season.many import Task, run_one
from greenhouse_sim.season.modes import walk_of
from greenhouse_sim.substep import STEP_S

NO_BACKUP = Backup(0.0, -1000.0, 1.0, 0.0, 0.0, 0.0)


def heater(**given: float) -> Heater:
    """A heater that does nothing but what is given."""
    none = dict.fromkeys(Heater._fields, 0.0)
    return Heater(**(none | {"law": 2.0, "heat_j_kg": 1.0, "efficiency_min": 1.0} | given))


def house(air_c: float, chains: list[list[tuple[float, float]]], ends: list[float], **given):
    """Chains of (capacity, conductance to the one before); every far end outdoors."""
    starts = np.cumsum([0] + [len(chain) for chain in chains])
    nodes = [node for chain in chains for node in chain]
    count = len(nodes)
    values = {
        "floor_m2": 1.0,
        "air_c": air_c,
        "quick_c": air_c,
        "leak_w_k": 0.0,
        "leak_stack": 0.0,
        "edge_w_k": 0.0,
        "vent_at": 1000.0,
        "vent_w_k": 0.0,
        "ideal_cooling": 0.0,
        "damage_below": -1000.0,
        "crop_covered": 0.0,
        "chain_start": starts.astype(np.int64),
        "node_c": np.array([c for c, _ in nodes], dtype=float),
        "node_g": np.array([g for _, g in nodes], dtype=float),
        "end_g": np.array(ends, dtype=float),
        "end_out": np.ones(len(chains)),
        "node_sun_floor": np.zeros(count),
        "node_sun_mass": np.zeros(count),
        "node_heat": np.zeros(count),
        "node_start": np.full(count, 20.0),
    }
    return House(**(values | given))


def drive(hours: int, t_out, loss_w_k: float, gain_w: float = 0.0) -> Drive:
    """Weather of one temperature (or an array of them), no sun."""
    zero = np.zeros(hours)
    fields = dict.fromkeys(Drive._fields, zero)
    return Drive(
        **(
            fields
            | {
                "t_out": np.zeros(hours) + t_out,
                "loss_w_k": zero + loss_w_k,
                "gain_w": zero + gain_w,
                "setpoint": zero + 20.0,
                "need_sum_j": np.zeros(hours + 1),
                "outside_w": np.zeros((hours, 0)),
            }
        )
    )


def run(house_: House, drive_: Drive) -> np.ndarray:
    """The hourly trace with no heater."""
    hours = drive_.t_out.size
    idle = np.zeros(hours)
    days = Calendar(idle, idle, idle, idle + 1.0, idle - 1.0, idle + 1.0, idle + 1.0)
    habits = Habits(-1000.0, 4.0, 1.0, 2.0, 24.0)
    task = Task(walk_of(house_, drive_), days, habits, heater(), NO_BACKUP, math.inf, True)
    return run_one(season, task).trace


@pytest.mark.parametrize(
    ("gain_w", "after"),
    [
        (0.0, {1: 14.234457, 3: 5.396189, 6: -3.114157, 12: -10.963621, 24: -14.534504}),
        (6000.0, {1: 18.187972, 3: 15.410231, 6: 12.735551, 12: 10.268576, 24: 9.146299}),
    ],
)
def test_one_node_cools_and_warms_by_the_exponential(gain_w: float, after: dict[int, float]):
    """C = 5 MJ/K, UA = 250 W/K, from 20 °C into −15 °C: exact at any step."""
    rhythm = pace(250.0, STEP_S / 5.0e6, 5.0e6 / STEP_S)
    control = Control(STEP_S / 5.0e6, 5.0e6 / STEP_S, 1.0, 1.0, -1000.0, 1000.0, 0.0, 0.0)
    air, hour = 20.0, 0.0
    reached = {}
    while hour < 24.0:
        step = air_step(air, 250.0 * -15.0 + gain_w, rhythm, control, 0.0, 20.0, 0.0, -15.0)
        air, hour = step.end, hour + STEP_S / 3600.0
        reached[hour] = air
    for at_hour, expected in after.items():
        assert reached[at_hour] == pytest.approx(expected, abs=1e-6)


def test_mean_of_the_first_hour():
    """The same node through the whole season loop: mean of the first hour 17.030792 °C."""
    trace = run(house(5.0e6, [], []), drive(24, -15.0, 250.0))
    assert trace[0, 0] == pytest.approx(17.030792, abs=1e-6)


def test_two_nodes_follow_their_eigenvalues():
    """C1 1, C2 20 MJ/K; G1 200, G2 30 (outdoors, −15 °C), G12 400 W/K; from 20/20 °C, no heat.

    Hourly means of the exact solution, made here from its eigenvalues; the published end
    values check the eigen-solution itself.
    """
    c1, c2, g1, g2, g12 = 1.0e6, 2.0e7, 200.0, 30.0, 400.0
    matrix = np.array([[-(g1 + g12) / c1, g12 / c1], [g12 / c2, -(g2 + g12) / c2]])
    rates, modes = np.linalg.eig(matrix)
    weights = np.linalg.solve(modes, np.array([35.0, 35.0]))

    def exact(t_s: float) -> np.ndarray:
        return -15.0 + modes @ (weights * np.exp(rates * t_s))

    def mean(a_s: float, b_s: float) -> np.ndarray:
        part = (np.exp(rates * b_s) - np.exp(rates * a_s)) / (rates * (b_s - a_s))
        return -15.0 + modes @ (weights * part)

    for hour, air, mass in [
        (1, 9.443181, 19.331123),
        (3, 6.940906, 17.450995),
        (6, 5.114193, 14.769640),
        (12, 1.927002, 10.052522),
        (24, -3.012303, 2.742187),
    ]:
        assert exact(hour * 3600.0) == pytest.approx([air, mass], abs=1e-5)
    trace = run(house(c1, [[(c2, g12)]], [g2]), drive(24, -15.0, g1))
    wanted = [mean(h * 3600.0, (h + 1) * 3600.0)[0] for h in range(24)]
    # reached: 0.014 K in the hour of the jump, 0.008 K in the next
    assert trace[0, 0] == pytest.approx(wanted[0], abs=0.02)
    assert trace[1:, 0] == pytest.approx(wanted[1:], abs=0.01)
    assert trace[-1, 7] == pytest.approx(2.742187, abs=0.01)


def test_a_daily_swing_is_damped_and_late_as_theory_says():
    """One node, 24 h sinusoid: gain 1/√(1 + (ωτ)²) = 0.5665564, lag 3.699304 h (τ = 5.5556 h)."""
    hours = 24 * 12
    mid = np.arange(hours) + 0.5
    swing = 10.0 * np.sin(2.0 * math.pi * mid / 24.0)
    trace = run(house(5.0e6, [], []), drive(hours, swing, 250.0))
    last = slice(hours - 48, hours)
    wave = np.exp(-2j * math.pi * mid[last] / 24.0)
    ratio = (trace[last, 0] * wave).mean() / (swing[last] * wave).mean()
    assert abs(ratio) == pytest.approx(0.5665564, rel=0.01)
    assert -np.angle(ratio) * 24.0 / (2.0 * math.pi) == pytest.approx(3.699304, abs=0.05)


def test_a_deep_slab_damps_a_daily_swing_by_its_penetration_depth():
    """Semi-infinite solid: amplitude falls by e for each √(αP/π) (Carslaw and Jaeger, § 2.6).

    α = k/(ρc) = 1.2/2.0e6 m²/s = 6e-7: 0.128457 m for 24 h. Thin layers under a surface held
    to the air by a large conductance.
    """
    k, volume_c, layer = 1.2, 2.0e6, 0.01
    count = 80
    chain = [(volume_c * layer, k / (layer / 2.0))] + [(volume_c * layer, k / layer)] * (count - 1)
    hours = 24 * 10
    mid = np.arange(hours) + 0.5
    swing = 10.0 * np.sin(2.0 * math.pi * mid / 24.0)
    chains = house(1.0, [chain], [0.0], node_start=np.zeros(count))
    fields = drive(hours, swing, 1.0e6)
    soil = run(chains, fields)[-48:, at.TRACE.index("soil_C")]
    # the trace keeps the first layer, 5 mm deep at its middle
    assert np.ptp(soil) / 2.0 == pytest.approx(10.0 * math.exp(-0.005 / 0.128457), rel=0.02)


def test_a_store_alone_cools_by_the_exponential():
    """A tank of 1 MJ/K losing 50 W/K to −10 °C, air at −10 °C: τ = 20,000 s."""
    tank = heater(store_c=1.0e6, out_w_k=50.0, store_limit=1000.0)
    store, hours = Store(80.0, 80.0, 0.0), 12
    for _ in range(int(hours * 3600.0 / STEP_S)):
        release = store_release(tank, store, 0.0, -10.0, -10.0)
        store = store_step(tank, store, release, 0.0, -10.0, 0.0, -10.0, 0.0).store
    assert store.core == pytest.approx(-10.0 + 90.0 * math.exp(-hours * 3600.0 / 20000.0), abs=0.02)
    assert no_release().pull_w_k == 0.0
