"""In which line of a TOML text a key stands."""

from __future__ import annotations

import re
from collections.abc import Mapping, Sequence

Path = tuple[str | int, ...]

_KEY = r"""(?:"[^"\n]*"|'[^'\n]*'|[\w-]+)"""
_DOTTED = rf"{_KEY}(?:\s*\.\s*{_KEY})*"
_HEADER = re.compile(rf"\s*(\[\[?)\s*({_DOTTED})\s*\]")
_ASSIGNMENT = re.compile(rf"\s*({_DOTTED})\s*=")
_ONE_KEY = re.compile(_KEY)


def find_lines(text: str) -> dict[Path, int]:
    """Line number of every section and key that starts a line (inline tables count as one)."""
    lines: dict[Path, int] = {}
    rows: dict[Path, int] = {}
    section: Path = ()
    for number, line in enumerate(text.split("\n"), start=1):
        if header := _HEADER.match(line):
            section = _section(header[2], header[1] == "[[", rows)
            _note(lines, section, number)
        elif assignment := _ASSIGNMENT.match(line):
            _note(lines, section + _keys(assignment[1]), number)
    return lines


def line_of(lines: Mapping[Path, int], path: Sequence[str | int]) -> int | None:
    """The line of a key, or of the nearest thing around it that has one."""
    for end in range(len(path), 0, -1):
        number = lines.get(tuple(path[:end]))
        if number is not None:
            return number
    return None


def _note(lines: dict[Path, int], path: Path, number: int) -> None:
    for end in range(1, len(path) + 1):
        lines.setdefault(path[:end], number)


def _keys(dotted: str) -> Path:
    return tuple(key.strip("\"'") for key in _ONE_KEY.findall(dotted))


def _section(dotted: str, is_row: bool, rows: dict[Path, int]) -> Path:
    """The path of a header; a ``[[row]]`` header starts the next row of its list."""
    path: Path = ()
    keys = _keys(dotted)
    for place, key in enumerate(keys, start=1):
        path = (*path, key)
        if is_row and place == len(keys):
            rows[path] = rows.get(path, -1) + 1
        if path in rows:
            path = (*path, rows[path])
    return path
