"""Made-up logs of a known greenhouse: the fit finds what made them, and says how sure it is.

The full hundred are `fit_hundred.py`; here are twenty.
"""

from __future__ import annotations

from datetime import timedelta

import numpy as np
import pytest

from greenhouse_sim.errors import ScenarioError, WeatherError
from greenhouse_sim.plans import fit_model
from greenhouse_sim.plans.fit import Fit, fit
from greenhouse_sim.plans.fit_run import run
from greenhouse_sim.plans.fit_solve import NO_FACTORS, remembers, solve
from greenhouse_sim.season import tally as at
from made_up_logs import Made, farm, made, record

FARM, WEATHER = farm(), record()
UNHEATED, HEATED = 13, 7


@pytest.fixture(scope="module")
def fits() -> list[tuple[Made, Fit]]:
    """Twenty logs and their fits."""
    found = []
    for seed in range(UNHEATED + HEATED):
        heated = seed >= UNHEATED
        one = made(1000 + seed, FARM, WEATHER, heated=heated)
        found.append((one, fit(FARM, WEATHER, one.log, unheated=not heated)))
    return found


def test_the_truth_lies_in_the_interval(fits: list[tuple[Made, Fit]]) -> None:
    """Nine times of ten for each factor (a 95 % interval has room for a miss or two in twenty)."""
    hits: dict[str, list[bool]] = {}
    for (_, truth), found in fits:
        for one in found.estimates:
            hits.setdefault(one.name, []).append(one.low <= truth[one.name] <= one.high)
    assert set(hits) == set(NO_FACTORS)
    for name, inside in hits.items():
        assert sum(inside) >= 0.9 * len(inside) - 1, f"{name}: {sum(inside)} of {len(inside)}"


def test_something_was_learned(fits: list[tuple[Made, Fit]]) -> None:
    """An interval that never leaves what was believed would hold the truth as well."""
    left = {name: [] for name in NO_FACTORS}
    for _, found in fits:
        for one in found.estimates:
            left[one.name].append(one.left)
    middle = {name: float(np.median(values)) for name, values in left.items()}
    assert middle["loss"] < 0.5
    assert middle["leak"] < 0.6
    assert middle["capacity"] < 0.3
    assert middle["sun"] < 0.4


def test_the_air_is_found_again(fits: list[tuple[Made, Fit]]) -> None:
    """Within what was put on it: 0.2 K of noise and what 0.4 K of other outdoor air does."""
    for (log, _), found in fits:
        before, after = found.rms_K
        assert after < before or before < 1.0, log.name
        assert found.solved.sigma_K < 0.6, log.name


def test_open_doors_do_not_count(fits: list[tuple[Made, Fit]]) -> None:
    for (log, _), found in fits:
        assert 3 <= found.doubted_h < 0.12 * log.hours, log.name


def test_no_clock_was_moved(fits: list[tuple[Made, Fit]]) -> None:
    assert all(found.clock_h == 0 for _, found in fits)


@pytest.mark.parametrize("ahead", [1, -1, 6])
def test_a_clock_that_is_off_is_found_by_the_sun(ahead: int) -> None:
    log, truth = made(21, FARM, WEATHER)
    late = log._replace(start=log.start + timedelta(hours=ahead))
    found = fit(FARM, WEATHER, late, unheated=True)
    assert found.clock_h == ahead
    assert found.model.log.start == log.start
    assert any("clock" in note for note in found.notes)
    loss = found.estimates[0]
    assert loss.low <= truth["loss"] <= loss.high


def test_what_no_house_can_be_is_told() -> None:
    """The logger hung where the air never moves: a steady reading with noise, no heat."""
    log, _ = made(26, FARM, WEATHER)
    chance = np.random.default_rng(1)
    cellar = log._replace(indoor_C=8.0 + chance.normal(0.0, 0.05, log.hours))
    found = fit(FARM, WEATHER, cellar, unheated=True)
    assert any("no house has such a" in note and "capacity" in note for note in found.notes)


def test_another_unit_is_refused() -> None:
    log, _ = made(22, FARM, WEATHER)
    for read, wrong, right in (
        (log.indoor_C * 1.8 + 32.0, "degC", "degF"),
        ((log.indoor_C - 32.0) / 1.8, "degF", "degC"),
    ):
        with pytest.raises(WeatherError, match=rf"headed as \[{wrong}\].*write indoor \[{right}\]"):
            fit(FARM, WEATHER, log._replace(indoor_C=read), unheated=True)
    outdoor = np.full(log.hours, 40.0)
    outdoor[:] = 1.8 * fit_model.build(FARM, WEATHER, log).weather.t_out_C + 32.0
    with pytest.raises(WeatherError, match=r"outdoor \[degF\]"):
        fit(FARM, WEATHER, log._replace(outdoor_C=outdoor), unheated=True)


def test_what_cannot_be_fitted_is_refused() -> None:
    log, _ = made(23, FARM, WEATHER)
    with pytest.raises(ScenarioError, match="does not tell what heat there was"):
        fit(FARM, WEATHER, log)
    with pytest.raises(ScenarioError, match="leave --unheated out"):
        fit(FARM, WEATHER, log._replace(heat_W=np.zeros(log.hours)), unheated=True)
    other = log._replace(start=log.start.replace(year=2001))
    with pytest.raises(WeatherError, match="name the weather of that time"):
        fit(FARM, WEATHER, other, unheated=True)
    short = log.indoor_C.copy()
    short[5 * 24 :] = np.nan
    with pytest.raises(WeatherError, match="at least 10"):
        fit(FARM, WEATHER, log._replace(indoor_C=short), unheated=True)


