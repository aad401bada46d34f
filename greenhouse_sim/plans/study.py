"""What a study file asks for: a farm, what is varied on it, with which heaters, where.

    scenario = "farm.toml"                      # beside the study
    heaters = ["wood stove, large", "pellet stove"]
    draws = 100                                 # of everything in [draw]; with seed = 1
    [grid]                                      # every combination
    fuel.moisture = [0.15, 0.20, 0.30]
    crop.setpoint.night = { from = "38 degF", to = "48 degF", steps = 3 }
    [draw]                                      # at random, evenly
    greenhouse.air_changes = { from = "0.3 /hour", to = "1.5 /hour" }
    [[place]]                                   # without places, the scenario's own
    name = "Selkie Sound"
    weather = ["selkie_sound_typical.csv"]

Keys are those of a scenario. Reading a study builds the scenario with each end and each listed
value, so what is wrong with one is told before anything runs.
"""

from __future__ import annotations

import functools
import os
import tomllib
from collections.abc import Mapping
from dataclasses import dataclass
from pathlib import Path
from typing import TYPE_CHECKING, Any, NamedTuple

from greenhouse_sim.errors import ScenarioError
from greenhouse_sim.heater.catalogue import heater_table
from greenhouse_sim.plans.study_axis import Axis, axes_of
from greenhouse_sim.scenario import read_scenario, scenario_from_dict
from greenhouse_sim.scenario.change import changed
from greenhouse_sim.scenario.model import Scenario, Written
from greenhouse_sim.scenario.problem import did_you_mean, shown
from greenhouse_sim.scenario.section import Section
from greenhouse_sim.season.run import read_winters

if TYPE_CHECKING:
    from greenhouse_sim.weather import Weather

KEYS = ("scenario", "heaters", "draws", "seed", "grid", "draw", "place")
MOST_DRAWS = 10_000_000
BETWEEN = 0.37
"""Where in a drawn range a third value is tried: a range of whole numbers has only its ends."""


@dataclass(frozen=True, eq=False)
class Place:
    """Where the farm stands in a part of the study."""

    name: str
    raw: Mapping[str, Any]
    """The scenario's sections and keys, with the place's own site."""
    path: str | None
    """Where its weather files are looked for."""
    winters: tuple[Weather, ...]

    @functools.cached_property
    def unchanged(self) -> Scenario:
        """The scenario at this place."""
        return scenario_from_dict(self.raw, self.path)

    @functools.cached_property
    def _last(self) -> dict[str, _Read]:
        """Each section as it was read last."""
        return {}

    def scenario(self, changes: Mapping[str, Any]) -> Scenario:
        """The scenario at this place with keys changed.

        Only the sections of those keys are read anew, and those not whose keys are as they were
        the time before: a study asks this of every point.
        """
        asked: dict[str, dict[str, Any]] = {}
        for key, value in changes.items():
            asked.setdefault(key.partition(".")[0], {})[key] = value
        raw = dict(self.raw)
        known = {n: getattr(self.unchanged, n) for n in Scenario.model_fields if n not in asked}
        for name, own in asked.items():
            last = self._last.get(name)
            if last is not None and last.asked == repr(own):
                raw[name], known[name] = last.raw, last.section
            else:
                raw |= changed({n: raw[n] for n in (name,) if n in raw}, own)[0]
        scenario = Scenario.build(Written(raw, self.path), known=known)
        for name, own in asked.items():
            self._last[name] = _Read(repr(own), raw[name], getattr(scenario, name))
        return scenario


class _Read(NamedTuple):
    """A section that was read with some keys changed."""

    asked: str
    """The changes; as text, in which 1 is not True."""
    raw: Any
    section: Section | None


@dataclass(frozen=True, eq=False)
class Study:
    """A study, read and checked."""

    file: str
    places: tuple[Place, ...]
    heaters: tuple[str, ...]
    grid: tuple[Axis, ...]
    draw: tuple[Axis, ...]
    draws: int
    seed: int


