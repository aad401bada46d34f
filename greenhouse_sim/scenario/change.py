"""Changes to a scenario as it was written."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any

from greenhouse_sim.errors import ScenarioError
from greenhouse_sim.scenario.copies import copy_of
from greenhouse_sim.scenario.defaults import PARTS
from greenhouse_sim.scenario.lines import Path

_BY_KIND = ("heater", "backup")
"""Sections that a single name can stand for."""


def changed(
    raw: Mapping[str, Any], changes: Mapping[str, Any]
) -> tuple[dict[str, Any], frozenset[Path]]:
    """A copy of the mapping with the changes in it, and the paths of what changed."""
    copied = copy_of(dict(raw))
    paths: set[Path] = set()
    for dotted, value in changes.items():
        path: Path = tuple(dotted.split("."))
        if len(path) == 1 and dotted in _BY_KIND and value is not None:
            _change_heater(copied, dotted, value, paths)
        elif len(path) == 1 and isinstance(value, Mapping):
            for key, one in value.items():
                _change(copied, (dotted, key), one, paths)
        else:
            _change(copied, path, value, paths)
    return copied, frozenset(paths)


def _change_heater(copied: dict[str, Any], section: str, value: Any, paths: set[Path]) -> None:
    """A new kind brings its own fields; when a backup holds does not depend on its kind."""
    new = {"kind": value} if isinstance(value, str) else value
    if not isinstance(new, Mapping) or value == "none":
        _change(copied, (section,), value, paths)
        return
    old = copied.get(section)
    kept = dict(old) if isinstance(old, dict) else {}
    if new.get("kind", kept.get("kind")) != kept.get("kind"):
        kept = {key: kept[key] for key in ("starts_below",) if key in kept}
    copied[section] = kept | copy_of(dict(new))
    paths.update((section, key) for key in new)


def _change(copied: dict[str, Any], path: Path, value: Any, paths: set[Path]) -> None:
    paths.add(path)
    node: Any = copied
    for depth, key in enumerate(path[:-1], start=1):
        parts = PARTS.get(path[:depth], ())
        below = node.get(key)
        if below is None or below == "none":
            below = {}
        elif not isinstance(below, dict) and path[depth] in parts and not isinstance(below, list):
            below = dict.fromkeys(parts, below)
        if not isinstance(below, dict):
            raise ScenarioError(
                f"{'.'.join(map(str, path))}: {'.'.join(map(str, path[:depth]))} is not a table "
                "here; change it as a whole"
            )
        node[key] = below
        node = below
    if value is None:
        node.pop(path[-1], None)
    else:
        node[path[-1]] = copy_of(value)
