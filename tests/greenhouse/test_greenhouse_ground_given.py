"""Deep ground that is warmer than its weather allows is refused, with what was meant."""

from __future__ import annotations

from dataclasses import replace
from pathlib import Path
from typing import Any

import numpy as np
import pytest

import greenhouse_sim as gs
from greenhouse_sim.errors import ScenarioError
from greenhouse_sim.greenhouse.ground import site_ground
from greenhouse_sim.greenhouse.ground_given import check_given
from greenhouse_sim.greenhouse.undisturbed import Year
from greenhouse_sim.weather import find_weather

SEASON_H = 24 * 212
COLD = Year(4.0, 15.0, 20.0)


@pytest.fixture(scope="module")
def winter() -> gs.Weather:
    return gs.read_weather(find_weather("tamarack_flats_typical.csv", Path.cwd()))


def farm(ground: str) -> Any:
    return gs.read_scenario(gs.demo_path()).with_(**{"site.deep_ground": ground})


@pytest.mark.parametrize("celsius", [-5.0, 4.0, 9.0, 18.9])
def test_ground_near_the_air_passes(celsius: float) -> None:
    check_given(celsius, COLD, SEASON_H)


def test_fahrenheit_taken_for_celsius_is_named() -> None:
    """40 °F is 4.4 °C."""
    with pytest.raises(ScenarioError) as caught:
        check_given(40.0, COLD, SEASON_H)
    message = str(caught.value)
    for words in (
        "[site] deep_ground: 40.0 °C (104 °F) is 36 K (65 °F) over", "4.0 °C (39 °F)",
        'was "40 degF" meant?', 'Write about "39 degF"', "take the line out",
    ):  # fmt: skip
        assert words in message


def test_warm_ground_that_was_no_fahrenheit_gets_no_hint() -> None:
    with pytest.raises(ScenarioError) as caught:
        check_given(20.0, COLD, SEASON_H)
    assert "meant?" not in str(caught.value)


def test_a_short_record_does_not_show_the_year() -> None:
    check_given(40.0, COLD, 24 * 20)


def test_refused_before_a_season_is_run(winter: gs.Weather) -> None:
    with pytest.raises(ScenarioError, match=r"\[site\] deep_ground: 35.0 °C"):
        gs.simulate(farm("35 degC"), winter, engine="python")


def test_hot_country_may_have_hot_ground(winter: gs.Weather) -> None:
    hot = replace(winter, t_out_C=np.full(len(winter.t_out_C), 27.0))
    assert site_ground(farm("30 degC"), hot).under.mean_C == 30.0
