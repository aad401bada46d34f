"""The fire that the noted loads leave: against the burn law by hand, and against known fires."""

from __future__ import annotations

from datetime import datetime, timedelta
from pathlib import Path

import numpy as np
import pytest

from greenhouse_sim.errors import JournalError
from greenhouse_sim.heater.burn import OUT_SHARE
from greenhouse_sim.heater.numbers import Heater
from greenhouse_sim.journal.entry import LOAD, READING, Entry
from greenhouse_sim.plans.departures import nobody
from greenhouse_sim.plans.foreseen import Work, foreseen
from greenhouse_sim.plans.tonight import NOTHING, tonight
from greenhouse_sim.plans.tonight_fire import Present, heater_of
from greenhouse_sim.plans.tonight_journal import air_now, noted
from greenhouse_sim.plans.tonight_night import FUEL, LOADED, Here, alone, no_trace, walk_on
from greenhouse_sim.plans.tonight_past import Past, Put, arrive
from greenhouse_sim.plans.tonight_weather import Laid, lay
from greenhouse_sim.season import numbers as places
from greenhouse_sim.season import tally as at
from greenhouse_sim.season.many import Task, engine_for, run_one
from greenhouse_sim.season.run import task
from tonight_at_hand import AT, farm, forecast, own_weather
from winters_at_hand import winter

STOVE, BOILER = "wood stove, large", "outdoor boiler"
HOUR_S = 3600.0
SEEN = Present(8.0)
BOOK = Path("farm.journal.db")


def laid_farm(kind: str = STOVE) -> tuple[Laid, Task, Heater]:
    scenario, prepared = farm(kind)
    laid = lay(scenario, prepared, [forecast(-3.0)], AT, "laid")
    own = task(scenario, laid.winter, kind, False)
    return laid, own, own.heater


def fuel(here: Here) -> float:
    return float(here.state[places.FUEL])


def past(puts: list[Put], kind: str = STOVE, see: Present = SEEN) -> Past:
    laid, own, _ = laid_farm(kind)
    return arrive(laid, own, see, puts)


def test_the_bounds_are_the_burn_law_by_hand() -> None:
    """Down to its coals a stove burns at its setting: kg less power times time over heat."""
    _, _, stove = laid_farm()
    load, hours = 0.9 * stove.charge_kg, 2
    found = past([Put(hours, load)])
    least = load - stove.burn_max_w * hours * HOUR_S / stove.heat_j_kg
    most = stove.charge_kg - stove.burn_min_w * hours * HOUR_S / stove.heat_j_kg
    assert least > stove.coal_kg  # else the tail
    assert fuel(found.least) == pytest.approx(least)
    assert fuel(found.most) == pytest.approx(most)
    assert fuel(found.least) - 1e-9 <= fuel(found.here) <= fuel(found.most) + 1e-9


def test_below_its_coals_a_fire_tails_off_by_hand() -> None:
    """dm/dt = −P·m/(H·m_coal): an exponential with time constant m_coal·H/P."""
    _, _, stove = laid_farm()
    load, hours = stove.coal_kg, 1
    found = past([Put(hours, load)])
    tail = np.exp(-hours * HOUR_S * stove.burn_max_w / (stove.coal_kg * stove.heat_j_kg))
    assert fuel(found.least) == pytest.approx(load * tail, rel=1e-6)


