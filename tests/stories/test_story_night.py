"""Nights: who gets up, when, and what a sleeper finds in the morning."""

from __future__ import annotations

from collections.abc import Callable
from datetime import timedelta

import greenhouse_sim as gs

SLEEP = (22, 23, 0, 1, 2, 3, 4, 5)
NEVER = {"routine.gets_up_below": "never"}
Play = Callable[..., gs.Season]


def test_nobody_gets_up_and_a_small_firebox_leaves_the_night_cold(
    farm: gs.Scenario, play: Play
) -> None:
    ledger = play(farm.with_(**NEVER), "wood stove, small").ledger
    assert ledger["night_wakeups"] == 0
    assert ledger["nights_with_wakeup"] == 0
    assert ledger["labour"]["night visits"] == 0.0
    assert ledger["cold_hours_by_cause"]["asleep"] > 100
    # eight hours, twenty nights
    assert ledger["cold_hours_by_cause"]["asleep"] <= 160
    assert ledger["longest_sleep_h"] == 8.0


def test_alarm_gets_the_sleeper_up(farm: gs.Scenario, play: Play) -> None:
    """Wake-ups lie within sleep, two hours apart at least, and keep the house warmer."""
    season = play(farm, "wood stove, small")
    trace, ledger = season.trace, season.ledger
    woken = trace.index[trace.woken > 0]
    assert len(woken) == ledger["night_wakeups"] > 20
    assert set(woken.hour) <= set(SLEEP)
    assert min(woken[1:] - woken[:-1]).total_seconds() >= 2 * 3600
    evenings = {when.date() for when in (woken - timedelta(hours=12))}
    assert ledger["nights_with_wakeup"] == len(evenings) <= 20
    asleep = play(farm.with_(**NEVER), "wood stove, small").ledger
    assert ledger["lowest_air_C"] > asleep["lowest_air_C"] + 2.0
    assert ledger["longest_sleep_h"] < 8.0
    # every wake-up began with air under the alarm, 36 °F
    before = trace.air_C.shift(1)[trace.woken > 0]
    assert (before < 2.22 + 2.5).all()


def test_lower_alarm_means_fewer_wakeups(farm: gs.Scenario, play: Play) -> None:
    counts = [
        play(farm.with_(**{"routine.gets_up_below": alarm}), "wood stove, small").ledger[
            "night_wakeups"
        ]
        for alarm in ("30 degF", "36 degF", "42 degF")
    ]
    assert counts == sorted(counts)
    assert counts[0] < counts[-1]


def test_load_at_bedtime_is_the_nights_load(farm: gs.Scenario, play: Play) -> None:
    """Load about 21:30 for the night, reload about 06:00 (common practice, no source)."""
    trace = play(farm, "wood stove, large").trace
    loads = trace.loaded_kg
    bedtime = loads[loads.index.hour == 21]
    by_day = loads[(loads > 0) & (loads.index.hour > 6) & (loads.index.hour < 20)]
    assert (bedtime > 0).all()
    assert bedtime.median() > 1.3 * by_day.median()
    # it carries the fire through seven hours of a night of eight
    assert (trace.fuel_kg[trace.index.hour == 4] > 0).all()


def test_ideal_heater_never_lets_it_get_cold(farm: gs.Scenario, play: Play) -> None:
    season = play(farm.with_(**{"crop.setpoint": {"day": "50 degF", "night": "42 degF"}}), "ideal")
    ledger = season.ledger
    assert ledger["hours_below_setpoint"] == 0.0
    assert ledger["lowest_air_C"] > season.trace.setpoint_C.min() - 1e-6
    assert ledger["heat_delivered_kWh"] == ledger["heat_need_kWh"]
    assert ledger["labour_hours"] == 0.0


def test_sleepers_weekend_moves_the_first_visit(farm: gs.Scenario, play: Play) -> None:
    late = {"routine.up": {"weekday": "06:00", "weekend": "09:00"}, **NEVER}
    trace = play(farm.with_(**late), "wood stove, medium").trace
    weekend = trace.index.day_of_week >= 5
    morning = (trace.index.hour >= 6) & (trace.index.hour < 9)
    assert trace.visit[morning & weekend].sum() == 0
    assert trace.visit[morning & ~weekend].sum() > 0
