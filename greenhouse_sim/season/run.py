"""From a scenario and its weather to seasons: everything before and after the loop."""

from __future__ import annotations

import functools
from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass
from pathlib import Path
from types import MappingProxyType
from typing import TYPE_CHECKING, Any, NamedTuple

import numpy as np

from greenhouse_sim.drive.cache import made, prepare
from greenhouse_sim.errors import ScenarioError
from greenhouse_sim.greenhouse.numbers import Drive, House
from greenhouse_sim.greenhouse.vapour_numbers import Moisture
from greenhouse_sim.heater.backup import backup_numbers
from greenhouse_sim.heater.burnt import default_fuel, fuel_note
from greenhouse_sim.heater.catalogue import labour
from greenhouse_sim.heater.cord import mass_of_stack
from greenhouse_sim.heater.fuel import Fuel, fuel_for
from greenhouse_sim.heater.heater import efficiency_notes, heater_numbers
from greenhouse_sim.heater.numbers import Heater
from greenhouse_sim.routine.calendar import calendar, habits
from greenhouse_sim.routine.numbers import Calendar
from greenhouse_sim.season import tally as at
from greenhouse_sim.season.damp import ROUNDS, Damp, Line, damp_of, with_vapour
from greenhouse_sim.season.ledger import Identity, make_ledger
from greenhouse_sim.season.many import (
    Advance,
    Tallied,
    Task,
    Tell,
    engine_name,
    on_threads,
    run_many,
    vapour_function,
)
from greenhouse_sim.season.modes import Walk, slow_parts, walk_of
from greenhouse_sim.units import KWH_J
from greenhouse_sim.weather import Weather, find_weather, read_weather, winters

if TYPE_CHECKING:
    import pandas as pd

    from greenhouse_sim.drive.outdoors import Outdoors
    from greenhouse_sim.scenario import Scenario


class Winter(NamedTuple):
    """A winter ready for the loop; shared by all heaters."""

    weather: Weather
    house: House
    drive: Drive
    calendar: Calendar
    walk: Walk
    moisture: Moisture
    damp: Damp | None = None
    """The winter's vapour, once an ideal run has shown it; None for test boxes."""


@dataclass(frozen=True, eq=False)
class Season:
    """One heater through one winter."""

    ledger: Mapping[str, Any]
    """Keys as the glossary has them."""
    prepared: Winter
    """The winter as it was run, so that it can be run again with something changed."""
    _trace: np.ndarray

    @property
    def weather(self) -> Weather:
        """The winter's weather."""
        return self.prepared.weather

    @property
    def drive(self) -> Drive:
        """What the winter did to the greenhouse, hour by hour."""
        return self.prepared.drive

    @property
    def heater(self) -> str:
        """Name of the heater."""
        return str(self.ledger["heater"])

    @property
    def winter(self) -> str:
        """Name of the winter."""
        return str(self.ledger["winter"])

    @property
    def traced(self) -> bool:
        """Whether the hourly trace was kept."""
        return self._trace.shape[0] > 0

    def column(self, name: str) -> np.ndarray:
        """One column of the trace as numbers, shape (hours,); see `tally.TRACE`."""
        if not self.traced:
            raise ValueError("this season was run without its hourly trace")
        return self._trace[:, at.TRACE.index(name)]

    @functools.cached_property
    def trace(self) -> pd.DataFrame:
        """The season hour by hour (hour-beginning local standard time).

        Columns: out_C, setpoint_C, air_C, heater_W, backup_W, fuel_kg, loaded_kg, woken,
        store_C, soil_C, vent_W, cause (text), visit, fuel_left_kg, crop_C (the air at the
        plants). Means over the hour.
        """
        import pandas as pd

        from greenhouse_sim.season.ledger import CAUSES

        if not self.traced:
            raise ValueError("this season was run without its hourly trace")
        frame = pd.DataFrame(self._trace, columns=list(at.TRACE))
        frame.index = pd.DatetimeIndex(self.weather.times(), name="time")
        frame.insert(0, "out_C", self.drive.t_out)
        frame.insert(1, "setpoint_C", self.drive.setpoint)
        words = {float(place): cause for cause, place in CAUSES.items()}
        frame["cause"] = [words.get(code, "") for code in self._trace[:, at.TRACE.index("cause")]]
        return frame


def read_records(scenario: Scenario, files: Sequence[str] | None = None) -> list[Weather]:
    """The whole weather files of the scenario (or ``files``), uncut.

    Raises
    ------
    WeatherError
        A file cannot be found or used.
    """
    base = Path(scenario.path).parent if scenario.path and not files else Path.cwd()
    site = scenario.site
    return [
        read_weather(
            find_weather(name, base),
            latitude=site.latitude,
            longitude=site.longitude,
            elevation_m=site.elevation,
            utc_offset_h=site.utc_offset,
        )
        for name in files or site.weather
    ]