@pytest.mark.parametrize("before", [0.0, 0.4, 1.0])
@pytest.mark.parametrize("open_share", [0.0, 0.3, 1.0])
def test_a_known_fire_lies_within_the_bounds(before: float, open_share: float) -> None:
    """Whatever lay in the box and however far the air was open: three loads, followed as known."""
    laid, own, stove = laid_farm()
    puts = [Put(11, 0.5 * stove.charge_kg), Put(6, 0.3 * stove.charge_kg),
            Put(2, 0.4 * stove.charge_kg)]  # fmt: skip
    found = arrive(laid, own, SEEN, puts)
    state, table = found.here.state.copy(), own.walk.slow.modes.table.copy()
    state[places.FUEL] = before * (stove.charge_kg - puts[0].kg)
    setting = stove.burn_min_w + open_share * (stove.burn_max_w - stove.burn_min_w)
    ends = [*(laid.now - one.hours_ago for one in puts[1:]), laid.now]
    for one, end in zip(puts, ends, strict=True):
        state[places.FUEL] = min(state[places.FUEL] + one.kg, stove.charge_kg)
        state[places.LIT], state[places.SETTING] = 1.0, setting
        walk_on(alone(own), own.walk, nobody(own.calendar), laid.now - one.hours_ago, end, state,
                table, no_trace(), at.empty())  # fmt: skip
    dead = OUT_SHARE * stove.coal_kg
    assert fuel(found.least) - dead <= state[places.FUEL] <= fuel(found.most) + dead


@pytest.mark.parametrize("kind", [STOVE, BOILER, "pellet stove", "rocket mass heater, medium"])
def test_the_box_never_holds_more_than_it_can(kind: str) -> None:
    _, _, heater = laid_farm(kind)
    found = past([Put(hours, heater.charge_kg) for hours in (9, 6, 3, 1, 0)], kind)
    for here in found:
        assert 0.0 <= fuel(here) <= heater.charge_kg + 1e-9
    assert fuel(found.here) == pytest.approx(heater.charge_kg)  # filled this very hour


def test_a_load_of_now_has_not_burnt() -> None:
    found = past([Put(0, 3.0)])
    assert fuel(found.least) == pytest.approx(3.0)


def test_more_put_in_is_never_less_left() -> None:
    """But for what a dead fire leaves unburnt."""
    _, _, stove = laid_farm()
    loads = np.linspace(0.2, 1.0, 5) * stove.charge_kg
    for side in Past._fields:
        left = [fuel(getattr(past([Put(4, float(kg))]), side)) for kg in loads]
        assert np.all(np.diff(left) >= -OUT_SHARE * stove.coal_kg), side


def test_longer_ago_is_never_more_left() -> None:
    _, _, stove = laid_farm()
    for side in ("least", "most"):
        left = [fuel(getattr(past([Put(hours, 0.8 * stove.charge_kg)]), side))
                for hours in (0, 1, 2, 4, 8, 16)]  # fmt: skip
        assert np.all(np.diff(left) <= 1e-9), side


def test_what_the_grower_sees_goes_before_the_loads() -> None:
    found = past([Put(2, 10.0)], see=Present(9.0, 1.5))
    assert found.least is found.here is found.most
    assert fuel(found.here) == 1.5
    assert found.here.state[places.AIR] == 9.0


def test_a_store_follows_the_noted_loads() -> None:
    """A boiler that was fed all day stands hotter than one that got nothing since the morning."""
    _, _, boiler = laid_farm(BOILER)
    fed = past([Put(hours, 0.3 * boiler.charge_kg) for hours in (12, 8, 4)], BOILER)
    starved = past([Put(12, 0.03 * boiler.charge_kg)], BOILER)
    assert fed.least.state[places.CORE] > starved.least.state[places.CORE] + 1.0


def test_without_a_note_it_is_the_routine_s_fire() -> None:
    found = past([])
    assert found.least is found.here is found.most


def entries(*told: tuple[float, str, float]) -> list[Entry]:
    """Hours before AT, kind, and kg or °C."""
    found = []
    for ago_h, kind, value in told:
        when = AT - timedelta(hours=ago_h)
        found.append(
            Entry(when, kind, kg=value) if kind == LOAD else Entry(when, kind, indoor_C=value)
        )
    return sorted(found, key=lambda one: one.at)


