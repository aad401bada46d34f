"""What holds for the vapour of any greenhouse: water closes, nothing swings."""

from __future__ import annotations

import math

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from greenhouse_sim.greenhouse.vapour import saturated
from greenhouse_sim.greenhouse.vapour_numbers import Vapour
from greenhouse_sim.season import vapour as kernel
from vapour_at_hand import any_vapour, left_over_w

TEMPERATURE = st.floats(-60.0, 45.0)


def powers(low: float, high: float) -> st.SearchStrategy[float]:
    """Numbers over decades, or none at all."""
    return st.one_of(st.just(0.0), st.floats(low, high).map(lambda x: 10.0**x))


HOUSES = st.builds(
    any_vapour,
    volume_m3=st.floats(-1.0, 4.0).map(lambda x: 10.0**x),
    moist_m3_s=powers(-3.0, 1.0),
    cover_m3_s=powers(-3.0, 1.0),
    cover_drop=powers(-5.0, -3.0),
    film_warms=st.floats(0.0, 3000.0),
    sun_scale=st.just(2.5),
    sun_half=st.floats(0.0, 8.0),
)


@settings(max_examples=250, deadline=None)
@given(
    v=HOUSES, humidity=st.floats(0.0, 1.5), air_t=TEMPERATURE, t_out=TEMPERATURE,
    outside=st.floats(0.0, 1.0), sun_w=powers(1.0, 4.7), flow=powers(-4.0, 2.3),
    loss_w_k=powers(0.0, 4.0), sky_w=st.floats(-2000.0, 5000.0),
)  # fmt: skip
def test_water_closes_for_any_hour(
    v: Vapour, humidity: float, air_t: float, t_out: float, outside: float, sun_w: float,
    flow: float, loss_w_k: float, sky_w: float,
) -> None:  # fmt: skip
    """transpired = returned + cover + out + stored, humidity 0 to 1."""
    chi = humidity * saturated(air_t)
    chi_out = outside * saturated(t_out)
    ahead = kernel.vapour_hour(v, chi, air_t, t_out, chi_out, sun_w, flow, loss_w_k, sky_w)
    assert all(map(math.isfinite, ahead))
    size = sum(map(abs, (ahead.transpired_w, ahead.returned_w, ahead.out_w, ahead.stored_w)))
    assert left_over_w(ahead) == pytest.approx(0.0, abs=1e-9 * size + 1e-6)
    assert 0.0 <= ahead.humidity <= 1.0
    assert 0.0 <= ahead.wet <= 1.0 + 1e-12
    assert 0.0 <= ahead.chi <= saturated(air_t) * (1.0 + 1e-9)
    assert ahead.transpired_w >= -1e-6 * (1.0 + sun_w)
    assert ahead.cover_w >= -1e-9 and ahead.returned_w >= -1e-6