def read_winters(scenario: Scenario, files: Sequence[str] | None = None) -> list[Weather]:
    """Every winter of the scenario's weather files (or of ``files``), cut to its season."""
    site = scenario.site
    return [
        winter
        for record in read_records(scenario, files)
        for winter in winters(record, site.season_start, site.season_end)
    ]


def ready(
    scenario: Scenario,
    weather: Weather,
    outdoors: Outdoors | None = None,
    days: Calendar | None = None,
) -> Winter:
    """Prepare one winter: greenhouse, drive and the grower's calendar.

    Parameters
    ----------
    scenario, weather
        The farm and the winter.
    outdoors
        The weather's, where many greenhouses are tried in it: they share it, and none is kept on
        disk.
    days
        The calendar, where it is known.
    """
    if outdoors is None:
        house, drive, moisture = prepare(scenario, weather)
    else:
        house, drive, moisture = made(scenario, weather, outdoors)
    if days is None:
        days = calendar(scenario.routine, scenario.site.power_cuts, weather.start, weather.hours)
    return Winter(weather, house, drive, days, walk_of(house, drive), moisture)


def expecting(winter: Winter, needed_W: np.ndarray, habit: bool) -> Winter:
    """The winter as the grower expects it: heat for each hour ahead.

    With a forecast it is what an ideal heater needs; a grower of habit takes tomorrow for
    another yesterday.
    """
    need = np.concatenate([needed_W[:24], needed_W[:-24]]) if habit else needed_W
    total = np.concatenate([[0.0], np.cumsum(need) * 3600.0])
    drive = winter.drive._replace(need_w=np.ascontiguousarray(need), need_sum_j=total)
    hours = winter.walk.hours._replace(need_sum_j=total)
    return winter._replace(drive=drive, walk=winter.walk._replace(hours=hours))


def scenario_fuel(scenario: Scenario) -> Fuel:
    """The fuel that the scenario names, at its moisture."""
    return fuel_for(scenario.fuel.species, scenario.fuel.moisture)


def notes(scenario: Scenario, heaters: Iterable[str]) -> list[str]:
    """Sentences that a reader of the results should know of the heaters and their fuel."""
    said: list[str] = []
    fuel = scenario_fuel(scenario)
    for kind in heaters:
        own = scenario.heater.overrides if kind == scenario.heater.kind else {}
        said.extend(efficiency_notes(kind, own))
        if kind == scenario.heater.kind:
            said.append(fuel_note(kind, fuel))
    return [text for text in dict.fromkeys(said) if text]


def task(scenario: Scenario, winter: Winter, kind: str, traced: bool) -> Task:
    """One season to run: this heater in this winter.

    The scenario's overrides belong to the scenario's own heater; its count holds for all.
    """
    fuel = scenario_fuel(scenario)
    own = scenario.heater.overrides if kind == scenario.heater.kind else {}
    heater = heater_numbers(kind, scenario.heater.count, own, fuel)
    walk = winter.walk
    if not np.any(winter.house.node_heat > 0.0):
        heater = heater._replace(floor_share=0.0)
    elif kind == scenario.heater.kind and winter.house.crop_covered > 0.5:
        walk, heater = laid_under_cover(walk, heater, scenario.heater.bench_share)
    if scenario.backup is None or kind == "ideal":
        backup = backup_numbers()
    else:
        backup = backup_numbers(
            scenario.backup.kind, scenario.backup.overrides, scenario.backup.starts_below
        )
    burnt = default_fuel(kind, fuel)
    pile = scenario.fuel.pile
    pile_kg = float("inf")
    if pile is not None and burnt.kind == "wood":
        pile_kg = mass_of_stack(float(pile), burnt)
    return Task(
        walk,
        winter.calendar,
        habits(scenario.routine),
        heater,
        backup,
        pile_kg,
        traced,
    )


def laid_under_cover(walk: Walk, heater: Heater, bench_share: float) -> tuple[Walk, Heater]:
    """A heater some of whose heat goes to the crop's own air, the rest of what is laid to the soil.

    The crop's air is the first node, the soil's first layer the second.
    """
    laid = heater.floor_share + bench_share
    if bench_share <= 0.0:
        return walk, heater
    falls = np.zeros_like(walk.house.node_heat)
    falls[:2] = bench_share / laid, heater.floor_share / laid
    house = walk.house._replace(node_heat=falls)
    return walk._replace(house=house, slow=slow_parts(house)), heater._replace(floor_share=laid)


