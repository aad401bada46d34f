"""From what was written into the form to a scenario, or to what is wrong with each answer."""

from __future__ import annotations

import re
from collections.abc import Mapping, Sequence
from pathlib import Path as Folder
from typing import Any, NamedTuple

from greenhouse_sim.errors import ScenarioError
from greenhouse_sim.page.asked import (
    LONGEST,
    UNITS,
    UNITS_CHOICES,
    WEATHER,
    Field,
    fields,
    kind_of,
    shown,
)
from greenhouse_sim.page.scenario_text import DOME_HAS_NO, changed_text
from greenhouse_sim.scenario import Scenario
from greenhouse_sim.scenario.kinds import Text
from greenhouse_sim.scenario.lines import Path
from greenhouse_sim.scenario.problem import Problem, did_you_mean
from greenhouse_sim.scenario.read import scenario_from_text
from greenhouse_sim.weather.find import ENDINGS, sample_names

FILE = "the form"
MOST_FILES = 200
MAY_BE_MISSING: dict[Path, tuple[str, str]] = {
    ("backup",): ("backup.kind", "none"),
    ("routine", "work"): ("routine.work.days", ""),
}
"""Tables of the file, and the answer that leaves each out."""
PLACE = re.compile(r"^.*?: \[(\w+)\] ([\w.]+):? (.*)$", re.DOTALL)


class Answers(NamedTuple):
    """What stands in a form: one tab's, handed back and forth with it."""

    base: str
    """The scenario's text that the answers change."""
    given: dict[str, str | None]
    """By the keys of the fields; None where the text says more than a field can."""
    weather: tuple[str, ...]
    units: str = "us"


class Checked(NamedTuple):
    """A form that was looked at."""

    answers: Answers
    scenario: Scenario | None
    text: str
    """The scenario's file; empty where something is wrong."""
    wrong: dict[str, str]
    """Messages by the keys of their fields; "" for one that belongs to none."""


def first_answers(text: str, units: str = "us") -> Answers:
    """What a form shows for a scenario's text.

    Raises
    ------
    ScenarioError
        The text is no scenario.
    """
    scenario = scenario_from_text(text, FILE)
    return Answers(text, shown(scenario.written.raw), scenario.site.weather, units)


def weather_choices(folder: Folder) -> tuple[str, ...]:
    """Weather files to choose from: those in the folder, and the samples."""
    try:
        found = sorted(one.name for one in folder.iterdir() if one.suffix.lower() in ENDINGS)
    except OSError:
        found = []
    return tuple(dict.fromkeys([*found[:MOST_FILES], *sample_names()]))


def read_answers(form: Mapping[str, str], weather: Sequence[str], base: str) -> Answers:
    """The answers that a form sent; what it left out stays as the text has it.

    Raises
    ------
    ScenarioError
        The text that the form carries is no scenario.
    """
    text = base.replace("\r\n", "\n")
    scenario = scenario_from_text(text, FILE)
    was = shown(scenario.written.raw)
    kept = [name for name in scenario.site.weather if name in weather]
    given = {
        key: None if old is None else _bare(key, " ".join(form.get(key, old).split()))
        for key, old in was.items()
    }
    return Answers(text, given, tuple(dict.fromkeys([*kept, *weather])), form.get(UNITS, "us"))


def _bare(key: str, text: str) -> str:
    """An answer without the quotes that messages put around their examples."""
    quoted = len(text) > 1 and text[0] == text[-1] and text[0] in "\"'"
    return text[1:-1].strip() if quoted and not isinstance(kind_of(key), Text) else text


def check(answers: Answers, folder: Folder) -> Checked:
    """The scenario that the answers make, or every message beside its field."""
    was = shown(scenario_from_text(answers.base, FILE).written.raw)
    wrong = _wrong_choices(answers, folder)
    changes: dict[Path, Any] = {("site", "weather"): list(answers.weather)}
    dome = answers.given["greenhouse.shape"] == "dome"
    for key, field in fields().items():
        text, old = answers.given[key], was[key]
        if text is None or text == old or (dome and field.path in DOME_HAS_NO):
            continue
        if (key, text) in MAY_BE_MISSING.values():
            continue
        message = _wrong(field, text)
        if message:
            wrong[key] = message
        else:
            changes[field.path] = _value(key, text)
    _settle_tables(answers, changes)
    if dome:
        changes |= dict.fromkeys(DOME_HAS_NO)
    if wrong:
        return Checked(answers, None, "", wrong)
    try:
        text = changed_text(answers.base, FILE, changes)
        named = scenario_from_text(text, str(folder / "scenario.toml"))
    except ScenarioError as problem:
        return Checked(answers, None, "", _beside(str(problem), folder))
    return Checked(answers, named, text, {})


def plainly(message: str, folder: Folder) -> str:
    """A message of the program without the file that no reader of the page ever saw."""
    return re.sub(rf"^{re.escape(str(folder / 'scenario.toml'))}(, line \d+)?: ", "", message)


def _wrong_choices(answers: Answers, folder: Folder) -> dict[str, str]:
    """What is not on offer. Files are named, never reached by a path."""
    wrong = {}
    known = weather_choices(folder)
    if not answers.weather:
        wrong[WEATHER] = "no winter is chosen; choose at least one"
    for name in answers.weather:
        if name not in known:
            wrong[WEATHER] = (
                f"{name[:LONGEST]!r} is no weather file here; put it into the folder in which the "
                "program was started, or choose another"
            )
    if answers.units not in UNITS_CHOICES:
        wrong[UNITS] = "choose one of the two"
    return wrong


def _wrong(field: Field, text: str) -> str:
    """What is wrong with an answer by itself; empty where nothing is."""
    if len(text) > LONGEST:
        return f"is longer than {LONGEST} letters; write it shorter"
    if not text:
        return "" if field.optional else f"is empty; write {_example(field)}"
    if field.choices and text not in field.choices:
        return f"no such name{did_you_mean(text, field.choices)}"
    kind = kind_of(field.key)
    if kind is None or (kind.none is not None and text == kind.none):
        return ""
    try:
        kind.read(_value(field.key, text), False)
    except (Problem, ValueError) as problem:
        # whoever writes into a form knows of no texts and numbers of a file
        return str(problem).replace("write it as a text with", "write it with")
    return ""


def _example(field: Field) -> str:
    kind = kind_of(field.key)
    return f"one such as {kind.example}" if kind and kind.example else "one"


def _value(key: str, text: str) -> Any:
    """An answer as it stands in a file: numbers without quotes where they have no unit."""
    if not text:
        return None
    kind = kind_of(key)
    if kind is not None and not kind.quotes:
        for number in (int, float):
            try:
                return number(text)
            except (ValueError, OverflowError):
                continue
    return text


def _settle_tables(answers: Answers, changes: dict[Path, Any]) -> None:
    """Where there is no backup, or no work away from home, there is nothing to say of it."""
    for path, (key, word) in MAY_BE_MISSING.items():
        if answers.given[key] == word:
            for below in [one for one in changes if one[: len(path)] == path]:
                del changes[below]
            changes[path] = None


def _beside(message: str, folder: Folder) -> dict[str, str]:
    """A message about the whole, beside the field that it names."""
    message = plainly(message, folder)
    found = PLACE.match(f": {message}")
    if found is None:
        return {"": message}
    place = f"{found[1]}.{found[2]}"
    near = [key for key in fields() if key == place or place.startswith(f"{key}.")]
    near += [key for key in fields() if key.startswith(f"{place}.")]
    return {near[0]: found[3]} if near else {"": message}
