"""What all sections of a scenario share: frozen, and strict about their keys."""

from __future__ import annotations

import functools
from typing import Any

from pydantic import BaseModel, ConfigDict, model_validator

from greenhouse_sim.scenario.problem import Problem, nearest, shown


class Section(BaseModel):
    """A table of the scenario file. Attributes are its keys, values are SI."""

    model_config = ConfigDict(frozen=True, extra="forbid")

    @model_validator(mode="before")
    @classmethod
    def _only_known_keys(cls, given: Any) -> Any:
        if isinstance(given, dict):
            known = keys_of(cls)
            for key in given:
                if key not in known:
                    raise unknown_key(key, known)
        return given


@functools.cache
def keys_of(section: type[BaseModel]) -> tuple[str, ...]:
    """The keys of a section as they stand in the file."""
    return tuple(field.alias or name for name, field in section.model_fields.items())


def unknown_key(key: str, known: tuple[str, ...]) -> Problem:
    """The refusal of a key that no table has."""
    near = nearest(str(key), known)
    hint = f"; did you mean {near}?" if near else f". Known: {', '.join(known)}"
    return Problem(f"unknown key {shown(key)[1:-1]}{hint}", key)


def none_or_list(value: Any) -> Any:
    """``"none"`` in place of a list means an empty one."""
    return () if value == "none" else value


def none_or_table(value: Any) -> Any:
    """``"none"`` in place of a table means that there is no such thing."""
    return None if value == "none" else value
