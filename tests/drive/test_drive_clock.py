"""Setpoints and curtains by clock and light."""

from __future__ import annotations

from types import SimpleNamespace

import numpy as np

from greenhouse_sim.drive.clock import between, curtain_closed, setpoints

HOURS = np.arange(24) + 0.5


def test_schedule_by_the_clock() -> None:
    spans = (
        SimpleNamespace(start_h=None, end_h=None, at=10.0),
        SimpleNamespace(start_h=7.0, end_h=23.0, at=20.0),
    )
    wanted = setpoints(SimpleNamespace(schedule=spans), HOURS, HOURS > 0)
    assert wanted.tolist() == [10.0] * 7 + [20.0] * 16 + [10.0]


def test_day_is_the_sun_above_the_horizon() -> None:
    up = (HOURS > 8) & (HOURS < 16)
    crop = SimpleNamespace(schedule=(), setpoint_day=10.0, setpoint_night=5.0, rise=5.0)
    assert setpoints(crop, HOURS, up).tolist() == np.where(up, 10.0, 5.0).tolist()


def test_the_morning_setpoint_rises_by_its_rate_and_falls_at_once() -> None:
    up = (HOURS > 8) & (HOURS < 16)
    crop = SimpleNamespace(schedule=(), setpoint_day=10.0, setpoint_night=5.0, rise=2.0)
    wanted = setpoints(crop, HOURS, up)
    assert wanted[7:13].tolist() == [5.0, 7.0, 9.0, 10.0, 10.0, 10.0]
    assert wanted[15:18].tolist() == [10.0, 5.0, 5.0]


def test_span_over_midnight() -> None:
    assert between(HOURS, 22.0, 6.0).sum() == 8


def test_curtain_rules() -> None:
    up = (HOURS > 8) & (HOURS < 16)
    for closed, hours in (("dark", 16), ("never", 0), ((17.0, 7.0), 14)):
        assert curtain_closed(SimpleNamespace(closed=closed), HOURS, up).sum() == hours
    assert curtain_closed(None, HOURS, up).sum() == 0