def run_seasons(
    scenario: Scenario,
    heaters: Sequence[str],
    weather: Sequence[Weather] | None = None,
    *,
    traced: bool = False,
    engine: str = "auto",
    workers: int | None = None,
    tell: Tell | None = None,
    advance: Advance | None = None,
) -> list[Season]:
    """Run every heater through every winter.

    Parameters
    ----------
    scenario
        The scenario.
    heaters
        Names of the catalogue.
    weather
        The winters; the scenario's own where not given.
    traced
        Keep each season's hourly trace.
    engine, workers, tell, advance
        See `greenhouse_sim.season.many.run_many`. ``advance`` counts winters prepared and
        seasons run: len(weather) × (len(heaters) + 2) in all.

    Returns
    -------
    list of Season
        Heater by heater, winters in order.

    Raises
    ------
    ScenarioError, WeatherError
        Something cannot be used; the message says what and what to write instead.
    """
    records = list(weather) if weather is not None else read_winters(scenario)
    if not records:
        raise ScenarioError("[site] weather: no winter to run; write at least one weather file")
    prepared = []
    for record in records:
        prepared.append(ready(scenario, record))
        if advance is not None:
            advance(1)
    chosen = engine_name(engine, len(records) * (len(heaters) + 1 + ROUNDS))
    prepared, ideal = held_ideally(scenario, prepared, chosen, workers, tell)
    if advance is not None:
        advance(len(prepared))
    habit = scenario.routine.looks_ahead == "habit"
    column = at.TRACE.index("heater_W")
    expected = [
        expecting(winter, tallied.trace[:, column], habit)
        for winter, tallied in zip(prepared, ideal, strict=True)
    ]
    needs = [float(tallied.total[at.HEAT_J]) / KWH_J for tallied in ideal]
    order = [(kind, i) for kind in heaters for i in range(len(expected))]
    tasks = [task(scenario, expected[i], kind, traced) for kind, i in order]
    done = run_many(tasks, chosen, workers, tell, advance)
    fuel = scenario_fuel(scenario)
    return [
        _season(scenario, kind, expected[i], default_fuel(kind, fuel), tallied, needs[i])
        for (kind, i), tallied in zip(order, done, strict=True)
    ]


def held_ideally(
    scenario: Scenario,
    prepared: Sequence[Winter],
    engine: str,
    workers: int | None = None,
    tell: Tell | None = None,
) -> tuple[list[Winter], list[Tallied]]:
    """Every winter under the ideal heater, and with the vapour that its air then gives off."""
    settled = list(prepared)
    moist = [i for i, winter in enumerate(prepared) if winter.moisture.vapour.volume_m3 > 0.0]
    lines: dict[int, Line] = {}

    def of(ran: tuple[Winter, np.ndarray]) -> Damp:
        winter, trace = ran
        walk = vapour_function(engine)
        return damp_of(winter.moisture, winter.walk, winter.drive, trace, walk)

    for turn in range(ROUNDS + 1):
        tasks = [task(scenario, winter, "ideal", True) for winter in settled]
        ideal = run_many(tasks, engine, workers, tell)
        if turn == ROUNDS or not moist:
            break
        damps = on_threads(of, [(prepared[i], ideal[i].trace) for i in moist], engine, workers)
        for i, damp in zip(moist, damps, strict=True):
            base = prepared[i]
            lines[i] = damp.line.halfway(lines.get(i, damp.line))
            walk = with_vapour(base.walk, base.drive, lines[i])
            settled[i] = base._replace(walk=walk, damp=damp)
    return settled, ideal


def _season(
    scenario: Scenario, kind: str, winter: Winter, fuel: Fuel, tallied: Tallied, need_kWh: float
) -> Season:
    who = Identity(
        kind,
        scenario.heater.count,
        winter.weather.name,
        winter.weather.site or scenario.site.name,
        fuel,
        labour(kind).build_min / 60.0 * scenario.heater.count,
    )
    ledger = make_ledger(
        who, winter.weather, tallied.total, tallied.month_kg, need_kWh, winter.damp
    )
    return Season(MappingProxyType(ledger), winter, tallied.trace)


def simulate(scenario: Scenario, weather: Weather | None = None, *, engine: str = "auto") -> Season:
    """Run the scenario's heater through one winter, with its hourly trace.

    ``weather`` is a record or one winter of it; without it the scenario's first winter.
    A record is cut to the scenario's season first.
    """
    if weather is None:
        chosen = read_winters(scenario)[0]
    else:
        chosen = winters(weather, scenario.site.season_start, scenario.site.season_end)[0]
    return run_seasons(scenario, [scenario.heater.kind], [chosen], traced=True, engine=engine)[0]
