"""Ways to spend the night, on the demo farm in deep winter."""

from __future__ import annotations

from datetime import date, timedelta

import numpy as np
import pytest

import greenhouse_sim as gs
from greenhouse_sim.heater.heater import heater_numbers
from greenhouse_sim.plans.foreseen import Work, done_all, foreseen, prepared, tasks_of
from greenhouse_sim.plans.load_hours import load_hours
from greenhouse_sim.plans.night_log import Night, edge, night_log
from greenhouse_sim.plans.night_rules import alarm_C, load_j, nights_short, rules, under
from greenhouse_sim.plans.nights import Nights, nights, steps
from greenhouse_sim.season import tally as at
from greenhouse_sim.season.run import Winter, read_records, read_winters, run_seasons
from winters_at_hand import demo

STOVE = "barrel stove, double"
FILES = ["tamarack_flats_mild.csv", "tamarack_flats_severe.csv"]
COMPILED = Work("compiled")


@pytest.fixture(scope="module")
def farm() -> gs.Scenario:
    """The demo farm with a barrel stove, six weeks of winter."""
    return demo(heater=STOVE, site__season={"start": "12-20", "end": "01-31"})


@pytest.fixture(scope="module")
def winters(farm: gs.Scenario) -> tuple[Winter, ...]:
    """Two winters as the grower expects them."""
    return foreseen(farm, prepared(farm, read_winters(farm, FILES)), COMPILED)


@pytest.fixture(scope="module")
def found(farm: gs.Scenario) -> Nights:
    """The farm's nights."""
    steps_done: list[int] = []
    work = Work("compiled", None, steps_done.append)
    answer = nights(farm, read_winters(farm, FILES), read_records(farm, FILES), [STOVE], work)
    assert sum(steps_done) == steps(2, 1, 0)
    return answer


def test_the_alarm_is_the_season_that_run_shows(farm: gs.Scenario, found: Nights) -> None:
    """The scenario's own rule is the alarm: times up and cold hours as the ledger has them."""
    seasons = run_seasons(farm, [STOVE], read_winters(farm, FILES), engine="compiled")
    alarm = found.outcomes[1]
    for number, season in enumerate(seasons):
        for key in ("night_wakeups", "nights_with_wakeup", "hours_below_setpoint",
                    "hours_below_damage", "lowest_air_C", "longest_sleep_h"):  # fmt: skip
            assert float(alarm.of(key)[number]) == season.ledger[key], key


def test_a_clock_that_is_never_set_is_no_season_of_its_own(farm: gs.Scenario) -> None:
    """Nobody gets up to sit by a rocket heater: its clocks are "never", and run once with it."""
    bench, told = "rocket mass heater, small", list[int]()
    winters, records = read_winters(farm, FILES), read_records(farm, FILES)
    answer = nights(farm, winters, records, [bench], Work("compiled", None, told.append))
    never, _, *clocks = answer.of(bench)
    for one in clocks:
        assert np.array_equal(one.total, never.total)
    assert sum(told) == steps(2, 1, 0)


def test_the_log_of_nights_is_the_trace_by_nights(
    farm: gs.Scenario, winters: tuple[Winter, ...]
) -> None:
    """Night by night, counted by hand."""
    tasks = tasks_of(farm, winters, STOVE, True)
    runs = done_all(tasks, COMPILED)
    log = night_log(winters, runs)
    winter, run = winters[0], runs[0]
    number = winter.calendar.night
    nights_of = [np.flatnonzero(number == one) for one in np.unique(number[number >= 0.0])]
    # the season begins in the middle of a night, which is left out, and may end in one
    whole = [hours for hours in nights_of if hours[0] > 0 and hours[-1] < number.size - 1]
    mine = [one for one in log if one.winter == winter.weather.name]
    assert len(whole) < len(nights_of)
    for one, hours in zip(mine, whole, strict=True):
        assert one.times_up == int(run.trace[hours, at.TRACE.index("woken")].sum())
        assert one.cold_h == int(np.sum(run.trace[hours, at.TRACE.index("cause")] > 0.0))
        assert one.out_C == winter.weather.t_out_C[hours].min()
        fell_asleep = winter.weather.start + timedelta(hours=int(hours[0]))
        assert one.evening == (fell_asleep - timedelta(hours=12)).date()


