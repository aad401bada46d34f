"""The pile, its shares of winters, other woods, and the work, on the demo farm."""

from __future__ import annotations

from datetime import date, datetime
from types import SimpleNamespace
from typing import Any

import numpy as np
import pytest

import greenhouse_sim as gs
from greenhouse_sim.plans.drying import DryingYear, between, creosote, cut_by, latest
from greenhouse_sim.plans.labour import AFTER, BEFORE, rates, work
from greenhouse_sim.plans.other_wood import Wood, ratios, run_again
from greenhouse_sim.plans.pile import (
    Use,
    by_day,
    days_of,
    guide,
    half_day,
    lasts,
    midwinter,
    months,
)
from greenhouse_sim.plans.quantiles import covered, few_winters
from greenhouse_sim.plans.stack import rack, usual_rack
from greenhouse_sim.plans.woodpile import Woodpile, check_fuel, compost, pellets, woodpile
from greenhouse_sim.season.run import read_records, run_seasons
from winters_at_hand import demo

STEADY_DAYS = tuple(date(2026, 11, 1 + n) for n in range(30))


def test_shares_of_thirty_winters() -> None:
    """Of 1 to 30, nine in ten lie under 27.1; 27 winters are covered by it."""
    found = {one.share: one for one in covered([float(n) for n in range(1, 31)])}
    assert found[0.9].amount == pytest.approx(27.1)
    assert found[0.9].winters == 27
    assert (found[None].amount, found[None].winters) == (30.0, 30)
    assert found[0.5].amount == pytest.approx(15.5)


def test_one_winter_has_no_shares() -> None:
    (only,) = covered([7.0])
    assert (only.share, only.amount) == (None, 7.0)
    assert "no share of winters" in few_winters(1)


@pytest.mark.parametrize(("winters", "said"), [(2, True), (9, True), (10, False), (30, False)])
def test_ten_winters_speak_of_one_in_ten(winters: int, said: bool) -> None:
    assert ("one winter in ten" in few_winters(winters)) is said
    assert few_winters(5, 0.8) == ""
    assert "one winter in five" in few_winters(4, 0.8)


def steady(*each_day: float) -> Use:
    """Winters of thirty days that burn the same every day, kg."""
    return Use(STEADY_DAYS, np.outer(each_day, np.ones(30)))


def test_a_steady_pile_is_half_burnt_half_way() -> None:
    used = steady(10.0, 20.0)
    most = guide(used, None)
    assert most[0] == pytest.approx(600.0)
    assert most[-1] == 0.0
    assert half_day(most, used) == date(2026, 11, 16)
    assert guide(used, 0.5)[0] == pytest.approx(450.0)


def test_how_long_a_rest_lasts() -> None:
    """100 kg on 21 November: at 10 kg a day to the end, at 20 until the 26th."""
    found = lasts(steady(10.0, 20.0), 100.0, date(2030, 11, 21))
    assert found.until == (None, date(2026, 11, 26))
    assert found.short_kg == (0.0, 100.0)


def test_a_day_outside_the_season_is_refused() -> None:
    with pytest.raises(gs.ScenarioError, match="outside the season"):
        lasts(steady(10.0), 5.0, date(2027, 6, 1))


def test_midwinter_outside_the_season_or_half_a_year_away() -> None:
    assert midwinter(steady(10.0), 45.0) is None
    days = tuple(date(2027, 7, 18 + n) if n < 14 else date(2027, 8, n - 13) for n in range(30))
    south = midwinter(Use(days, np.ones((1, 30))), -45.0)
    assert south is not None
    assert south.day == date(2027, 8, 2)
    assert south.middle == pytest.approx(15.0 / 30.0)
    assert south.holds == 1


def test_leap_day_goes_with_the_day_before() -> None:
    weather = SimpleNamespace(start=datetime(2028, 2, 27, 12), hours=72)
    found: Any = SimpleNamespace(weather=weather)
    assert days_of(found) == (date(2028, 2, 27), date(2028, 2, 28), date(2028, 3, 1))
    assert list(by_day(found, np.ones(72))) == [12.0, 48.0, 12.0]
    assert [span.name for span in months(days_of(found))] == ["2028-02", "2028-03"]


def test_latest_day_to_cut_leaves_the_days_that_are_needed() -> None:
    year = DryingYear(tuple(0.1 * month for month in range(12)), ())
    day = latest(date(2026, 10, 1), 100.0, year)
    assert day is not None
    assert between(day, date(2026, 10, 1), year) >= 100.0
    assert between(date.fromordinal(day.toordinal() + 1), date(2026, 10, 1), year) < 100.0
    never = DryingYear((0.0,) * 12, ())
    assert latest(date(2026, 10, 1), 1.0, never) is None
    assert cut_by("black locust", date(2026, 10, 1), year).effective_days is None


