"""What heaters cost, line by line, and what would change the decision."""

from __future__ import annotations

from typing import Any

import pytest

import greenhouse_sim as gs
from greenhouse_sim.plans.compare import Comparison, compare
from greenhouse_sim.plans.cost_lines import BOUGHT, CROP, WORK, Line, beds_ft2, cost_lines
from greenhouse_sim.plans.hours import KEPT, hours
from greenhouse_sim.plans.invest import yearly
from greenhouse_sim.plans.labour import work
from greenhouse_sim.plans.money import Cost, Money, check_baseline, money
from greenhouse_sim.plans.no_prices import Beaten, beaten, worth
from greenhouse_sim.plans.switch import (
    crossing,
    price_switches,
    purchase_switch,
    run_switches,
    winters_best,
)
from greenhouse_sim.scenario import Scenario
from winters_at_hand import demo

HEATERS = ["wood stove, large", "pellet stove", "propane heater", "compost pile, small"]
WINTERS = ["selkie_sound_typical.csv", "selkie_sound_severe.csv"]


def farm(**change: Any) -> Scenario:
    """A small house by the sea, where several heaters do."""
    small = {
        "greenhouse__width": "20 ft", "greenhouse__length": "48 ft", "greenhouse__ridge": "11 ft",
        "heater": "wood stove, large", "site__weather": WINTERS,
    }  # fmt: skip
    return demo(**(small | change))


@pytest.fixture(scope="module")
def run() -> Comparison:
    return compare(farm(), HEATERS)


def test_lines_add_up_and_say_their_source(run: Comparison) -> None:
    for name in HEATERS:
        lines = cost_lines(farm(), name, run.of(name))
        assert all(line.each is not None and line.each.source for line in lines)
        cost = money(farm(), run).cost(name)
        assert cost.yearly == pytest.approx(sum(line.amount or 0.0 for line in lines))
        low, high = cost.range or (0.0, 0.0)
        assert low < (cost.yearly or 0.0) < high
        for line in lines:
            assert (line.low or 0.0) <= (line.amount or 0.0) <= (line.high or 0.0) + 1e-9


def test_bought_wood_costs_its_price_and_spares_the_cutting(run: Comparison) -> None:
    bought = farm(fuel={"source": "buy", "price": "300 /cord"})
    name = "wood stove, large"
    (wood,) = [line for line in cost_lines(bought, name, run.of(name)) if line.kind == "fuel"]
    cords = sum(season.ledger["cords"] for season in run.of(name)) / 2
    assert wood.amount == pytest.approx(300.0 * cords)
    assert wood.each is not None and wood.each.own
    own = {line.item: line.quantity for line in cost_lines(farm(), name, run.of(name))}
    less = {line.item: line.quantity for line in cost_lines(bought, name, run.of(name))}
    assert less["cutting to stacking"] == pytest.approx(own["cutting to stacking"] / 8.0)


def test_propane_by_the_gallon(run: Comparison) -> None:
    """91,500 Btu a gallon, within 1 %."""
    name = "propane heater"
    (gas,) = [line for line in cost_lines(farm(), name, run.of(name)) if line.kind == "fuel"]
    kWh = sum(season.ledger["fuel_energy_kWh"] for season in run.of(name)) / 2
    assert gas.quantity == pytest.approx(kWh * 3412.14 / 91_500.0, rel=0.01)
    assert gas.unit == "gal"


def test_hours_are_those_of_the_woodpile() -> None:
    """As `plans.labour` lays them on the days, but for a sweeping."""
    scenario = farm(site__season={"start": "12-20", "end": "01-20"})
    for name in ("wood stove, large", "pellet stove"):
        (season, *_) = compare(scenario, [name], traced=True).seasons
        by_day = work(scenario, season, 1.0)
        in_all = hours(scenario, season.ledger, 1.0)
        assert sum(in_all.values()) == pytest.approx(by_day.total, abs=1.6)


def test_what_is_owned_need_not_be_bought(run: Comparison) -> None:
    scenario = farm(money={"owned": ["wood stove, large"]})
    cost = money(scenario, run).cost("wood stove, large")
    assert cost.first == 0.0
    assert cost.of(BOUGHT) == 0.0


def test_own_prices_of_parts_and_their_life(run: Comparison) -> None:
    scenario = farm(money={"costs": {"pellet stove": {"heater": [3000, 4000, 5000]}}})
    lines = list(cost_lines(scenario, "pellet stove", run.of("pellet stove")))
    (stove,) = [line for line in lines if line.item == "heater"]
    assert stove.amount == pytest.approx(yearly(4000.0, 0.05, 12.0))
    assert stove.low == pytest.approx(yearly(3000.0, 0.05, 12.0))
    assert stove.each is not None and stove.each.source == "the scenario"


def test_without_a_wage_hours_cost_nothing(run: Comparison) -> None:
    found = money(farm(money={"wage": "none"}), run)
    for cost in found.costs:
        assert cost.of(WORK) == 0.0
        assert cost.hours > 0.0
        assert cost.yearly is not None