def test_against_a_regression_of_the_same_nights() -> None:
    """Heat by night over the difference to outdoors is the loss coefficient.

    A house held at 10 °C by known heat, without sun: its heat regressed on indoor less outdoor
    air over the hours from 22:00 to 05:00 (scipy.stats.linregress) has the loss coefficient as
    slope; the soil's share is nearly constant and goes into the intercept.
    """
    from scipy.stats import linregress

    log, truth = made(24, FARM, WEATHER)
    # heat that falls on the floor does not leave with the air: the regression knows of none
    to_air = FARM.with_(heater="ideal")
    model = fit_model.build(to_air, WEATHER, log)
    held = model._replace(
        drive=model.drive._replace(setpoint=np.full(log.hours, 10.0)),
        air_C=np.full(log.hours, 10.0),
    )
    trace = run(held, truth, 0.0, np.zeros(log.hours))
    air, heat = trace[:, at.TRACE.index("air_C")], trace[:, at.TRACE.index("heater_W")]
    chance = np.random.default_rng(5)
    read = air + chance.normal(0.0, 0.1, log.hours)
    found = fit(to_air, WEATHER, log._replace(indoor_C=read, heat_W=heat))
    hour = found.model.weather.times().astype("datetime64[h]").astype(int) % 24
    night = ((hour >= 22) | (hour < 5)) & (heat > 0.0)
    slope = linregress((air - model.drive.t_out)[night], heat[night]).slope
    # the clear sky, wind and cold soil go with the outdoor temperature: hence a tenth
    assert found.loss_W_K[1] == pytest.approx(slope, rel=0.10)
    loss = found.estimates[0]
    assert loss.low <= truth["loss"] <= loss.high


def test_against_the_exact_course_of_two_nodes() -> None:
    """Air and a mass cool in still, dark, constant air: exponentials of a 2 × 2 matrix.

    C·dT/dt = −U·(T − out) − G·(T − M), D·dM/dt = G·(T − M); the mean of an hour is the integral
    of the matrix exponential (scipy.linalg.expm of the matrix with its driving term).
    """
    from scipy.linalg import expm

    from greenhouse_sim.greenhouse.chain import Chain, join

    log, _ = made(25, FARM, WEATHER)
    hours = log.hours
    model = fit_model.build(FARM, WEATHER, log)
    loss, capacity, mass_c, link = 200.0, 2.0e6, 4.0e7, 150.0
    chain = Chain((mass_c,), (link,), 0.0, 0.0, 1.0, 0.0, 1.0)
    house = model.house._replace(
        air_c=capacity, leak_w_k=0.0, edge_w_k=0.0, star_g=0.0, node_gain=0.0,
        **{k: v for k, v in join([chain], 15.0, 0.0).items() if k not in ("star_g", "node_gain")},
    )  # fmt: skip
    none = np.zeros(hours)
    swing = np.where(np.arange(hours) // 100 % 2 == 0, -5.0, 8.0)
    drive = model.drive._replace(
        t_out=swing, loss_w_k=np.full(hours, loss), sky_w=none, sun_air_w=none,
        sun_floor_w=none, sun_mass_w=none, sun_latent_w=none, gain_w=none,
    )  # fmt: skip
    u, c = 1.2 * loss, 0.8 * capacity
    pull = np.array([[-(u + link) / c, link / c], [link / mass_c, -link / mass_c]])
    state, means = np.array([15.0, 15.0]), []
    # the state, its driving term (outdoor air) and its running integral in one matrix
    grown = np.zeros((5, 5))
    grown[:2, :2], grown[0, 2] = pull, u / c
    grown[3:, :2] = np.eye(2)
    hour = expm(grown * 3600.0)
    for out in swing:
        passed = hour @ np.array([*state, out, 0.0, 0.0])
        means.append(passed[3] / 3600.0)
        state = passed[:2]
    dry = model.moisture._replace(vapour=model.moisture.vapour._replace(volume_m3=0.0))
    exact = model._replace(
        house=house, drive=drive, moisture=dry,
        log=model.log._replace(indoor_C=np.array(means), heat_W=none),
    )  # fmt: skip
    found = solve(exact)
    assert "soil" not in found.names
    assert found.factors["loss"] == pytest.approx(1.2, rel=0.02)
    assert found.factors["capacity"] == pytest.approx(0.8, rel=0.05)


def test_how_long_a_residual_remembers_itself() -> None:
    """White noise 1 h; a first-order process with ρ: (1 + ρ)/(1 − ρ) (textbook)."""
    chance = np.random.default_rng(3)
    white = chance.normal(size=20_000)
    assert remembers(white, np.ones(20_000, bool)) == pytest.approx(1.0, abs=0.15)
    slow = np.zeros(20_000)
    for k in range(1, 20_000):
        slow[k] = 0.8 * slow[k - 1] + white[k]
    assert remembers(slow, np.ones(20_000, bool)) == pytest.approx(9.0, rel=0.25)
