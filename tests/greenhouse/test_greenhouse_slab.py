"""Steady loss of a floor, edge and middle together."""

from __future__ import annotations

import pytest
from hypothesis import given
from hypothesis import strategies as st

import greenhouse_sim as gs
from greenhouse_sim.greenhouse.chain import join, steady_conductance
from greenhouse_sim.greenhouse.edge import edge_w_k
from greenhouse_sim.greenhouse.ground import soil_chain
from greenhouse_sim.greenhouse.part import Shell
from greenhouse_sim.greenhouse.shape import ridge_house, shell
from greenhouse_sim.greenhouse.slab import slab_w_k

# Perimeter over area (1/m) and U (W/m²K) of uninsulated solid floors on clay, λ 1.5 W/mK, walls
# 0.3 m thick. From memory: CIBSE Guide A, chapter 3, U-values of solid ground floors.
CLAY = [(0.05, 0.13), (0.10, 0.22), (0.20, 0.37), (0.30, 0.49), (0.50, 0.70), (1.00, 1.05)]


@pytest.mark.parametrize(("per_area", "u_value"), CLAY)
def test_published_floors_on_clay(per_area: float, u_value: float) -> None:
    """The published U-values are printed to 0.01."""
    ours = slab_w_k(100.0, 100.0 * per_area, 1.5, wall_m=0.3) / 100.0
    assert ours == pytest.approx(u_value, abs=0.0051)


def test_the_demo_house_loses_what_its_whole_floor_does() -> None:
    """F-factor edge and soil chain add up to the slab on ground of ISO 13370, 103 W/K by hand:

    B' = 200.67/31.09 = 6.455 m, dt = 1.2 × 0.21 = 0.252 m, U = 2.4/20.53 × ln(81.47) = 0.5144.
    A floor that also passed heat straight down everywhere but under a strip of 1 m would lose 1.22
    times as much.
    """
    demo = gs.read_scenario(gs.demo_path())
    walls = shell(demo)
    total = edge_w_k(demo.greenhouse, walls) + _middle(walls, demo.greenhouse.floor.conductivity)
    assert total == pytest.approx(0.5144 * 200.67, rel=1e-3)


@given(width=st.floats(2.5, 40.0), length=st.floats(3.0, 100.0), soil=st.floats(0.6, 2.5))
def test_any_floor_stays_near_the_slab_on_ground(width: float, length: float, soil: float) -> None:
    """Between the bare edge alone and that with all heat going straight down; from 6 m of width and
    in common soil within a tenth of ISO 13370."""
    walls = ridge_house("gable", width, length, 2.0, 4.0, 90.0)
    edge = 1.2634 * walls.perimeter_m
    total = edge + _middle(walls, soil)
    straight = walls.floor_m2 / (1.0 / 6.0 + 4.24 / soil)
    assert edge < total <= edge + straight + 1e-9
    if min(width, length) > 6.0 and 1.1 <= soil <= 1.6:
        slab = slab_w_k(walls.floor_m2, walls.perimeter_m, soil)
        assert 0.9 < total / slab < 1.1


def _middle(walls: Shell, conductivity: float) -> float:
    """Steady conductance of the soil chain as the loop has it, W/K."""
    soil = join([soil_chain(conductivity, 2.2e6, walls)], 20.0, 5.0)
    chain = (soil["chain_start"], soil["node_g"], soil["end_g"], soil["end_out"])
    return steady_conductance(*chain)[1]
