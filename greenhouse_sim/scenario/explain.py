"""Every value in force in a scenario, and where it comes from."""

from __future__ import annotations

import re
from collections.abc import Iterator
from datetime import date, datetime, time
from typing import Any, NamedTuple

from greenhouse_sim.scenario.defaults import fill
from greenhouse_sim.scenario.fields import field_at, unit_of
from greenhouse_sim.scenario.lines import Path
from greenhouse_sim.scenario.messages import words
from greenhouse_sim.scenario.model import Scenario
from greenhouse_sim.scenario.names import catalogue
from greenhouse_sim.tables import Row

_QUANTITY = re.compile(r"\s*([-+]?[\d.]+(?:[eE][-+]?\d+)?)\s*(1?/.*|[^\d\s].*)$")
_BY_KIND = ("heater", "backup")


class ExplainRow(NamedTuple):
    """One value in force, in the unit in which it was written."""

    section: str
    key: str
    value: str
    unit: str
    origin: str
    """``line 12``; ``changed`` since; ``scenario`` (given, not in a file); ``default``;
    ``catalogue``."""
    source: str
    """Of a default or a catalogue value: where it is known from."""


def explain(scenario: Scenario) -> list[ExplainRow]:
    """Every value in force, in the order of the sections.

    Parameters
    ----------
    scenario
        As read or changed.

    Returns
    -------
    list of ExplainRow
        One for each key; after the kind of a heater, the fields of the catalogue.
    """
    filled, defaults = fill(scenario.written.raw)
    rows: list[ExplainRow] = []
    for section in type(scenario).model_fields:
        for path, value in _leaves((section,), filled.get(section)):
            rows.append(_row(scenario, path, value, defaults))
            if len(path) == 2 and section in _BY_KIND and path[1] == "kind":
                rows.extend(_catalogue_rows(section, getattr(scenario, section), filled[section]))
    return rows


def _leaves(path: Path, value: Any) -> Iterator[tuple[Path, Any]]:
    if isinstance(value, dict):
        for key, below in value.items():
            yield from _leaves((*path, key), below)
    elif isinstance(value, (list, tuple)) and value and all(isinstance(v, dict) for v in value):
        for number, below in enumerate(value):
            yield from _leaves((*path, number), below)
    else:
        yield path, value


def _row(scenario: Scenario, path: Path, value: Any, defaults: dict[Path, Row]) -> ExplainRow:
    text, unit = _in_words(value)
    if isinstance(value, (int, float)) and not isinstance(value, bool):
        unit = unit_of(field_at(type(scenario), path))
    section, key = str(path[0]), words(path).partition("] ")[2]
    if path in defaults:
        return ExplainRow(section, key, text, unit, "default", _source(defaults[path]))
    line = scenario.written.line(path)
    if line is not None:
        return ExplainRow(section, key, text, unit, f"line {line}", "")
    origin = "changed" if scenario.written.is_changed(path) else "scenario"
    return ExplainRow(section, key, text, unit, origin, "")


def _catalogue_rows(section: str, choice: Any, given: dict[str, Any]) -> Iterator[ExplainRow]:
    """The catalogue's fields that the scenario leaves as they are."""
    for key, row in catalogue(choice.kind).items():
        if key not in given and key not in choice.overrides:
            unit = "" if row.unit in ("text", "1", "unit") else row.unit
            yield ExplainRow(section, key, row.value, unit, "catalogue", _source(row))


def _source(row: Row) -> str:
    return f"{row.source}; {row.note}" if row.note else row.source


def _in_words(value: Any) -> tuple[str, str]:
    """A value as text, and its unit where it has one."""
    if isinstance(value, bool):
        return str(value).lower(), ""
    if isinstance(value, str):
        match = _QUANTITY.match(value)
        if match and not re.fullmatch(r"[\d:\- ]+", value):
            return match[1], match[2].removeprefix("1")
        return value, ""
    if isinstance(value, (list, tuple)):
        return ", ".join(
            " to ".join(_in_words(one)[0] for one in item)
            if isinstance(item, (list, tuple))
            else _in_words(item)[0]
            for item in value
        ), ""
    if isinstance(value, float):
        return f"{value:.6g}", ""
    if isinstance(value, (datetime, date, time)):
        return str(value), ""
    return str(value), ""