def test_wetter_wood_fouls_more() -> None:
    assert [creosote(m) for m in (0.15, 0.20, 0.25, 0.30, 0.40)] == [
        "little", "little", "some", "much", "severe",
    ]  # fmt: skip


def test_pellets_round_up_to_whole_bags_and_pallets() -> None:
    """A short ton is 50 bags of 40 lb, a pallet."""
    assert pellets(907.18474) == (50, 1, 1)
    assert pellets(907.2) == (51, 2, 1)


def test_compost_parts_fill_the_pile() -> None:
    found = compost(demo(heater="compost pile, medium"))
    assert found.pile_m3 == pytest.approx(30.0)
    assert (found.chips_m3 + found.manure_m3) * 0.85 == pytest.approx(30.0)
    assert found.chips_m3 == pytest.approx(2.0 * found.manure_m3, rel=0.01)


@pytest.mark.parametrize("text", ["0 ft", "-4 ft", "40 ft"])
def test_a_rack_that_holds_nothing_is_refused(text: str) -> None:
    with pytest.raises(gs.ScenarioError, match=r"rack-height.*such as"):
        rack(text, None)


def test_a_fuel_that_the_heater_cannot_burn_is_refused() -> None:
    with pytest.raises(gs.ScenarioError, match="cannot burn pellets"):
        check_fuel(demo(fuel__species="pellets"))
    with pytest.raises(gs.ScenarioError, match="cannot burn red oak"):
        check_fuel(demo(heater="pellet stove"))
    with pytest.raises(gs.ScenarioError, match="no pile"):
        check_fuel(demo(heater="propane heater"))
    check_fuel(demo())


@pytest.fixture(scope="module")
def farm() -> gs.Scenario:
    """The demo farm with a stove and one short season."""
    season = {"start": "12-20", "end": "02-10"}
    return demo(heater="wood stove, large", site__season=season)


@pytest.fixture(scope="module")
def seasons(farm: gs.Scenario) -> tuple[gs.Season, ...]:
    """Its stove in three winters."""
    return tuple(run_seasons(farm, [farm.heater.kind], traced=True, engine="compiled"))


@pytest.fixture(scope="module")
def found(farm: gs.Scenario, seasons: tuple[gs.Season, ...]) -> Woodpile:
    """The farm's woodpile."""
    return woodpile(farm, seasons, read_records(farm), usual_rack(), engine="compiled")


def test_no_table_of_hours_is_made_for_the_work(farm: gs.Scenario) -> None:
    """`Season.trace` is a frame of a library that takes half a second to load."""
    short = farm.with_(**{"site.season": {"start": "01-05", "end": "01-15"}})
    runs = run_seasons(short, [short.heater.kind], traced=True, engine="compiled")
    woodpile(short, runs, read_records(short), usual_rack(), engine="compiled")
    assert all("trace" not in vars(season) for season in runs)


def test_what_is_loaded_is_what_is_burnt_and_left_in_the_firebox(
    found: Woodpile, seasons: tuple[gs.Season, ...]
) -> None:
    for kg, season in zip(found.used.total_kg, seasons, strict=True):
        rest = float(season.trace["fuel_left_kg"].iloc[-1])
        assert kg == pytest.approx(float(season.ledger["fuel_kg"]) + rest, rel=1e-6)
        assert sum(found.used.by_month()[m][0] for m in found.used.by_month()) == pytest.approx(
            float(found.used.total_kg[0])
        )


def test_the_worst_pile_is_that_of_the_hardest_winter(found: Woodpile) -> None:
    amounts = [one.cover.amount for one in found.ready]
    assert amounts == sorted(amounts)
    assert amounts[-1] == pytest.approx(float(found.used.total_kg.max()))
    for one in found.ready:
        assert one.guide_kg[0] == pytest.approx(one.cover.amount)
        assert np.all(np.diff(one.guide_kg) <= 1e-9)
    assert found.rule is not None
    assert 0.0 < found.rule.low <= found.rule.middle <= found.rule.high < 1.0


def test_few_winters_stand_for_all(farm: gs.Scenario, seasons: tuple[gs.Season, ...]) -> None:
    """The ratio in each winter alone is within 3 % of that of all: why a few are enough."""
    own, other = Wood("red oak", 0.20), Wood("quaking aspen", 0.20)
    every = run_again(farm, seasons, [own, other], "compiled")
    (ratio,) = ratios(farm, seasons, [other], own, "compiled")
    volume = every.volume_m3
    assert ratio.volume == pytest.approx(volume[1].sum() / volume[0].sum())
    per_heat = volume / every.heat_J
    for winter in range(len(seasons)):
        assert per_heat[1, winter] / per_heat[0, winter] == pytest.approx(ratio.same_heat, rel=0.03)


