"""One message out of everything that is wrong with a scenario."""

from __future__ import annotations

import re
from collections.abc import Callable
from typing import TYPE_CHECKING, Any

from pydantic import BaseModel

from greenhouse_sim.scenario.fields import example_of, field_at
from greenhouse_sim.scenario.lines import Path
from greenhouse_sim.scenario.problem import Problem, shown

if TYPE_CHECKING:
    from pydantic_core import ErrorDetails

_INNER = ("schedule", "own")
"""Names of ours inside a value; the file has a list or a plain key there."""


def one_message(
    errors: list[ErrorDetails],
    model: type[BaseModel],
    file: str,
    line: Callable[[Path], int | None],
) -> str:
    """The first problem in the order of the file, and where the others are."""
    found = [(_path(error), _what(error, model)) for error in errors]
    found.sort(key=lambda one: line(one[0]) or 0)
    path, what = found[0]
    number = line(path)
    place = f"{file}, line {number}" if number else file
    others = list(dict.fromkeys(words(path) for path, _ in found[1:]))
    more = f" (then see also {', '.join(others[:5])}{' …' if others[5:] else ''})" if others else ""
    where = words(path)
    return f"{place}: {where}{': ' if where else ''}{what}{more}"


def words(path: Path) -> str:
    """``[greenhouse] north_wall.r_value`` or ``[greenhouse] mass 2, volume``."""
    if not path:
        return ""
    text = ""
    for key in path[1:]:
        if isinstance(key, int):
            text += f" {key + 1}, "
        elif key not in _INNER:
            name = key if re.fullmatch(r"[\w-]+", key) else shown(key)
            text += name if not text or text.endswith(" ") else f".{name}"
    return f"[{path[0]}] {text.strip(', ')}".strip()


def _path(error: ErrorDetails) -> Path:
    problem = error.get("ctx", {}).get("error")
    own: Path = problem.path if isinstance(problem, Problem) else ()
    return (*error["loc"], *own)


def _what(error: ErrorDetails, model: type[BaseModel]) -> str:
    path = _path(error)
    problem: Any = error.get("ctx", {}).get("error")
    if isinstance(problem, ValueError):
        return str(problem)
    field = field_at(model, path)
    example = example_of(field) if field else ""
    key = path[-1] if path else ""
    if error["type"] == "missing":
        return f"is missing; write {key} = {example or '…'}"
    if error["type"] in ("model_type", "model_attributes_type", "dict_type"):
        section = f"[{path[0]}]" if len(path) == 1 else f"{key} = {example or '{ … }'}"
        return f"{shown(error['input'])} is not a table of keys; write {section}"
    if error["type"] == "tuple_type":
        return f"{shown(error['input'])} is not a list; write {example or 'a list in [ ]'}"
    return f"cannot use {shown(error['input'])}: {error['msg']}"
