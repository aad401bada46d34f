"""Improvements: what fits, alone, in order, and the exact search."""

from __future__ import annotations

import itertools
from typing import Any

import pytest

from greenhouse_sim.plans.improve import NOTHING, Improved, few_places, front, improve
from greenhouse_sim.plans.measures import Unfit, measures, together
from greenhouse_sim.plans.outcome import Farm, Outcome
from greenhouse_sim.plans.package import Targets, possible, search
from greenhouse_sim.plans.tried import Tried, trimmed
from greenhouse_sim.scenario import Scenario
from greenhouse_sim.season.run import read_winters, run_seasons
from winters_at_hand import demo

SHORT = {"start": "12-10", "end": "02-10"}
WINTERS = ["tamarack_flats_mild.csv", "tamarack_flats_typical.csv"]
CHOSEN = ("infrared film", "night curtain", "inner film", "weather-stripping", "bigger firebox",
          "get-up rule")  # fmt: skip


def farm(**change: Any) -> Scenario:
    return demo(**({"site__season": SHORT, "site__weather": WINTERS} | change))


@pytest.fixture(scope="module")
def improved() -> Improved:
    scenario = farm()
    return improve(scenario, read_winters(scenario))


@pytest.fixture(scope="module")
def small(improved: Improved) -> Improved:
    """The same farm with six measures alone, so that every package can be run."""
    fit = tuple(one for one in improved.fit if one.name in CHOSEN)
    tried = Tried(improved.farm.tried.base, improved.farm.tried.weather)
    own = Farm(tried, fit)
    own.run([NOTHING, *(frozenset({one.name}) for one in fit)], improved.places)
    return improved._replace(farm=own, fit=fit)


def test_fourteen_measures_fit_the_demo_farm() -> None:
    fit, out = measures(demo())
    assert len(fit) == 14
    assert {one.name for one in out} == {"second film", "bubble wrap"}
    single, _ = measures(demo(greenhouse__cover="single poly"))
    assert {"second film", "bubble wrap"} <= {one.name for one in single}


def test_what_is_there_already_is_left_out() -> None:
    scenario = demo(
        greenhouse__tightness="tight", greenhouse__perimeter_insulation="R5 2 ft",
        fuel__moisture=0.15, greenhouse__night_curtain={"cover": "thermal curtain"},
        routine__gets_up_below="never", heater="pellet stove",
    )  # fmt: skip
    fit, out = measures(scenario)
    assert {one.name for one in fit} & {
        "weather-stripping",
        "perimeter foam",
        "drier wood",
    } == set()
    why = {one.name: one.why for one in out}
    assert why["weather-stripping"] == "is as tight as the table goes"
    assert why["perimeter foam"] == "has R5 2 ft already"
    assert why["drier wood"] == "pellet stove burns no wood"
    assert why["get-up rule"] == "nobody gets up at night"
    assert "no firebox" in why["bigger firebox"]
    assert "thermal curtain already" in why["inner film"]


def test_costs_go_by_the_farms_measures() -> None:
    """30 × 72 ft: 2160 ft² of floor, 204 ft of edge; a price of the scenario goes before."""
    fit = {one.name: one for one in measures(demo())[0]}
    assert fit["night curtain"].cost.value == pytest.approx(2160 * 1.8)
    assert fit["perimeter foam"].cost.value == pytest.approx(204 * 3.5)
    own = demo(money={"improvements": {"night curtain": [900, 1000, 1200]}})
    fit = {one.name: one for one in measures(own)[0]}
    assert fit["night curtain"].cost == (900.0, 1000.0, 1200.0)


def test_measures_together_change_what_each_changes() -> None:
    base = demo(greenhouse__cover="single poly")
    fit = {one.name: one for one in measures(base)[0]}
    both = together(base, (fit["infrared film"], fit["second film"], fit["12 water barrels"]))
    assert both.greenhouse.cover.roof == "double poly inflated IR"
    assert both.greenhouse.mass[0].count == 12
    with pytest.raises(Unfit):
        together(base, (fit["second film"], fit["bubble wrap"]))


def test_a_package_is_all_its_measures_together() -> None:
    """However packages are asked for one upon the other; those that do not go together have no
    scenario, nor has any with more on top of them."""
    base = demo(greenhouse__cover="single poly")
    fit = measures(base)[0]
    named = {one.name: one for one in fit}
    asked = Farm(Tried(base, []), fit)
    for names in (
        ("second film", "12 water barrels", "infrared film"), ("infrared film",),
        ("later start", "infrared film", "get-up rule"), ("second film", "infrared film"),
    ):  # fmt: skip
        found = asked.scenario(frozenset(names))
        assert found == together(base, tuple(named[name] for name in names)), names
    for names in (("second film", "bubble wrap"), ("second film", "bubble wrap", "get-up rule")):
        assert asked.scenario(frozenset(names)) is None
    assert asked.scenario(NOTHING) == base


def test_tried_is_what_run_gives(improved: Improved) -> None:
    """The shared preparation gives the very numbers of a run of its own."""
    scenario = improved.farm.scenario(frozenset({"inner film"}))
    assert scenario is not None
    seasons = run_seasons(scenario, [scenario.heater.kind])
    alone = improved.alone[[one.name for one in improved.fit].index("inner film")]
    assert alone.cords == sum(one.ledger["cords"] for one in seasons) / 2
    assert alone.wakeups == sum(one.ledger["night_wakeups"] for one in seasons) / 2


