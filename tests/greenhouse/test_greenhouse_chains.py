"""Heat stores: soil, walls, barrels."""

from __future__ import annotations

from datetime import datetime
from types import SimpleNamespace

import numpy as np
import pytest

from greenhouse_sim.greenhouse.chain import Chain, join, steady, steady_conductance
from greenhouse_sim.greenhouse.ground import deep_ground_C, soil_chain
from greenhouse_sim.greenhouse.mass import mass_chain
from greenhouse_sim.greenhouse.shape import ridge_house
from greenhouse_sim.greenhouse.slab import slab_w_k

GALLON = 0.003785411784


def test_soil_is_layers_to_four_metres() -> None:
    """Capacity by hand: 200 m² × 4.24 m × 2.2 MJ/m³K; resistance to the last middle by series;
    what passes down is the whole floor's steady loss less the bare edge's."""
    shell = ridge_house("gable", 10.0, 20.0, 2.0, 4.0, 90.0)
    soil = soil_chain(1.2, 2.2e6, shell)
    assert sum(soil.node_c) == pytest.approx(200.0 * 4.24 * 2.2e6)
    assert 5 <= len(soil.node_c) <= 7
    down = sum(1.0 / g for g in soil.node_g)
    assert down == pytest.approx((1.0 / 6.0 + (4.24 - 1.35) / 1.2) / 200.0)
    middle = slab_w_k(200.0, 60.0, 1.2) - 1.2634 * 60.0
    assert 1.0 / (down + 1.0 / soil.end_g) == pytest.approx(middle)


def test_steady_start_carries_one_flow() -> None:
    chain = Chain((1.0, 1.0, 1.0), (3.0, 2.0, 5.0), 4.0, 0.0, 1.0, 0.0, 1.0)
    t = [20.0, *steady(chain, 20.0, 8.0), 8.0]
    flows = np.array([3.0, 2.0, 5.0, 4.0]) * -np.diff(t)
    assert flows == pytest.approx(np.full(4, flows[0]))
    made = join([chain], 20.0, 8.0)
    whole = steady_conductance(made["chain_start"], made["node_g"], made["end_g"], made["end_out"])
    assert whole[1] * 12.0 == pytest.approx(flows[0])
    assert whole[0] == 0.0


def test_joined_chains_add_up() -> None:
    a = Chain((1.0, 2.0), (1.0, 1.0), 1.0, 0.0, 1.0, 0.0, 1.0)
    b = Chain((5.0,), (2.0,), 0.0, 0.0, 0.0, 3.0, 0.0)
    c = Chain((7.0,), (2.0,), 0.0, 0.0, 0.0, 1.0, 0.0)
    made = join([a, b, c], 10.0, 5.0)
    assert made["chain_start"].tolist() == [0, 2, 3, 4]
    assert made["node_sun_floor"].tolist() == [1.0, 0.0, 0.0, 0.0]
    assert made["node_sun_mass"].tolist() == [0.0, 0.0, 0.75, 0.25]
    assert made["node_start"][2] == 10.0


def test_no_chain_at_all() -> None:
    made = join([], 10.0, 5.0)
    assert made["chain_start"].tolist() == [0]
    assert all(len(made[name]) == 0 for name in ("node_c", "end_g", "node_start"))


def test_drum_of_water() -> None:
    """55-gal drum: 871 kJ/K and about 1.9 m² exposed, so 18 h at 7 W/m²K (by hand)."""
    drums = SimpleNamespace(what="water barrels", count=12, volume=55 * GALLON, in_sun=0.5)
    chain = mass_chain(drums)
    assert chain is not None
    assert chain.node_c[0] / 12 == pytest.approx(871e3, rel=2e-3)
    assert chain.node_g[0] / 12 == pytest.approx(7.0 * 1.9, rel=0.02)
    assert chain.node_c[0] / chain.node_g[0] / 3600 == pytest.approx(18.2, rel=0.03)


def year(hours: int, start: datetime, mean: float, swing: float, latitude: float = 45.0) -> object:
    day = start.timetuple().tm_yday + np.arange(hours) / 24.0
    coldest = 20.0 + (182.625 if latitude < 0 else 0.0)
    t_out = mean - swing * np.cos(2 * np.pi * (day - coldest) / 365.25)
    return SimpleNamespace(t_out_C=t_out, start=start, latitude=latitude)


@pytest.mark.parametrize("latitude", [45.0, -40.0])
def test_deep_ground_from_a_winter_alone(latitude: float) -> None:
    """A winter from October to April of a pure yearly swing gives back its mean."""
    start = datetime(2000, 10, 1) if latitude > 0 else datetime(2000, 4, 1)
    assert deep_ground_C(year(5088, start, 6.0, 15.0, latitude)) == pytest.approx(6.0, abs=1e-6)


def test_deep_ground_of_a_whole_year_is_its_mean() -> None:
    whole = year(8760, datetime(2001, 1, 1), 9.0, 12.0)
    assert deep_ground_C(whole) == pytest.approx(9.0, abs=0.02)


def test_deep_ground_of_a_short_record_leans_on_the_season() -> None:
    week = year(168, datetime(2001, 1, 17), 6.0, 12.0)
    assert deep_ground_C(week) == pytest.approx(6.0, abs=0.1)
