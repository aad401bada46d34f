"""[money]: what may stand there, and how it is refused."""

from __future__ import annotations

from typing import Any

import pytest

import greenhouse_sim as gs
from greenhouse_sim.plans.prices import any_own, counted, price
from greenhouse_sim.scenario.money import Amount
from winters_at_hand import demo


def money(**given: Any) -> gs.Scenario:
    return demo(money=given)


def test_prices_as_a_grower_writes_them() -> None:
    scenario = money(
        wage="$18 /hour", wood="300 dollars/cord", pellets="280 /ton", propane="2.9/gal",
        electricity="0.21 /kWh", crop_value="10 /m^2/week", interest=0.07, years=15,
    )  # fmt: skip
    rates = scenario.money.rates
    assert rates["wage"] == 18.0
    assert rates["wood"] == 300.0
    assert rates["propane"] == 2.9
    assert rates["crop_value"] == pytest.approx(10.0 * 0.3048**2)
    assert (counted(scenario, "interest"), counted(scenario, "years")) == (0.07, 15.0)
    assert any_own(scenario)
    assert not any_own(demo())


def test_typical_prices_hold_where_none_are_given() -> None:
    assert price(demo(), "wage") is not None
    assert price(demo(), "crop_value") is None
    assert price(money(prices="own"), "propane") is None
    assert price(money(prices="own", propane="3 /gal"), "propane") is not None
    assert price(money(wage="none"), "wage") is None
    assert counted(money(prices="own"), "interest") == 0.05


def test_costs_with_and_without_a_range() -> None:
    scenario = money(
        costs={"wood stove, large": {"heater": "$2,400", "chimney": [500, 700, 900]}},
        improvements={"night curtain": 1500},
        owned=["pellet stove"],
        baseline="pellet stove",
    )
    assert ("wood stove, large", "heater", Amount(2400, 2400, 2400)) in scenario.money.costs
    assert ("wood stove, large", "chimney", Amount(500, 700, 900)) in scenario.money.costs
    assert scenario.money.improvements == (("night curtain", Amount(1500, 1500, 1500)),)
    assert (scenario.money.owned, scenario.money.baseline) == (("pellet stove",), "pellet stove")
    again = scenario.with_(**{"crop.vent_at": "81 degF"})
    assert again.money == scenario.money


@pytest.mark.parametrize(
    ("given", "said"),
    [
        ({"interest": "700 %"}, "write a yearly share from 0 to 0.5, such as 0.05 for 5 %"),
        ({"interest": 7}, "7 percent is written 0.07"),
        ({"interest": -0.1}, "a rate below nothing"),
        ({"interest": "none"}, "cannot be none"),
        ({"wage": "18 /cord"}, "18 /cord"),
        ({"wage": "-3 /hour"}, "below nothing"),
        ({"wages": "18 /hour"}, "did you mean wage"),
        ({"years": 0}, "such as 10"),
        ({"years": 500}, "such as 10"),
        ({"prices": "mine"}, '"typical"'),
        ({"baseline": "wood stoves, large"}, "wood stove, large"),
        ({"owned": 3}, "is no list"),
        ({"costs": {"pellet stove": {"pad": -1}}}, "no sum of money"),
        ({"costs": {"pellet stove": {"pads": 1}}}, 'did you mean "pad"'),
        ({"costs": {"pellet stove": 4000}}, "is no table"),
        ({"costs": 4000}, "is no table"),
        ({"improvements": {"night curtains": 5}}, 'did you mean "night curtain"'),
        ({"improvements": {"night curtain": [3, 2, 1]}}, "[low, likely, high]"),
        ({"improvements": 4}, "is no table"),
    ],
    ids=str,
)
def test_refusals_say_what_to_write(given: dict[str, Any], said: str) -> None:
    with pytest.raises(gs.ScenarioError) as problem:
        money(**given)
    assert said in str(problem.value)
    assert "[money]" in str(problem.value)
