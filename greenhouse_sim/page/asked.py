"""What the form asks, in the order in which it asks, and what stands in it."""

from __future__ import annotations

import functools
from collections.abc import Mapping
from typing import Any, NamedTuple

from greenhouse_sim.scenario import demo_path, new_scenario_text, questions, read_scenario
from greenhouse_sim.scenario.defaults import PARTS, default_value, fill
from greenhouse_sim.scenario.fields import field_at
from greenhouse_sim.scenario.kinds import Kind
from greenhouse_sim.scenario.lines import Path
from greenhouse_sim.scenario.model import Scenario
from greenhouse_sim.scenario.names import COVER, heaters, rows, species
from greenhouse_sim.tables import read_keyed

LONGEST = 200
"""Letters of an answer."""
UNITS = "units"
UNITS_CHOICES = {"us": "US: °F, feet, cords", "si": "metric: °C, metres, cubic metres"}
WEATHER = "site.weather"


class Field(NamedTuple):
    """One thing that the form asks."""

    key: str
    """The dotted key of the scenario."""
    words: str
    hint: str = ""
    choices: tuple[str, ...] = ()
    """Names to choose from; empty for a free answer."""
    optional: bool = False
    """Whether it may be left empty."""

    @property
    def path(self) -> Path:
        """The key as a path."""
        return tuple(self.key.split("."))


class Group(NamedTuple):
    """Fields under one heading."""

    title: str
    fields: tuple[Field, ...]


@functools.cache
def groups() -> tuple[Group, ...]:
    """The whole form but for the weather, which is chosen from what there is."""
    shapes = ("hoop", "gothic", "gable", "lean-to", "dome")
    return (
        Group("The place", (
            Field("site.name", "Name of the place"),
            Field("site.season.start", "First day of the heating season",
                  "month-day, such as 10-01"),
            Field("site.season.end", "Last day of the heating season", "month-day, such as 04-30"),
        )),
        Group("The greenhouse", (
            Field("greenhouse.shape", "Shape", choices=shapes),
            Field("greenhouse.width", "Width", "such as 30 ft or 9 m; of a dome its diameter"),
            Field("greenhouse.length", "Length", "such as 72 ft; not used for a dome", (), True),
            Field("greenhouse.sidewall", "Height of the sidewall", "such as 5 ft; not used for a "
                  "dome", (), True),
            Field("greenhouse.ridge", "Height of the ridge over the floor", "such as 13 ft"),
            Field("greenhouse.ridge_runs", "The ridge runs",
                  "east-west, north-south, or degrees from north", (), True),
            Field("greenhouse.cover", "Cover", choices=COVER.known()),
            Field("greenhouse.tightness", "How tight it is",
                  "tight: new double film, sealed doors; fair: single film; leaky: worn glass",
                  rows("tightness")),
            Field("greenhouse.perimeter_insulation", "Insulation around the foot",
                  "R-value of the board, and how deep it goes", rows("perimeter")),
        )),
        Group("The crop", (
            Field("crop.setpoint.day", "Temperature wanted by day",
                  "such as 50 degF, 50 °F or 10 °C"),
            Field("crop.setpoint.night", "Temperature wanted by night", "such as 42 degF"),
            Field("crop.vent_at", "Vents open at", "such as 80 degF"),
            Field("crop.damage_below", "The crop is hurt below",
                  "such as 26 degF, or the crop's name, such as kale"),
        )),
        Group("The heater and its fuel", (
            Field("heater.kind", "Heater", "the one that you have or think of; the comparison "
                  "tries all of them", heaters()),
            Field("heater.count", "How many of them", "a whole number, such as 1"),
            Field("fuel.species", "Species of wood, or fuel", choices=species()),
            Field("fuel.moisture", "Water in the wood", "of its whole weight, such as 20 %; where "
                  "a meter goes by the dry wood, its 25 % is 20 % here"),
            Field("fuel.price", "Price of the fuel",
                  "such as 250 /cord or 300 /ton; may be empty", (), True),
            Field("backup.kind", "Backup that starts by itself",
                  "for when the fire is too little",
                  ("none", *(name for name in heaters() if name != "ideal"))),
            Field("backup.starts_below", "The backup starts below",
                  "such as 38 degF; only with one", (), True),
        )),
        Group("Your hours", (
            Field("routine.up", "You get up at", "24-hour clock: 06:00"),
            Field("routine.bed", "You go to bed at", "24-hour clock: 22:00"),
            Field("routine.gets_up_below", "An alarm gets you up at night below",
                  "such as 36 degF, or never"),
            Field("routine.work.days", "Days of work away from home", "such as mon-fri; empty for "
                  "none", (), True),
            Field("routine.work.from", "You leave for work at", "24-hour clock: 08:00", (), True),
            Field("routine.work.to", "You are back from work at", "24-hour clock: 17:30", (), True),
        )),
    )  # fmt: skip


@functools.cache
def fields() -> dict[str, Field]:
    """Every field but the weather, by its key."""
    return {one.key: one for group in groups() for one in group.fields}


@functools.cache
def demo_text() -> str:
    """The demo farm as the writer of new scenarios writes it: what the form begins with."""
    raw = read_scenario(demo_path()).written.raw
    places = {"name": "site.name", "setpoint_night": "crop.setpoint.night", "heater": "heater.kind",
              "species": "fuel.species", "up": "routine.up", "bed": "routine.bed",
              "gets_up_below": "routine.gets_up_below"}  # fmt: skip
    answers = {"weather": ", ".join(raw["site"]["weather"])}
    for question in questions():
        found = at(raw, tuple(places.get(question.key, f"greenhouse.{question.key}").split(".")))
        if isinstance(found, str):
            answers.setdefault(question.key, found)
    return new_scenario_text(answers)


def shown(raw: Mapping[str, Any]) -> dict[str, str | None]:
    """What stands in each field for a scenario; None where the file says more than a field can."""
    filled, _ = fill(raw)
    found: dict[str, str | None] = {}
    for key, field in fields().items():
        value = at(filled, field.path)
        if value is None:
            found[key] = "none" if key == "backup.kind" else ""
        elif isinstance(value, str | int | float) and not isinstance(value, bool):
            found[key] = str(value)
        else:
            found[key] = None
    if found["fuel.price"] == "none":
        found["fuel.price"] = ""
    if not found["backup.starts_below"]:
        found["backup.starts_below"] = default_value(read_keyed("defaults")["backup.starts_below"])
    return found


def at(raw: Any, path: Path) -> Any:
    """The value that a path leads to; a single value stands for all of its parts."""
    for depth, key in enumerate(path):
        if isinstance(raw, Mapping):
            raw = raw.get(key)
        elif raw == "none":
            return None
        elif key not in PARTS.get(path[:depth], ()):
            return raw
    return raw


def kind_of(key: str) -> Kind | None:
    """The kind of value that a key takes, where it has one of its own."""
    path = fields()[key].path
    for end in (path, (*path, *PARTS.get(path, ())[:1])):
        field = field_at(Scenario, end)
        for kind in field.metadata if field else ():
            if isinstance(kind, Kind):
                return kind
    return None