def test_never_is_never_and_rings_are_no_more_than_the_clock_has(found: Nights) -> None:
    never, _, *clocks = found.outcomes
    assert never.of("night_wakeups").sum() == 0.0
    for one in clocks:
        assert one.rule.every_h is not None
        most = (8 - 1) // one.rule.every_h * 43
        assert np.all(one.of("night_wakeups") <= most)
        assert one.of("night_wakeups").sum() > 0.0


def test_getting_up_more_often_is_no_colder_than_sleeping(found: Nights) -> None:
    """Of every way to get up: never colder, by degree-hours, than never getting up."""
    never, *others = found.outcomes
    for one in others:
        cold = one.of("degree_hours_below_setpoint")
        assert np.all(cold <= never.of("degree_hours_below_setpoint"))


def test_a_clock_of_the_file_is_left_to_the_rules(farm: gs.Scenario, found: Nights) -> None:
    ringing = farm.with_(**{"routine.clock_every": "2 h"})
    again = nights(ringing, read_winters(farm, FILES), read_records(farm, FILES), [STOVE], COMPILED)
    for one, other in zip(found.outcomes, again.outcomes, strict=True):
        assert np.array_equal(one.total, other.total)


def test_a_clock_in_the_file_gets_the_grower_up(farm: gs.Scenario, found: Nights) -> None:
    """Every night at the same hours, by the ordinary run: more often than where it is chosen."""
    ringing = farm.with_(**{"routine.clock_every": "4 h", "routine.gets_up_below": "never"})
    seasons = run_seasons(ringing, [STOVE], read_winters(farm, FILES), traced=True,
                          engine="compiled")  # fmt: skip
    chosen = next(one for one in found.outcomes if one.rule.every_h == 4)
    for number, season in enumerate(seasons):
        woken = season.trace.index[season.trace["woken"].to_numpy() > 0.5]
        # bed is at 22; the season begins at midnight, within a night
        assert set(woken.hour[woken > woken[0]]) <= {2, 4}
        assert season.ledger["night_wakeups"] >= chosen.of("night_wakeups")[number]


def test_the_log_holds_every_time_up(found: Nights) -> None:
    alarm = found.outcomes[1]
    for number, winter in enumerate(found.winters):
        own = [night for night in found.log if night.winter == winter]
        assert 41 <= len(own) <= 43
        ups = sum(night.times_up for night in own)
        # nights that the season's ends cut are not in the log: three times up in each at most
        assert 0 <= alarm.of("night_wakeups")[number] - ups <= 6
        assert len({night.evening for night in own}) == len(own)


def test_edges_of_nights_by_hand() -> None:
    def night(day: int, ups: int, cold: int, out: float) -> Night:
        return Night("w", date(2027, 1, day), ups, cold, out)

    log = [
        night(1, 0, 0, -2.0), night(2, 0, 3, -9.0), night(3, 1, 0, -5.0),
        night(4, 2, 1, -12.0), night(5, 0, 0, -6.0), night(6, 0, 0, 1.0),
    ]  # fmt: skip
    found = edge(log)
    assert found.coldest_unvisited == log[4]
    assert found.coldest_unwoken == log[1]
    assert found.mildest_woken == log[2]
    # of -12, -9 one in two; of -12, -9, -6, -5 two in four; of five two
    assert found.half_C == -5.0
    nobody = edge(log[:2])
    assert nobody.mildest_woken is None
    assert nobody.half_C is None


