"""[labour]: the grower's own hours in place of those of the table of labour."""

from __future__ import annotations

from typing import Any

from pydantic import ValidationInfo, model_validator

from greenhouse_sim.scenario.kinds import Number, Quantity
from greenhouse_sim.scenario.problem import Problem
from greenhouse_sim.scenario.section import Section, unknown_key
from greenhouse_sim.tables import Row, read_keyed


class Labour(Section):
    """Rates of ``tables/labour.csv`` that the scenario changes, in the unit of their rows."""

    own: tuple[tuple[str, float], ...] = ()

    @model_validator(mode="before")
    @classmethod
    def _rates_of_the_table(cls, given: Any, info: ValidationInfo) -> Any:
        if not isinstance(given, dict):
            return given
        table = read_keyed("labour")
        si = bool((info.context or {}).get("si"))
        for key in given:
            if key not in table:
                raise unknown_key(key, tuple(table))
        return {"own": tuple((key, _rate(table[key], given[key], si)) for key in sorted(given))}

    @property
    def rates(self) -> dict[str, float]:
        """Rate by key, in the unit of the table's row."""
        return dict(self.own)


def _rate(row: Row, value: Any, si: bool) -> float:
    kind: Number | Quantity
    if row.unit == "1":
        kind = Number(low=0.0, high=10.0, example=row.value)
    else:
        example = f"{row.value} {row.unit}"
        kind = Quantity(unit=row.unit, low=0.0, high=1000.0, example=example)
    try:
        return float(kind.read(value, si))
    except ValueError as problem:
        raise Problem(str(problem), row.key) from None
