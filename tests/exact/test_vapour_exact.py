"""The vapour's hour against closed forms and a general solver."""

from __future__ import annotations

import math

import numpy as np
import pytest
from scipy.integrate import solve_ivp
from scipy.optimize import brentq

from greenhouse_sim.greenhouse.vapour import saturated
from greenhouse_sim.season import vapour as kernel
from vapour_at_hand import LATENT, any_vapour, left_over_w

SEALED_DRY = {"moist_m3_s": 0.0, "cover_m3_s": 0.0}


def test_tracer_decays_with_the_air_changes() -> None:
    """No leaves, no condensation: χ − χ_out falls by exp(−air changes)."""
    v = any_vapour(**SEALED_DRY)
    hour = kernel.vapour_hour(v, 0.006, 10.0, 8.0, 0.002, 0.0, 1.5 * 650.0 / 3600.0, 0.0, 0.0)
    assert hour.chi - 0.002 == pytest.approx(0.004 * math.exp(-1.5), rel=1e-12)
    assert hour.mean_chi - 0.002 == pytest.approx(0.004 * -math.expm1(-1.5) / 1.5, rel=1e-12)
    assert hour.transpired_w == hour.returned_w == hour.cover_w == 0.0


def test_steady_dry_cover() -> None:
    """g·(χ_sat − χ) + s = Q·(χ − χ_out), solved by hand."""
    v = any_vapour(cover_m3_s=0.0)
    chi = 0.003
    for _ in range(60):
        hour = kernel.vapour_hour(v, chi, 18.0, 0.0, 0.003, 2000.0, 0.6, 900.0, 0.0)
        chi = hour.chi
    by_hand = (0.48 * saturated(18.0) + 2000.0 / LATENT + 0.6 * 0.003) / (0.48 + 0.6)
    assert chi == pytest.approx(by_hand, rel=1e-10)
    assert hour.stored_w == pytest.approx(0.0, abs=1e-6)
    assert hour.out_w == pytest.approx(LATENT * 0.6 * (by_hand - 0.003), rel=1e-10)


def test_steady_fog() -> None:
    """Sealed and dry but for 3 kW of sun: all of it comes back as fog."""
    v = any_vapour(**SEALED_DRY)
    hour = kernel.vapour_hour(v, saturated(15.0), 15.0, 20.0, 0.0, 3000.0, 0.0, 900.0, 0.0)
    assert hour.humidity == pytest.approx(1.0)
    assert hour.returned_w == pytest.approx(3000.0, rel=1e-4)
    assert hour.chi == pytest.approx(saturated(15.0), rel=1e-12)


def test_cooled_air_drops_what_it_cannot_hold() -> None:
    """Air saturated at 20 °C and cooled to 10 °C gives back λ·V·(χ_20 − χ_10) within the hour."""
    v = any_vapour(**SEALED_DRY)
    hour = kernel.vapour_hour(v, saturated(20.0), 10.0, 15.0, 0.0, 0.0, 0.0, 0.0, 0.0)
    by_hand = LATENT * 650.0 * (saturated(20.0) - saturated(10.0)) / 3600.0
    assert hour.returned_w == pytest.approx(by_hand, rel=1e-3)


CASES = {
    "stays dry": (0.003, 12.0, 10.0, 0.003, 0.0, 0.6),
    "becomes wet": (0.003, 12.0, -5.0, 0.002, 2000.0, 0.1),
    "dries again": (0.010, 12.0, -2.0, 0.001, 0.0, 2.0),
    "wet all through": (0.008, 12.0, -10.0, 0.002, 6000.0, 0.2),
    "wet, then fog": (0.008, 12.0, 8.0, 0.006, 40000.0, 0.1),
    "dry, wet, fog": (0.004, 12.0, 4.0, 0.006, 90000.0, 0.1),
    "warm cover": (0.004, 12.0, 25.0, 0.015, 0.0, 0.5),
}