def test_a_poorer_fire_is_never_warmer_for_the_plants() -> None:
    scenario, prepared = farm(STOVE)
    stove = heater_of(scenario)
    told = noted(entries((3.0, LOAD, 0.8 * stove.charge_kg)), scenario, stove, AT)
    found = tonight(scenario, prepared, forecast(-3.0), None, AT, SEEN, told)
    low, high = found.now_range_kg
    assert low <= found.now_kg <= high
    assert found.poorest is not None
    assert found.poorest <= found.plan.lowest.forecast + 1e-9
    assert found.way(NOTHING).left_kg < found.now_kg


def test_what_counts_of_a_journal() -> None:
    scenario, _ = farm(STOVE)
    stove = heater_of(scenario)
    told = noted(
        entries((30.0, LOAD, 9.0), (20.0, LOAD, 8.0), (5.0, READING, 6.0), (1.4, LOAD, 7.0),
                (0.2, READING, 5.0), (-2.0, LOAD, 4.0), (-1.0, READING, 3.0)),
        scenario, stove, AT,
    )  # fmt: skip
    assert told is not None
    assert [one.kg for one in told.loads] == [8.0, 7.0]
    assert told.puts(AT) == (Put(20, 8.0), Put(1, 7.0))
    assert air_now(told, BOOK) == 5.0
    assert told.before is None and told.overfull is None and told.left is None


@pytest.mark.parametrize(("ago_h", "fresh"), [(0.0, True), (2.0, True), (2.1, False)])
def test_a_reading_is_used_for_two_hours(ago_h: float, fresh: bool) -> None:
    scenario, _ = farm(STOVE)
    told = noted(entries((ago_h, READING, 6.0)), scenario, heater_of(scenario), AT)
    if fresh:
        assert air_now(told, BOOK) == 6.0
    else:
        with pytest.raises(JournalError, match="write the air inside now"):
            air_now(told, BOOK)


def test_a_journal_of_other_days_says_nothing() -> None:
    scenario, _ = farm(STOVE)
    assert noted([], scenario, heater_of(scenario), AT) is None
    later = [Entry(datetime(2027, 2, 1), READING, indoor_C=5.0)]
    assert noted(later, scenario, heater_of(scenario), AT) is None


@pytest.mark.parametrize("name", ["tamarack_flats_typical.csv", "tamarack_flats_severe.csv"])
@pytest.mark.parametrize("kind", [STOVE, BOILER, "pellet stove"])
def test_a_winter_s_own_journal_leads_back_to_its_fire(kind: str, name: str) -> None:
    """Simulated truth: a season is run by the routine, its loads are noted as they were, and the
    fire of some evenings is followed from them in a typical winter, the truth's own or not.

    Bounds are meant for eight of ten evenings; a winter that is harder than the typical one all
    along takes some of that. The middle lies off by the air that is set between loads, and by the
    weather.
    """
    scenario, prepared = farm(kind)
    (whole,) = foreseen(scenario, [winter(scenario, name)], Work(engine="compiled"))
    own = task(scenario, whole, kind, True)
    trace = run_one(engine_for("compiled"), own).trace
    inside, errors = [], []
    for day in range(40, 160, 10):
        now = day * 24 + 20
        when = whole.weather.start + timedelta(hours=now)
        laid = lay(scenario, prepared, [own_weather(whole, now, 40)], when, "laid")
        ours = task(scenario, laid.winter, kind, False)
        puts = [Put(ago, float(trace[now - ago, LOADED])) for ago in range(24, 0, -1)
                if trace[now - ago, LOADED] > 0.0]  # fmt: skip
        if not puts:
            continue
        found = arrive(laid, ours, SEEN, puts)
        truth, charge = float(trace[now - 1, FUEL]), ours.heater.charge_kg
        dead = max(OUT_SHARE * ours.heater.coal_kg, 0.01 * charge)
        inside.append(fuel(found.least) - dead <= truth <= fuel(found.most) + dead)
        errors.append((fuel(found.here) - truth) / charge)
    assert len(inside) >= 10
    assert np.mean(inside) >= (0.8 if whole.weather.name == prepared.weather.name else 0.6)
    assert abs(np.mean(errors)) < 0.1  # of a charge
