"""Prepared winters and steady heaters that several folders of tests share."""

from __future__ import annotations

import math
from typing import Any

import numpy as np

import greenhouse_sim as gs
from greenhouse_sim.greenhouse.numbers import Drive, House
from greenhouse_sim.heater.backup import backup_numbers
from greenhouse_sim.heater.catalogue import heater_names
from greenhouse_sim.heater.numbers import ROOM_THERMOSTAT, SET_AND_LEAVE, Heater
from greenhouse_sim.routine.numbers import Calendar, Habits
from greenhouse_sim.season import tally as at
from greenhouse_sim.season.many import Task, run_many
from greenhouse_sim.season.modes import walk_of
from greenhouse_sim.season.run import Winter, expecting, read_winters, ready, task
from independent import Fire, Heat

SAMPLES = tuple(
    f"{place}_{kind}.csv"
    for place in ("tamarack_flats", "selkie_sound")
    for kind in ("mild", "typical", "severe")
)
BARRELS = [{"what": "water barrels", "count": 12, "volume": "55 gal"}]
TROUBLED: dict[str, dict[str, Any]] = {
    "back-up": {"backup": {"kind": "propane heater", "starts_below": "40 degF"}},
    "power cut": {"site__power_cuts": [["2026-01-18 06:00", "2026-01-20 14:00"]]},
    "trip": {
        "routine__away": [["2026-01-17 17:00", "2026-01-20 18:00"]],
        "greenhouse__mass": BARRELS,
        "fuel__pile": "1 cord",
    },
}
"""What a winter may bring beside its weather: changes to the demo farm."""


def demo(**change: Any) -> gs.Scenario:
    """The demo farm with keys changed (``greenhouse__mass`` stands for ``greenhouse.mass``)."""
    scenario = gs.read_scenario(gs.demo_path())
    return scenario.with_(**{key.replace("__", "."): value for key, value in change.items()})


def winter(scenario: gs.Scenario, sample: str = "tamarack_flats_typical.csv") -> Winter:
    """The scenario's greenhouse in one sample winter."""
    return ready(scenario, read_winters(scenario, [sample])[0])


def hours_of(found: Winter, first: int, last: int) -> Winter:
    """The hours ``first`` to ``last`` of a winter alone."""
    drive = {name: array[first:last] for name, array in found.drive._asdict().items()}
    drive["need_sum_j"] = found.drive.need_sum_j[first : last + 1]
    days = {name: array[first:last] for name, array in found.calendar._asdict().items()}
    part = Drive(**drive)
    walk = walk_of(found.house, part)
    return found._replace(drive=part, calendar=Calendar(**days), walk=walk)


def no_heater(**given: float) -> Heater:
    """A heater that gives nothing but what is said."""
    plain = dict.fromkeys(Heater._fields, 0.0)
    plain |= {"law": ROOM_THERMOSTAT, "heat_j_kg": 1.0, "efficiency_min": 1.0}
    return Heater(**(plain | given))


def steady_stove(useful_w: float, **given: float) -> Heater:
    """A stove with one burn rate and a firebox for a whole winter."""
    power_w = useful_w / 0.7
    return no_heater(
        law=SET_AND_LEAVE,
        hand_fed=1.0,
        charge_kg=1.0e9,
        heat_j_kg=1.0e6,
        burn_max_w=power_w,
        burn_min_w=power_w,
        efficiency_max=0.7,
        efficiency_min=0.7,
        store_limit=1.0e6,
        **given,
    )


USEFUL_W = 9000.0
IRON = {
    "store_c": 1.5e5, "skin_w_k": 12.0, "skin_slope": 0.004, "store_start": 10.0,
    "direct_share": 0.3, "floor_share": 0.1,
}  # fmt: skip
OFF = (no_heater(), Heat())
STEADY = (
    steady_stove(USEFUL_W, **IRON),
    Heat(Fire(0.3 * USEFUL_W, 0.7 * USEFUL_W, 0.1, 1.5e5, 12.0, 0.004)),
)
"""The same heater twice: for the kernel, and for the general solver."""


def lone_task(house: House, drive: Drive, heater: Heater) -> Task:
    """A traced season of this heater with somebody always about and no back-up."""
    hours = len(drive.t_out)
    idle, always = np.zeros(hours), np.ones(hours)
    days = Calendar(always, idle, idle, always, idle - 1.0, always, always)
    eager = drive._replace(need_sum_j=np.arange(hours + 1) * 1.0e15)
    habits = Habits(**(dict.fromkeys(Habits._fields, 24.0) | {"gets_up_below": -1000.0}))
    return Task(walk_of(house, eager), days, habits, heater, backup_numbers(), math.inf, True)


def catalogue_tasks() -> list[Task]:
    """Every heater of the catalogue in every sample winter on the demo farm, without traces."""
    scenario = demo()
    prepared = [winter(scenario, sample) for sample in SAMPLES]
    ideal = run_many([task(scenario, one, "ideal", True) for one in prepared], "compiled")
    given = at.TRACE.index("heater_W")
    foreseen = [
        expecting(one, ran.trace[:, given], False) for one, ran in zip(prepared, ideal, strict=True)
    ]
    return [task(scenario, one, name, False) for name in heater_names() for one in foreseen]