@pytest.mark.parametrize("case", CASES, ids=str)
def test_general_solver_walks_the_same_hour(case: str) -> None:
    """scipy's solve_ivp with the equation written again, in steps too small to miss a kink."""
    v = any_vapour()
    chi, air_t, t_out, chi_out, sun_w, flow = CASES[case]
    hour = kernel.vapour_hour(v, chi, air_t, t_out, chi_out, sun_w, flow, 1500.0, 0.0)
    out_share = 1500.0 * v.cover_drop
    dew_t = air_t - out_share * (air_t - t_out)
    dew, most = saturated(dew_t), saturated(air_t)
    slope = (saturated(dew_t + 0.01) - saturated(dew_t - 0.01)) / 0.02
    k = v.cover_m3_s / (1.0 + v.film_warms * slope * (1.0 - out_share))

    def rates(_: float, y: np.ndarray) -> np.ndarray:
        """χ; water condensed, drifted out, fallen as fog, all kg."""
        x = min(y[0], most)
        given = sun_w / LATENT + v.moist_m3_s * (most - x)
        cover = k * max(x - dew, 0.0)
        drift = flow * (x - chi_out)
        grows = given - cover - drift
        fog = max(grows, 0.0) if y[0] >= most else 0.0
        return np.array([(grows - fog) / v.volume_m3, cover, drift, fog, x])

    told = solve_ivp(rates, (0.0, 3600.0), [chi, 0, 0, 0, 0], max_step=2.0, rtol=1e-8, atol=1e-12)
    end, cover, drift, fog, area = told.y[:, -1]
    to_w = LATENT / 3600.0
    assert hour.chi == pytest.approx(min(end, most), rel=2e-3)
    assert hour.mean_chi == pytest.approx(area / 3600.0, rel=1e-3)
    near = {"rel": 5e-3, "abs": 20.0}
    assert hour.out_w == pytest.approx(drift * to_w, **near)
    assert hour.cover_w == pytest.approx(out_share * cover * to_w, **near)
    assert hour.returned_w == pytest.approx(((1 - out_share) * cover + fog) * to_w, **near)
    assert left_over_w(hour) == pytest.approx(0.0, abs=1e-6)


def test_cases_visit_every_course() -> None:
    """The names above hold: covers dry, wet for a part, wet throughout, fog."""
    wet = {}
    humid = {}
    for name, (chi, air_t, t_out, chi_out, sun_w, flow) in CASES.items():
        v = any_vapour()
        hour = kernel.vapour_hour(v, chi, air_t, t_out, chi_out, sun_w, flow, 1500.0, 0.0)
        wet[name], humid[name] = hour.wet, hour.chi / saturated(air_t)
    assert wet["stays dry"] == wet["warm cover"] == 0.0
    assert wet["wet all through"] == pytest.approx(1.0)
    assert all(0.0 < wet[name] < 1.0 for name in ("becomes wet", "dries again", "dry, wet, fog"))
    assert humid["wet, then fog"] == pytest.approx(1.0) == humid["dry, wet, fog"]


@pytest.mark.parametrize("air_t", [5.0, 15.0, 25.0])
def test_condensation_warms_the_cover(air_t: float) -> None:
    """h·(t_air − t) + λk·(χ − χ_sat(t)) = U_o·(t − t_out) solved by brentq: what condenses within
    6 % (χ_sat is taken as straight), and the share that comes back exactly 1 − U/h."""
    h, k, u, t_out = 8.7, 3.26e-3, 5.0, air_t - 15.0
    v = any_vapour(
        cover_m3_s=k, cover_drop=1.0 / h, film_warms=LATENT * k / h, moist_m3_s=1e6
    )  # fmt: skip
    outer = 1.0 / (1.0 / u - 1.0 / h)
    chi = saturated(air_t)

    def surplus(t: float) -> float:
        return h * (air_t - t) + LATENT * k * (chi - saturated(t)) - outer * (t - t_out)

    t = brentq(surplus, t_out, air_t)
    to_outdoors = outer * (t - t_out) - u * (air_t - t_out)
    condensed = LATENT * k * (chi - saturated(t))
    hour = kernel.vapour_hour(v, chi, air_t, t_out, chi, 0.0, 0.0, u, 0.0)
    assert hour.cover_w == pytest.approx(to_outdoors, rel=0.06)
    assert hour.cover_w + hour.returned_w == pytest.approx(condensed, rel=0.06)
    assert to_outdoors / condensed == pytest.approx(u / h, rel=1e-9)


def test_flow_of_vents() -> None:
    """Vents that carry 3 kW over 10 K: 300 W/K; wide open where the heat is more than they can."""
    v = any_vapour()
    assert kernel.air_flow(v, 120.0, 3000.0, 25.0, 15.0) == pytest.approx(420.0 / v.air_heat)
    assert kernel.air_flow(v, 0.0, 1e9, 25.0, 15.0) == pytest.approx(8600.0 / v.air_heat)
    assert kernel.air_flow(v, 0.0, 0.0, 25.0, 15.0) == 0.0
