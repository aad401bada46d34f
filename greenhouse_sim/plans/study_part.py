"""Run one part of a study: rows in, a Parquet file's bytes out."""

from __future__ import annotations

import io
import threading
from collections.abc import Mapping, Sequence
from typing import TYPE_CHECKING, Any

from greenhouse_sim.errors import GreenhouseError, ScenarioError
from greenhouse_sim.plans.design_of_study import Design, Part, Point
from greenhouse_sim.plans.ledgers import (
    Held,
    calendar_key,
    calendars,
    held,
    ledger_of,
    tasks_of,
    tended,
)
from greenhouse_sim.season.many import run_many
from greenhouse_sim.season.run import ready

if TYPE_CHECKING:
    from greenhouse_sim.routine.numbers import Calendar
    from greenhouse_sim.scenario import Scenario

TEXTS = ("place", "heater", "winter", "site", "fuel", "lowest_air_at", "first_below_damage_at")
"""Columns of words (and of times, ISO 8601); all others but words of the study are numbers."""
LEFT_OUT = ("fuel_by_month", "site")
"""Of the ledger: months differ from winter to winter, and the place has its own column."""


class Runner:
    """Runs parts of a study, one after another; remembers the last house's winters."""

    def __init__(self, design: Design, engine: str, workers: int | None = None) -> None:
        self.design, self.engine, self.workers = design, engine, workers
        self._last: tuple[str, list[Held]] = ("", [])
        self._last_days: tuple[str, list[Calendar]] = ("", [])

    def rows(self, part: Part) -> list[dict[str, Any]]:
        """The seasons of a part, a row each: point, place, what is varied, then the ledger."""
        found: list[dict[str, Any]] = []
        for number in range(part.first, part.last):
            found.extend(self._seasons(self.design.point(number)))
        return found

    def _seasons(self, point: Point) -> list[dict[str, Any]]:
        try:
            scenario = point.place.scenario(point.changes)
        except ScenarioError as problem:
            said = ", ".join(f"{key} = {value}" for key, value in point.changes.items())
            raise ScenarioError(
                f"{self.design.study.file}: {said} do not go together: {problem}"
            ) from None
        houses = self._held(scenario, point)
        winters = tended(scenario, houses, self._days(scenario, houses))
        rows = []
        for kind in self.design.study.heaters:
            tasks = tasks_of(scenario, kind, winters)
            done = run_many(tasks, self.engine, self.workers)
            for winter, house, ran in zip(winters, houses, done, strict=True):
                ledger = ledger_of(scenario, kind, winter, ran, house.need_kWh)
                rows.append(_row(point, ledger))
        return rows

    def _held(self, scenario: Scenario, point: Point) -> list[Held]:
        sections = (scenario.site, scenario.greenhouse, scenario.crop, scenario.heater)
        ideal = scenario.heater.kind == "ideal"
        key = "".join(s.model_dump_json() for s in (sections if ideal else sections[:3]))
        if self._last[0] != key:
            prepared = [ready(scenario, weather) for weather in point.place.winters]
            self._last = (key, held(scenario, prepared, self.engine, self.workers))
            self._last_days = ("", [])
        return self._last[1]

    def _days(self, scenario: Scenario, houses: Sequence[Held]) -> list[Calendar]:
        key = calendar_key(scenario)
        if self._last_days[0] != key:
            self._last_days = (key, calendars(scenario, houses))
        return self._last_days[1]


def _row(point: Point, ledger: Mapping[str, Any]) -> dict[str, Any]:
    row: dict[str, Any] = {"point": point.number, "place": point.place.name, **point.values}
    for key, value in ledger.items():
        if key in LEFT_OUT:
            continue
        if isinstance(value, Mapping):
            row |= {f"{key}_{part}": one for part, one in value.items()}
        else:
            row[key] = value
    return row


def parquet(design: Design, rows: list[dict[str, Any]]) -> bytes:
    """The rows as a Parquet file: the same columns and kinds for every part."""
    pa = arrow()
    import pyarrow.parquet

    words = {axis.column for axis in (*design.study.grid, *design.study.draw) if axis.words}
    flags = {
        axis.column for axis in design.study.grid if all(isinstance(v, bool) for v in axis.values)
    }

    def kind(name: str) -> Any:
        if name == "point":
            return pa.int64()
        if name in flags:
            return pa.bool_()
        return pa.string() if name in TEXTS or name in words else pa.float64()

    columns = {
        name: pa.array([str(row[name]) if name in words else row[name] for row in rows], kind(name))
        for name in rows[0]
    }
    sink = io.BytesIO()
    pyarrow.parquet.write_table(pa.table(columns), sink, compression="zstd")
    return sink.getvalue()


def arrow() -> Any:
    """pyarrow, or a word on how to get it."""
    try:
        import pyarrow
    except ImportError:
        raise GreenhouseError(
            "a study writes Parquet, which needs pyarrow; install it with "
            '"pip install greenhouse-sim[study]"'
        ) from None
    return pyarrow


_HERE = threading.local()


def run_part(study_key: str, design: Design, engine: str, part: Part) -> bytes:
    """Run a part in a worker: one thread of it remembers the last house that it ran.

    Parameters
    ----------
    study_key
        Hash of the study, so that another study's house is never taken.
    design, engine
        What to run.
    part
        Which part.
    """
    if getattr(_HERE, "key", None) != study_key:
        _HERE.key, _HERE.runner = study_key, Runner(design, engine, workers=1)
    return parquet(design, _HERE.runner.rows(part))