def test_a_crop_is_lost_with_its_chance() -> None:
    """Two winters, one of them too cold for a crop that freezes at 41 °F: half its worth a year."""
    scenario = farm(
        crop={"damage_below": "41.5 degF"}, money={"crop_value": "0.5 /ft^2/week", "crop_weeks": 4}
    )
    result = compare(scenario, ["wood stove, large"])
    cost = money(scenario, result).costs[0]
    assert cost.lost >= 1
    expected = 0.5 * 4.0 * beds_ft2(scenario) * cost.lost / 2
    assert cost.of(CROP) == pytest.approx(expected)


def test_net_value_is_against_the_baseline(run: Comparison) -> None:
    found = money(farm(), run)
    assert found.baseline == "wood stove, large"
    assert {one.heater for one in found.against} == set(HEATERS) - {"wood stove, large"}
    swapped = money(farm(money={"baseline": "pellet stove"}), run)
    one = next(a for a in found.against if a.heater == "pellet stove")
    other = next(a for a in swapped.against if a.heater == "wood stove, large")
    assert one.net == pytest.approx(-other.net)
    assert one.extra == pytest.approx(-other.extra)


def test_a_baseline_that_is_not_compared_is_refused() -> None:
    scenario = farm(money={"baseline": "outdoor boiler"})
    with pytest.raises(gs.ScenarioError, match='add --heater "outdoor boiler"'):
        check_baseline(scenario, HEATERS)


def test_a_heater_too_cold_is_not_the_cheapest(run: Comparison) -> None:
    """A small compost pile costs least and heats little."""
    found = money(farm(), run)
    least = min(found.costs, key=lambda cost: cost.yearly or 0.0)
    assert least.heater == "compost pile, small"
    assert least not in found.doing
    assert found.fit[0].heater != least.heater


def test_lines_cross_where_they_should() -> None:
    """10 + p and 16 at p = 2: they meet at p = 8; and 14 − p/2 with 10 + p at 14/3."""
    assert crossing(2.0, (12.0, 1.0), {"flat": (16.0, 0.0)}, up=True) == (6.0, "flat")
    assert crossing(2.0, (12.0, 1.0), {"flat": (16.0, 0.0)}, up=False) is None
    found = crossing(2.0, (12.0, 1.0), {"falls": (13.0, -0.5), "flat": (16.0, 0.0)}, up=True)
    assert found is not None
    assert found == (pytest.approx(2.0 + 2.0 / 3.0), "falls")


def test_at_the_switch_two_heaters_cost_the_same(run: Comparison) -> None:
    """Set each price to where the decision is said to turn: the two cost the same, to a cent."""
    found = money(farm(), run)
    best = found.fit[0].heater
    turns = 0
    for one in price_switches(found):
        for turn in (one.below, one.above):
            if turn is None:
                continue
            unit = one.unit.removeprefix("1")
            there = money(farm(money={one.what: f"{turn[0]:.12g} {unit}"}), run)
            both = [there.cost(name).yearly or 0.0 for name in (best, turn[1])]
            assert both[0] == pytest.approx(both[1], abs=0.01), one
            turns += 1
    assert turns >= 2


def test_a_dearer_purchase_turns_it_too(run: Comparison) -> None:
    found = money(farm(), run)
    turn = purchase_switch(found)
    assert turn is not None and turn.above is not None
    assert turn.above[0] > turn.now


def test_runs_at_the_ends_of_the_range(run: Comparison) -> None:
    found = money(farm(), run)
    names = [one.what for one in run_switches(farm(), found, run.seasons)]
    assert names[0] == "tightness"
    assert "moisture of the wood" in names
    assert any(name.startswith("efficiency of") for name in names)
    winters = winters_best(farm(), found, run.seasons)
    assert [one.heat_kWh for one in winters] == sorted(one.heat_kWh for one in winters)


def test_without_any_price_something_is_decided(run: Comparison) -> None:
    found = money(farm(money={"prices": "own"}), run)
    assert not found.fit
    assert found.cost("pellet stove").unknown
    same = {one.heater: one for one in worth(found)}
    stove, wood = run.of("pellet stove"), run.of("wood stove, large")
    cords = sum(season.ledger["cords"] for season in wood)
    tons = sum(season.ledger["fuel_kg"] for season in stove) / 907.18474
    assert same["pellet stove"].ratio == pytest.approx(cords / tons)


def takes(heater: str, cords: float, hours_: float, cold: float) -> Cost:
    """A heater that burns bought wood at a price nobody knows."""
    lines = (
        Line(heater, "fuel", "red oak, bought", cords, "cord", None, "wood"),
        Line(heater, WORK, "at the heater", hours_, "hour", None, "wage"),
    )
    return Cost(heater, lines, 0, 3, 1.0, cold)


def test_one_that_takes_more_of_everything_is_beaten() -> None:
    costs = (takes("a", 5.0, 20.0, 9.0), takes("b", 6.0, 20.0, 9.0), takes("c", 6.0, 9.0, 9.0))
    found = Money(costs, "a", 0.05, 10, 500.0, ())
    assert beaten(found) == (Beaten("b", "a"),)
    colder = (takes("a", 5.0, 20.0, 99.0), costs[1], costs[2])
    assert [one.by for one in beaten(Money(colder, "a", 0.05, 10, 500.0, ()))] == ["c"]


def test_kept_work_is_told_apart(run: Comparison) -> None:
    found = hours(farm(), run.of("propane heater")[0].ledger, 1.0)
    assert found[KEPT] == 4.0