def read_study(path: str | os.PathLike[str]) -> Study:
    """Read and check a study.

    Raises
    ------
    ScenarioError, WeatherError
        One message that names the study's file and key, what is wrong and what to write.
    """
    file = os.fspath(path)
    given = _parsed(file)
    for key in given:
        if key not in KEYS:
            raise ScenarioError(f"{file}: unknown key {shown(key)[1:-1]}{did_you_mean(key, KEYS)}")
    if not isinstance(given.get("scenario"), str):
        raise ScenarioError(f'{file}: scenario is missing; write scenario = "farm.toml"')
    scenario = read_scenario(Path(file).parent / given["scenario"])
    grid = axes_of(_table(file, given, "grid"), f"{file}: [grid]", steps=True)
    draw = axes_of(_table(file, given, "draw"), f"{file}: [draw]", steps=False)
    twice = {axis.key for axis in grid} & {axis.key for axis in draw}
    if twice:
        raise ScenarioError(f"{file}: {min(twice)} stands in [grid] and in [draw]; keep one")
    draws = _count(file, given, "draws", len(draw) > 0)
    seed = _whole(file, given, "seed", 1, 0)
    raw = scenario.written.raw
    places = _places(file, given.get("place", []), scenario)
    for axis in (*grid, *draw):
        section = "grid" if axis in grid else "draw"
        tried = axis.ends if axis in grid else (*axis.ends, axis.written(axis.between(BETWEEN)))
        for value in tried:
            _tried(raw, scenario.path, {axis.key: value}, f"{file}: [{section}] {axis.key}")
    return Study(file, places, _heaters(file, given, scenario), grid, draw, draws, seed)


def _parsed(file: str) -> dict[str, Any]:
    try:
        text = Path(file).read_text(encoding="utf-8-sig")
    except FileNotFoundError:
        raise ScenarioError(f"{file}: no such file; name a study, a TOML file") from None
    except (OSError, UnicodeDecodeError) as problem:
        raise ScenarioError(f"{file}: cannot be read ({problem}); name a study file") from None
    try:
        return tomllib.loads(text)
    except ValueError as problem:
        raise ScenarioError(
            f"{file}: not valid TOML ({problem}); a key that is varied looks like "
            "fuel.moisture = [0.15, 0.20] below [grid]"
        ) from None


def _table(file: str, given: Mapping[str, Any], key: str) -> Mapping[str, Any]:
    table = given.get(key, {})
    if not isinstance(table, dict):
        raise ScenarioError(f"{file}: {key} is not a table of keys; write [{key}]")
    return table


def _whole(file: str, given: Mapping[str, Any], key: str, default: int, least: int) -> int:
    value = given.get(key, default)
    if not isinstance(value, int) or isinstance(value, bool) or not least <= value <= MOST_DRAWS:
        raise ScenarioError(
            f"{file}: {key} = {shown(value)} is not a whole number from {least} to {MOST_DRAWS}; "
            f"write one such as {max(default, 100 if key == 'draws' else 1)}"
        )
    return value


def _count(file: str, given: Mapping[str, Any], key: str, wanted: bool) -> int:
    if wanted and key not in given:
        raise ScenarioError(f"{file}: [draw] needs a number of draws; write draws = 100 on top")
    if not wanted and key in given:
        raise ScenarioError(f"{file}: draws is given, but nothing to draw; write a [draw] table")
    return _whole(file, given, key, 1, 1)


def _heaters(file: str, given: Mapping[str, Any], scenario: Scenario) -> tuple[str, ...]:
    names = given.get("heaters", [scenario.heater.kind])
    if not isinstance(names, list) or not names or not all(isinstance(n, str) for n in names):
        raise ScenarioError(
            f'{file}: heaters is not a list of names; write heaters = ["pellet stove"]'
        )
    found = [heater_table(name, f"{file}: heaters")["name"].value for name in names]
    return tuple(dict.fromkeys(found))


def _places(file: str, given: Any, scenario: Scenario) -> tuple[Place, ...]:
    raw = scenario.written.raw
    if not given:
        winters = tuple(read_winters(scenario))
        return (Place(scenario.site.name, raw, scenario.path, winters),)
    if not isinstance(given, list) or not all(isinstance(one, dict) for one in given):
        raise ScenarioError(f"{file}: place is not a list of tables; write [[place]]")
    places = []
    for number, one in enumerate(given, start=1):
        where = f"{file}: place {number}"
        if not isinstance(one.get("name"), str) or "weather" not in one:
            raise ScenarioError(f'{where}: write name = "..." and weather = ["..."]')
        changes = {f"site.{key}": value for key, value in one.items()}
        here = _tried(raw, file, changes, where)
        places.append(Place(one["name"], here.written.raw, file, tuple(read_winters(here))))
    names = [place.name for place in places]
    if len(set(names)) < len(names):
        raise ScenarioError(f"{file}: two places have one name; give each a name of its own")
    return tuple(places)


def _tried(
    raw: Mapping[str, Any], path: str | None, changes: Mapping[str, Any], where: str
) -> Scenario:
    """The changed scenario, or its refusal with the study's own place in front."""
    try:
        return scenario_from_dict(changed(raw, changes)[0], path)
    except ScenarioError as problem:
        said = str(problem).removeprefix(f"{path}: ")
        raise ScenarioError(f"{where}: {said}") from None
