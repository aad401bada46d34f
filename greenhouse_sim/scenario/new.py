"""A new scenario file out of a few answers."""

from __future__ import annotations

import contextlib
import os
from collections.abc import Mapping
from pathlib import Path
from string import Template
from typing import NamedTuple

from greenhouse_sim.errors import ScenarioError
from greenhouse_sim.scenario.defaults import default_value
from greenhouse_sim.scenario.greenhouse import SHAPES
from greenhouse_sim.scenario.names import COVER, heaters, species
from greenhouse_sim.scenario.problem import did_you_mean
from greenhouse_sim.scenario.read import scenario_from_text
from greenhouse_sim.tables import read_keyed
from greenhouse_sim.units import to_si

_TEMPLATE = Path(__file__).with_name("new.toml")


class Question(NamedTuple):
    """One thing to ask a grower."""

    key: str
    words: str
    default: str
    choices: tuple[str, ...] = ()
    """Names to choose from; empty for a free answer."""


def questions() -> list[Question]:
    """What to ask for a new scenario, with an answer for those who only press Enter."""
    shapes = tuple(shape for shape in SHAPES if shape != "surfaces")
    return [
        Question("name", "Name of the place", "my greenhouse"),
        Question(
            "weather",
            "Weather file (EPW, TMY3 or CSV; several with commas)",
            "tamarack_flats_typical.csv",
        ),
        Question("shape", "Shape of the greenhouse", "hoop", shapes),
        Question("width", "Width (of a dome: diameter)", "30 ft"),
        Question("length", "Length (of a dome: leave it)", "72 ft"),
        Question("sidewall", "Height of the sidewall (of a dome: leave it)", "5 ft"),
        Question("ridge", "Height of the ridge over the floor", "13 ft"),
        Question("cover", "Cover", "double poly inflated", COVER.known()),
        Question("setpoint_night", "Lowest air temperature wanted by night", "42 degF"),
        Question("heater", "Heater", "wood stove, large", heaters()),
        Question("species", "Species of wood, or fuel", "red oak", species()),
        Question("up", "You get up at", "06:00"),
        Question("bed", "You go to bed at", "22:00"),
        Question(
            "gets_up_below", "Temperature at which you would get up at night, or never", "36 degF"
        ),
    ]


def new_scenario_text(answers: Mapping[str, str] | None = None) -> str:
    """A commented scenario.

    Parameters
    ----------
    answers
        By the keys of `questions`; what is left out takes the default.

    Returns
    -------
    str
        TOML that reads back without an error.

    Raises
    ------
    ScenarioError
        An answer that makes no usable scenario, or to no question.
    """
    asked = {question.key: question for question in questions()}
    given = dict(answers or {})
    for key in given:
        if key not in asked:
            raise ScenarioError(f"no question {key!r}{did_you_mean(key, asked)}")
    told = {key: given.get(key, "").strip() or one.default for key, one in asked.items()}
    files = [_quoted(file.strip()) for file in told.pop("weather").split(",") if file.strip()]
    values = {key: _quoted(answer) for key, answer in told.items()}
    values["setpoint_day"] = _quoted(_by_day(told["setpoint_night"]))
    values["weather"] = f"[{', '.join(files)}]"
    text = Template(_TEMPLATE.read_text(encoding="utf-8")).substitute(values)
    if told["shape"] == "dome":
        text = "".join(
            line
            for line in text.splitlines(keepends=True)
            if not line.startswith(("length =", "sidewall ="))
        )
    scenario_from_text(text, "new scenario")
    return text


def write_new(path: str | os.PathLike[str], text: str) -> None:
    """Write a new scenario file, whole or not at all.

    Parameters
    ----------
    path
        Where to write; nothing may be there yet.
    text
        The file's text.

    Raises
    ------
    ScenarioError
        Something is there already, or the folder cannot be written to.
    """
    target = Path(path)
    if not target.name:
        raise ScenarioError(f"{target}: is a folder; name a file in it, such as farm.toml")
    if target.exists():
        raise ScenarioError(f"{target}: is there already; name a new file, or remove it first")
    part = target.with_name(f".{target.name}.{os.getpid()}.part")
    try:
        part.write_text(text, encoding="utf-8")
        part.replace(target)
    except OSError as problem:
        raise ScenarioError(
            f"{target}: cannot be written ({problem}); name another place"
        ) from None
    finally:
        with contextlib.suppress(OSError):
            part.unlink()


def _by_day(night: str) -> str:
    """The default setpoint by day, or the one by night where that is higher."""
    day = default_value(read_keyed("defaults")["crop.setpoint.day"])
    warmer = to_si(night, "degC", "setpoint_night", "42 degF") > to_si(
        day, "degC", "crop.setpoint.day"
    )
    return night if warmer else day


def _quoted(text: str) -> str:
    """A TOML basic string."""
    escaped = text.replace("\\", "\\\\").replace('"', '\\"')
    return '"' + "".join(c if c.isprintable() else f"\\u{ord(c):04x}" for c in escaped) + '"'