def test_a_winter_let_go_is_prepared_again_to_the_same_numbers(improved: Improved) -> None:
    """Preparations of winters that more is tried in are held; of the others they need not be."""
    scenario = improved.farm.scenario(frozenset({"inner film"}))
    assert scenario is not None
    tried = Tried(improved.farm.tried.base, improved.farm.tried.weather)
    tried.again = frozenset({0})
    first = tried.run([tried.base, scenario])
    assert tried.run([scenario, tried.base]) == first[::-1]
    assert tried.need_kWh(1) > 0.0


def test_a_later_start_is_the_same_winter_without_its_first_days() -> None:
    scenario = farm()
    (whole, _) = read_winters(scenario)
    (late, _) = read_winters(scenario.with_(**{"site.season.start": "01-07"}))
    cut = trimmed(whole, 28)
    assert (cut.start, cut.hours) == (late.start, late.hours)
    assert (cut.t_out_C == late.t_out_C).all()


def test_the_second_measure_saves_less_after_the_first(improved: Improved) -> None:
    """Of the envelope's measures, in wood."""
    alone = {out.names[0]: improved.base.cords - out.cords for out in improved.alone}
    places = range(2)
    both = improved.farm.outcome(frozenset({"inner film", "infrared film"}), places)
    assert both is not None
    saved = improved.base.cords - both.cords
    assert max(alone["inner film"], alone["infrared film"]) < saved
    assert saved < alone["inner film"] + alone["infrared film"]


def test_the_order_takes_the_best_next_step(improved: Improved) -> None:
    """Held against every measure at every step, run in full."""
    chosen, now = NOTHING, improved.base_few
    for step in improved.order[:4]:
        rest = [one.name for one in improved.fit if one.name not in chosen]
        found = [improved.farm.outcome(chosen | {name}, improved.places) for name in rest]
        ran = [one for one in found if one is not None]
        groups = {improved.farm.fit[name].group for name in chosen} - {""}
        fair = [
            one for one in ran
            if not any(improved.farm.fit[n].group in groups for n in set(one.names) - chosen)
        ]  # fmt: skip
        assert step.outcome.yearly == pytest.approx(min(one.yearly for one in fair), abs=1.0)
        assert step.saving == pytest.approx(now.yearly - step.outcome.yearly)
        chosen, now = chosen | {step.name}, step.outcome


def every(small: Improved) -> list[Outcome]:
    names = [one.name for one in small.fit]
    found = []
    for many in range(len(names) + 1):
        for pick in itertools.combinations(names, many):
            if {"night curtain", "inner film"} <= set(pick):
                continue
            out = small.farm.outcome(frozenset(pick), small.places)
            assert out is not None
            found.append(out)
    return found


@pytest.mark.parametrize("whole", [True, False])
@pytest.mark.parametrize(
    "targets",
    [Targets(), Targets(wakeups=5), Targets(budget=1000), Targets(wakeups=3, budget=1500)],
    ids=str,
)
def test_the_search_finds_what_running_everything_finds(
    small: Improved, targets: Targets, whole: bool
) -> None:
    """The whole search to the cent; the bounded one but for what it says it may have missed."""
    fresh = small._replace(farm=_anew(small))
    result = search(fresh, targets, whole)
    all_ = every(small)
    assert result.possible == len(all_) == possible(small.farm)
    assert result.run == len(all_) if whole else result.run <= len(all_)
    met = [o for o in all_ if targets.misses(o.wakeups, o.cold_hours, o.first) == 0.0]
    if not met:
        assert result.best is None
        return
    assert result.best is not None
    least = min(met, key=lambda one: one.yearly)
    missed = 0.0 if whole else result.by
    assert result.best.yearly == pytest.approx(least.yearly, abs=missed + 1e-6)
    if whole:
        assert [one.names for one in result.front] == [one.names for one in front(all_)]


def _anew(small: Improved) -> Farm:
    own = Farm(small.farm.tried, small.fit)
    own.run([NOTHING, *(frozenset({one.name}) for one in small.fit)], small.places)
    return own


def test_a_target_that_no_package_meets_shows_the_nearest(small: Improved) -> None:
    result = search(small, Targets(cold_hours=0.0, budget=10.0))
    assert result.best is None
    assert result.targets.misses(
        result.nearest.wakeups, result.nearest.cold_hours, result.nearest.first
    ) > 0.0  # fmt: skip


def test_few_winters_lie_among_the_many() -> None:
    assert few_places([3.0, 1.0, 2.0]) == (0, 1, 2)
    places = few_places([float(n) for n in range(30)])
    assert places == (3, 15, 26)


def test_a_front_holds_what_nothing_beats() -> None:
    def one(name: str, yearly: float, wakeups: float) -> Outcome:
        nothing = (0.0,) * 3
        return Outcome((name,), *nothing, 0.0, wakeups, 0.0, 0.0, 0, 0.0, 0.0, yearly, 0.0, 0.0)

    found = front([one("a", 10, 5), one("b", 12, 5), one("c", 11, 2), one("d", 13, 3)])
    assert [out.names[0] for out in found] == ["a", "c"]
