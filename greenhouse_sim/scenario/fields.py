"""What the scenario knows of one of its keys: its kind and an example."""

from __future__ import annotations

from collections.abc import Sequence
from typing import Any, get_args

from pydantic import BaseModel
from pydantic.fields import FieldInfo

from greenhouse_sim.scenario.kinds import Kind, Quantity


def field_at(model: type[BaseModel], path: Sequence[str | int]) -> FieldInfo | None:
    """The field that a path of keys leads to (numbers of list items are passed over)."""
    here: type[BaseModel] | None = model
    field: FieldInfo | None = None
    for key in path:
        if isinstance(key, int):
            continue
        if here is None:
            return None
        field = here.model_fields.get(key) or _by_alias(here, key)
        if field is None:
            return None
        here = _section_in(field.annotation)
    return field


def example_of(field: FieldInfo) -> str:
    """A right value as it would stand in the file; empty where none is known."""
    if field.examples:
        return str(field.examples[0])
    for kind in field.metadata:
        if isinstance(kind, Kind):
            return f'"{kind.example}"' if kind.quotes else kind.example
    return ""


def unit_of(field: FieldInfo | None) -> str:
    """The unit in which the program keeps a quantity; empty for anything else."""
    for kind in field.metadata if field else ():
        if isinstance(kind, Quantity):
            return kind.unit
    return ""


def _by_alias(section: type[BaseModel], key: str) -> FieldInfo | None:
    return next((field for field in section.model_fields.values() if field.alias == key), None)


def _section_in(annotation: Any) -> type[BaseModel] | None:
    """The section that a field holds, be it plain, optional or in a tuple."""
    if isinstance(annotation, type) and issubclass(annotation, BaseModel):
        return annotation
    for part in get_args(annotation):
        found = _section_in(part)
        if found is not None:
            return found
    return None
