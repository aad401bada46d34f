"""The kinds of value that a scenario's keys may hold.

Each kind reads what stands in the file and gives what the program calculates
with. Numbers in a scenario built by `Scenario.with_` may already be SI
(validation context ``{"si": True}``); from a file every quantity has its unit.
"""

from __future__ import annotations

import functools
import math
from collections.abc import Callable
from dataclasses import dataclass
from typing import Any, ClassVar

from pydantic import GetCoreSchemaHandler
from pydantic_core import CoreSchema, core_schema

from greenhouse_sim import units
from greenhouse_sim.scenario.problem import Problem, did_you_mean, listed, shown


@dataclass(frozen=True, kw_only=True)
class Kind:
    """One kind of value. ``none`` is the word that stands for "not given" (None inside)."""

    quotes: ClassVar[bool] = True
    """Whether the value stands in quotes in the file."""
    example: str = ""
    none: str | None = None

    def read(self, value: Any, si: bool) -> Any:
        """The value as the model keeps it; ``si`` where a bare number is already SI."""
        raise NotImplementedError

    def _read(self, value: Any, info: core_schema.ValidationInfo) -> Any:
        if self.none is not None and (value is None or value == self.none):
            return None
        return self.read(value, bool((info.context or {}).get("si")))

    def __get_pydantic_core_schema__(
        self, source: Any, handler: GetCoreSchemaHandler
    ) -> CoreSchema:
        return core_schema.with_info_plain_validator_function(self._read)


@dataclass(frozen=True, kw_only=True)
class Quantity(Kind):
    """A number with a unit, read into ``unit``; ``example`` is in a grower's unit."""

    unit: str
    low: float = -math.inf
    high: float = math.inf

    def read(self, value: Any, si: bool) -> float:
        if _is_number(value) and si:
            number = as_float(value)
        elif _is_number(value):
            raise Problem(
                f"{shown(value)} has no unit; write it as a text with its unit, "
                f'such as "{self.example}"'
            )
        elif isinstance(value, str):
            number = units.read_quantity(value, self.unit, self.example)
        else:
            raise Problem(f'cannot read {shown(value)}; write a text such as "{self.example}"')
        if not self.low <= number <= self.high:
            raise Problem(f"{shown(value)} is {self._range()}")
        return number

    def _range(self) -> str:
        """``under 3 ft; write one from 3 ft to 330 ft, such as "30 ft"`` in the example's unit."""
        unit = self.example.split(maxsplit=1)[1]
        bounds = []
        for bound, word in ((self.low, "from"), (self.high, "up to")):
            if math.isfinite(bound):
                bounds.append(f"{word} {units.from_si(bound, self.unit, unit):.4g} {unit}")
        return f'out of range; write one {" ".join(bounds)}, such as "{self.example}"'


@dataclass(frozen=True, kw_only=True)
class Number(Kind):
    """A number without a unit: a share, a count, an angle. ``word`` says which."""

    quotes: ClassVar[bool] = False
    low: float = -math.inf
    high: float = math.inf
    word: str = "a number"
    whole: bool = False
    unit: str = "dimensionless"
    below: float = math.inf
    """The value must be under this (where ``high`` itself is too much)."""

    def read(self, value: Any, si: bool) -> float | int:
        number = self._number(value)
        if number is None or (self.whole and number != math.floor(number)):
            raise Problem(f"{shown(value)} is not {self.word}; write one such as {self.example}")
        if not (self.low <= number <= self.high and number < self.below):
            raise Problem(f"{shown(value)} is out of range; {self._remedy(number)}")
        return int(number) if self.whole else number

    def _number(self, value: Any) -> float | None:
        if isinstance(value, str):
            try:
                return units.read_quantity(value, self.unit, self.example)
            except ValueError:
                return None
        return as_float(value) if _is_number(value) else None

    def _remedy(self, number: float) -> str:
        top = f"up to {self.high:g}" if self.below == math.inf else f"to under {self.below:g}"
        percent = number / 100.0
        fits = self.low <= percent <= min(self.high, self.below) and self.high == 1.0
        if fits and number > 1.0:
            return f"{number:g} percent is written {percent:g}"
        return f"write {self.word} from {self.low:g} {top}, such as {self.example}"


def share(example: str, **limits: Any) -> Number:
    """A share from 0 to 1."""
    return Number(low=0.0, high=1.0, word="a share", example=example, **limits)


def count(example: str = "1", high: int = 1000) -> Number:
    """A count of at least one."""
    return Number(low=1, high=high, word="a whole number", whole=True, example=example)


@dataclass(frozen=True, kw_only=True)
class Text(Kind):
    """A text in one line, not empty."""

    def read(self, value: Any, si: bool) -> str:
        if not isinstance(value, str):
            raise Problem(f'{shown(value)} is not a text; write one in quotes: "{self.example}"')
        if not value.strip() or not value.isprintable():
            raise Problem(
                f"{shown(value)} is empty or not one line of text; "
                f'write one such as "{self.example}"'
            )
        return value.strip()


@dataclass(frozen=True, kw_only=True)
class Flag(Kind):
    """true or false."""

    quotes: ClassVar[bool] = False
    example: str = "true"

    def read(self, value: Any, si: bool) -> bool:
        if not isinstance(value, bool):
            raise Problem(f"{shown(value)} is neither true nor false; write one without quotes")
        return value


@dataclass(frozen=True, kw_only=True)
class Name(Kind):
    """One of a list of names, which may stand in a table of the package."""

    known: Callable[[], tuple[str, ...]]
    word: str

    def read(self, value: Any, si: bool) -> str:
        names = self.known()
        if not isinstance(value, str):
            raise Problem(
                f"{shown(value)} is not a {self.word}; write one of these in quotes: "
                f"{listed(names)}"
            )
        name = _by_small(tuple(names)).get(" ".join(value.lower().split()))
        if name is None:
            raise Problem(f"no {self.word} is called {shown(value)}{did_you_mean(value, names)}")
        return name


@functools.cache
def _by_small(names: tuple[str, ...]) -> dict[str, str]:
    """The names by their small letters, with single blanks."""
    return {" ".join(name.lower().split()): name for name in names}


def one_of(word: str, *names: str) -> Name:
    """A name out of a short list of our own."""
    return Name(known=lambda: names, word=word, example=names[0])


def _is_number(value: Any) -> bool:
    return isinstance(value, (int, float)) and not isinstance(value, bool)


def as_float(value: int | float) -> float:
    """A finite float."""
    try:
        number = float(value)
    except OverflowError:
        number = math.inf
    if not math.isfinite(number):
        raise Problem(f"{shown(value)} is not a finite number")
    return number
