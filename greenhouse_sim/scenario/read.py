"""Read a scenario file."""

from __future__ import annotations

import os
import re
import stat
import tomllib
from collections.abc import Mapping
from pathlib import Path
from typing import Any

from greenhouse_sim.errors import ScenarioError
from greenhouse_sim.scenario.lines import find_lines
from greenhouse_sim.scenario.model import Scenario, Written

_LARGEST_BYTES = 1_000_000
_PLACE = re.compile(r"\s*\(at (?:line (\d+), column (\d+)|end of document)\)$")


def read_scenario(path: str | os.PathLike[str]) -> Scenario:
    """Read and check a scenario file.

    Parameters
    ----------
    path
        A TOML file in UTF-8.

    Returns
    -------
    Scenario
        With every default filled in; weather files are not opened.

    Raises
    ------
    ScenarioError
        One message that names file, line and key, what is wrong and what to write.
    """
    file = os.fspath(path)
    return scenario_from_text(_text(file), file)


def scenario_from_text(text: str, file: str) -> Scenario:
    """A scenario from the text of a file of this name; otherwise as `read_scenario`."""
    return Scenario.build(Written(_parsed(text, file), file, find_lines(text)))


def scenario_from_dict(
    mapping: Mapping[str, Any], path: str | os.PathLike[str] | None = None
) -> Scenario:
    """A scenario from the same sections and keys as in a file (quantities as texts).

    Parameters
    ----------
    mapping
        Sections with their keys.
    path
        The file to name in messages and to look for weather files beside.

    Raises
    ------
    ScenarioError
        As `read_scenario`.
    """
    return Scenario.build(Written(dict(mapping), None if path is None else os.fspath(path)))


def _text(file: str) -> str:
    try:
        place = Path(file)
        about = place.stat()
        if stat.S_ISDIR(about.st_mode):
            raise ScenarioError(f"{file}: is a folder; name the scenario file in it")
        if not stat.S_ISREG(about.st_mode):
            raise ScenarioError(f"{file}: is not an ordinary file; name a scenario file")
        if about.st_size > _LARGEST_BYTES:
            raise ScenarioError(
                f"{file}: is {about.st_size / 1e6:.0f} MB, far too large for a scenario; "
                "name the scenario's .toml file"
            )
        data = place.read_bytes()
    except FileNotFoundError:
        raise ScenarioError(
            f'{file}: no such file; make one with "greenhouse-sim new {Path(file).name}"'
        ) from None
    except (OSError, ValueError) as problem:
        raise ScenarioError(f"{file!r}: cannot be read ({problem}); name a scenario file") from None
    return _decoded(data, file)


def _decoded(data: bytes, file: str) -> str:
    if data[:2] in (b"\xff\xfe", b"\xfe\xff") or b"\x00" in data[:200]:
        raise ScenarioError(f"{file}: is not UTF-8 text (it looks like UTF-16); save it as UTF-8")
    try:
        text = data.decode("utf-8-sig")
    except UnicodeDecodeError as problem:
        line = data[: problem.start].count(b"\n") + 1
        raise ScenarioError(
            f"{file}, line {line}: a character is not UTF-8; save the file as UTF-8"
        ) from None
    if not text.strip():
        raise ScenarioError(
            f'{file}: is empty; write a scenario, or make one with "greenhouse-sim new"'
        )
    return text


def _parsed(text: str, file: str) -> dict[str, Any]:
    try:
        return tomllib.loads(text)
    except RecursionError:
        raise ScenarioError(f"{file}: brackets are nested too deep; write plain lists") from None
    except ValueError as problem:
        raise ScenarioError(_syntax(str(problem), text, file)) from None


def _syntax(problem: str, text: str, file: str) -> str:
    place = _PLACE.search(problem)
    what = _PLACE.sub("", problem)
    if place is None or place[1] is None:
        at = file if place is None else f"{file}, line {len(text.splitlines())}"
    else:
        at = f"{file}, line {place[1]}, column {place[2]}"
    return (
        f"{at}: not valid TOML ({what[:1].lower()}{what[1:]}); texts and quantities need quotes: "
        'width = "30 ft", and a section starts with its name in brackets: [greenhouse]'
    )