def test_running_again_gives_the_same_winter(
    farm: gs.Scenario, seasons: tuple[gs.Season, ...], found: Woodpile
) -> None:
    """The scenario's own wood, run again: to the last bit what was loaded before."""
    again = run_again(farm, seasons, [Wood(farm.fuel.species, farm.fuel.moisture)], "compiled")
    kg = again.volume_m3[0] * float(found.fuel.stacked_kg_m3 or 0.0)
    assert kg == pytest.approx(found.used.total_kg, rel=1e-9)
    assert again.heat_J[0] / 3.6e6 == pytest.approx(
        [float(one.ledger["heat_delivered_kWh"]) for one in seasons]
    )


def test_wetter_wood_takes_more_for_the_same_heat(found: Woodpile) -> None:
    """By the sum alone, 40 % water takes net/gross 0.905/0.854 and a tenth and a half more."""
    by = {one.moisture: one.ratio.same_heat for one in found.wet}
    assert list(by.values()) == sorted(by.values())
    assert by[0.40] / by[0.20] == pytest.approx(0.905 / 0.854 / 0.85, rel=0.04)


def test_the_ledgers_hours_are_all_there(found: Woodpile, seasons: tuple[gs.Season, ...]) -> None:
    for one, season in zip(found.work, seasons, strict=True):
        labour = season.ledger["labour"]
        names = {"air control": "looking in", "building the pile": "building the pile"}
        for task, hours in labour.items():
            assert one.hours(names.get(task, task)) == pytest.approx(hours, abs=1e-9)
        assert one.total == pytest.approx(sum(one.hours(task) for task in one.tasks))
        asleep = float(season.ledger["night_wakeups"]) * 20.0 / 60.0
        assert one.hours("falling asleep again") == pytest.approx(asleep)


def test_the_hardest_week_is_the_hardest(found: Woodpile) -> None:
    one = found.work[0]
    day = np.sum(list(one.daily.values()), axis=0)
    sums = [day[n : n + 7].sum() for n in range(len(day) - 6)]
    assert one.peak.hours == pytest.approx(max(sums))
    assert one.days.index(one.peak.first) == int(np.argmax(sums))


def test_bought_wood_spares_the_cutting_but_not_the_stacking(
    farm: gs.Scenario, seasons: tuple[gs.Season, ...]
) -> None:
    own, bought = work(farm, seasons[0], 1.0), work(farm, seasons[0], 0.0)
    cords = own.hours("stacking") / rates(farm)["stacking"]
    assert own.total - bought.total == pytest.approx(7.0 * cords)
    assert bought.hours("stacking") == pytest.approx(own.hours("stacking"))
    assert own.by_month("felling")[BEFORE] == pytest.approx(cords)
    assert own.by_month("felling")[AFTER] == 0.0


def test_the_scenario_changes_a_rate(farm: gs.Scenario, seasons: tuple[gs.Season, ...]) -> None:
    by_hand = farm.with_(labour={"splitting": "6 hour/cord", "repairs": "90 minute"})
    assert rates(by_hand)["splitting"] == pytest.approx(6.0)
    assert rates(by_hand)["repairs"] == pytest.approx(1.5)
    quick, slow = (work(one, seasons[0], 1.0).hours("splitting") for one in (farm, by_hand))
    assert slow == pytest.approx(3.0 * quick)
    with pytest.raises(gs.ScenarioError, match=r"\[labour\].*spliting.*splitting"):
        farm.with_(labour={"spliting": "6 hour/cord"})
    with pytest.raises(gs.ScenarioError, match=r"\[labour\] splitting"):
        farm.with_(labour={"splitting": "6 ft"})


def test_own_and_bought_wood_with_its_price(
    farm: gs.Scenario, seasons: tuple[gs.Season, ...]
) -> None:
    priced = farm.with_(**{"fuel.price": "250 /cord"})
    dense = 1781.0
    found = woodpile(
        priced, seasons, read_records(farm), usual_rack(), own_kg=dense, engine="compiled"
    )
    mix = found.mix(3.0 * float(found.fuel.cord_kg or 0.0))
    assert mix.own_kg == dense
    assert mix.cost == pytest.approx(250.0 * (3.0 - dense / float(found.fuel.cord_kg or 1.0)))
    assert found.mix(10.0).cost == pytest.approx(0.0)
