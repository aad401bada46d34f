"""The text of a scenario with some values changed; everything else stays as it was written."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any

import tomlkit
from tomlkit.exceptions import TOMLKitError
from tomlkit.items import InlineTable, Table

from greenhouse_sim.errors import ScenarioError
from greenhouse_sim.page.asked import at
from greenhouse_sim.scenario.defaults import PARTS
from greenhouse_sim.scenario.lines import Path
from greenhouse_sim.scenario.read import scenario_from_text

DOME_HAS_NO = (("greenhouse", "length"), ("greenhouse", "sidewall"))
KEPT_WITH_KIND = {"heater": ("kind", "count"), "backup": ("kind", "starts_below")}


def changed_text(text: str, name: str, changes: Mapping[Path, Any]) -> str:
    """The text with these values in it.

    Parameters
    ----------
    text
        A scenario file.
    name
        What to call it in messages.
    changes
        New values by their paths; None takes a key out.

    Raises
    ------
    ScenarioError
        The text is no TOML, or is written so that a value cannot be put into it.
    """
    try:
        page = tomlkit.parse(text)
        for path, value in changes.items():
            _put(page, path, value)
        written = tomlkit.dumps(page)
        raw = tomlkit.parse(written).unwrap()
    except (TOMLKitError, TypeError, ValueError, KeyError) as problem:
        scenario_from_text(text, name)  # says better what is wrong with the text itself
        raise ScenarioError(f"{name}: a value cannot be put into it ({problem})") from None
    for path, value in changes.items():
        if value is not None and at(raw, path) != value:
            raise ScenarioError(
                f"{name}: {'.'.join(map(str, path))} is written in a way that cannot be changed "
                "here; change it in the file"
            )
    return written


def _put(page: Any, path: Path, value: Any) -> None:
    node = page
    for depth, key in enumerate(path[:-1], start=1):
        below = node.get(key)
        if isinstance(below, str) and path[depth] in PARTS.get(path[:depth], ()):
            below = _parts(path[:depth], below)
            node[key] = below
        elif not isinstance(below, Mapping):
            if value is None:
                return
            below = tomlkit.table()
            node[key] = below
        node = node[key]
    key = path[-1]
    if value is None:
        node.pop(key, None)
        return
    if key == "kind" and isinstance(node, Table | InlineTable) and node.get("kind") != value:
        for old in [one for one in node if one not in KEPT_WITH_KIND[str(path[0])]]:
            node.pop(old)
    node[key] = value


def _parts(path: Path, value: str) -> InlineTable:
    table = tomlkit.inline_table()
    for part in PARTS[path]:
        table[part] = value
    return table