def test_the_clock_is_set_on_nights_that_a_load_will_not_last(
    farm: gs.Scenario, winters: tuple[Winter, ...]
) -> None:
    (task, _), winter = tasks_of(farm, winters, STOVE), winters[0]
    short = nights_short(task, winter)
    for number in (3, 20):
        hours = winter.calendar.night == number
        need = np.diff(winter.walk.hours.need_sum_j)[hours].sum()
        assert short[number] == (need * farm.routine.margin > load_j(task.heater))
    big = heater_numbers(STOVE, 1, {"firebox_volume": 100.0})
    assert not nights_short(task._replace(heater=big), winter).any()


def test_nobody_sets_a_clock_to_watch_a_fire(
    farm: gs.Scenario, winters: tuple[Winter, ...]
) -> None:
    base = tasks_of(farm, winters, "rocket mass heater, large")
    never, _, *clocks = rules(farm)
    quiet = done_all(under(never, base, winters), COMPILED)
    for rule in clocks[:1]:
        for one, other in zip(quiet, done_all(under(rule, base, winters), COMPILED), strict=True):
            assert np.array_equal(one.total, other.total)


def test_a_grower_who_never_gets_up_is_told_of_the_usual_alarm() -> None:
    assert alarm_C(demo(routine__gets_up_below="3 degC")) == pytest.approx(3.0)
    assert alarm_C(demo(routine__gets_up_below="never")) == pytest.approx((36 - 32) / 1.8)


def test_a_full_load_by_hand() -> None:
    """100 kg of which 20 are coals, 16 MJ/kg, 70 %: at 14 kW of need 80·16·0.7/14 = 17.8 h."""
    from winters_at_hand import no_heater

    stove = no_heater(
        law=1.0, hand_fed=1.0, charge_kg=100.0, coal_kg=20.0, heat_j_kg=16e6, kg_per_j=1 / 16e6,
        burn_max_w=40e3, burn_min_w=5e3, efficiency_max=0.7, efficiency_min=0.7,
    )  # fmt: skip
    found = load_hours(stove, 14e3, 5.0, -20.0)
    assert found.hours == pytest.approx(80 * 16e6 * 0.7 / 14e3 / 3600.0)
    assert found.output_W == pytest.approx(28e3)
    assert found.share == 1.0
    # it cannot burn lower than its lowest rate, nor give more than its most
    assert load_hours(stove, 1e3, 5.0, -20.0).hours == pytest.approx(80 * 16e6 / 5e3 / 3600.0)
    most = load_hours(stove, 56e3, 5.0, -20.0)
    assert (most.hours, most.share) == (pytest.approx(80 * 16e6 / 40e3 / 3600.0), 0.5)


def test_a_full_tank_by_hand() -> None:
    """4 m³ of water from 90 to 50 °C at 10 kW and no jacket: 4000·4186·40/10e3 s."""
    from winters_at_hand import no_heater

    tank = no_heater(
        law=4.0, hand_fed=1.0, charge_kg=50.0, heat_j_kg=16e6, kg_per_j=1 / 16e6, burn_max_w=50e3,
        burn_min_w=50e3, efficiency_max=0.8, efficiency_min=0.8, store_c=4000 * 4186.0,
        store_limit=90.0, coil_above=40.0, coil_w_k=10e3 / 45.0,
    )  # fmt: skip
    found = load_hours(tank, 10e3, 5.0, -20.0)
    assert found.store_hours == pytest.approx(4000 * 4186.0 * 40.0 / 10e3 / 3600.0)
    assert load_hours(tank, 10e3, 5.0, -20.0).hours == pytest.approx(50 * 16e6 * 0.8 / 36e6)


def test_nights_of_the_trace_are_cold_where_the_tally_says(
    farm: gs.Scenario, winters: tuple[Winter, ...], found: Nights
) -> None:
    alarm = found.rules[1]
    runs = done_all(under(alarm, tasks_of(farm, winters, STOVE, traced=True), winters), COMPILED)
    cold = [float(np.sum(run.trace[:, at.TRACE.index("cause")] > 0.0)) for run in runs]
    assert cold == [float(run.total[at.COLD_H]) for run in runs]
    assert sum(night.cold_h for night in found.log) <= sum(cold)
