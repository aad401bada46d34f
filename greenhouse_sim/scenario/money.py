"""[money]: prices, what things cost to buy, and how the grower counts."""

from __future__ import annotations

import math
import re
from typing import Any, NamedTuple

from pydantic import ValidationInfo, model_validator

from greenhouse_sim.scenario.kinds import Number, Quantity
from greenhouse_sim.scenario.names import HEATER, rows
from greenhouse_sim.scenario.problem import Problem, did_you_mean, shown
from greenhouse_sim.scenario.section import Section, unknown_key
from greenhouse_sim.tables import Row, read_keyed

MOST_YEARS = 50
_PLAIN = ("1", "text")
_WHOLE = ("years", "crop_weeks")
_NUMBER = re.compile(r"\s*\$?\s*([\d,]*\.?\d+)\s*(\D.*)?$")
_MONEY = re.compile(r"(?i)\$|\b(dollars?|usd)\b")


class Amount(NamedTuple):
    """A sum of money with its range, dollars."""

    low: float
    value: float
    high: float


class Money(Section):
    """Prices of ``tables/money.csv`` that the scenario changes, in the unit of their rows."""

    own: tuple[tuple[str, float | None], ...] = ()
    """Key to number; None where the scenario says "none"."""
    prices: str = "typical"
    """``"own"``: only prices that stand in the scenario count."""
    baseline: str | None = None
    """The heater that the others are held against; the scenario's own where None."""
    owned: tuple[str, ...] = ()
    """Heaters that stand there already: nothing to buy."""
    costs: tuple[tuple[str, str, Amount], ...] = ()
    """(heater, part, what it costs) in place of rows of ``tables/costs.csv``."""
    improvements: tuple[tuple[str, Amount], ...] = ()
    """What a measure of ``tables/improvements.csv`` costs here, in all."""

    @model_validator(mode="before")
    @classmethod
    def _keys_of_the_table(cls, given: Any, info: ValidationInfo) -> Any:
        if not isinstance(given, dict):
            return given
        table = read_keyed("money")
        known = (*table, "prices", "baseline", "owned", "costs", "improvements")
        read: dict[str, Any] = {}
        own = []
        for key, value in given.items():
            if key not in known:
                raise unknown_key(key, known)
            if key in table:
                own.append((key, _rate(table[key], value, bool((info.context or {}).get("si")))))
            else:
                read[key] = _READ[key](value)
        return read | {"own": tuple(sorted(own, key=lambda pair: pair[0]))}

    @property
    def rates(self) -> dict[str, float | None]:
        """What the scenario says, in the unit of the table's row."""
        return dict(self.own)


def _rate(row: Row, value: Any, si: bool) -> float | None:
    if value in (None, "none"):
        if row.key in ("interest", *_WHOLE):
            raise Problem(f"cannot be none; write one such as {row.value}", row.key)
        return None
    try:
        if row.key == "interest":
            return _interest(value)
        if row.unit == "1":
            most = MOST_YEARS if row.key in _WHOLE else 1e6
            return float(Number(low=1.0, high=most, example=row.value).read(value, si))
        return _price(row, value, si)
    except ValueError as problem:
        raise Problem(str(problem), row.key) from None


def _interest(value: Any) -> float:
    number = Number(low=-math.inf, word="a share", example="0.05").read(value, False)
    if 0.0 <= number <= 0.5:
        return float(number)
    percent = number if number > 1.0 and not isinstance(value, str) else number * 100.0
    why = "money does not grow like that" if number > 0.5 else "a rate below nothing"
    raise Problem(
        f"{shown(value)} a year: {why}; write a yearly share from 0 to 0.5, such as 0.05 for 5 %"
        + (f" ({percent:g} percent is written {percent / 100:g})" if 1.0 < percent <= 50.0 else "")
    )


def _price(row: Row, value: Any, si: bool) -> float:
    unit = row.unit
    example = f"{5 if row.value == 'none' else row.value} /{unit.removeprefix('1/')}"
    if isinstance(value, str):
        value = " ".join(_MONEY.sub(" ", value).split())
        match = _NUMBER.match(value)
        if match and (match[2] or "").strip().replace(" ", "") in (unit, unit.removeprefix("1")):
            return float(match[1].replace(",", ""))
    number = Quantity(unit=unit, example=example).read(value, si)
    if number < 0.0 and "degC" not in unit:
        raise Problem(f'{shown(value)} is below nothing; write one such as "{example}"')
    return number


def _prices(value: Any) -> str:
    if value not in ("typical", "own"):
        raise Problem(
            f'{shown(value)} is no choice; write "typical" (prices of the table where the scenario '
            'gives none) or "own" (only prices of the scenario count)',
            "prices",
        )
    return str(value)


def _heater(value: Any, key: str) -> str:
    try:
        return str(HEATER.read(value, False))
    except ValueError as problem:
        raise Problem(str(problem), key) from None


def _owned(value: Any) -> tuple[str, ...]:
    if value in (None, "none"):
        return ()
    listed = [value] if isinstance(value, str) else value
    if not isinstance(listed, (list, tuple)):
        raise Problem(f'{shown(value)} is no list; write ["wood stove, large"]', "owned")
    return tuple(_heater(one, "owned") for one in listed)


def _costs(value: Any) -> tuple[tuple[str, str, Amount], ...]:
    if value == "none":
        return ()
    if isinstance(value, tuple):
        return value
    if not isinstance(value, dict):
        raise Problem(
            f'{shown(value)} is no table; write "wood stove, large" = {{ heater = 2400 }}', "costs"
        )
    found = []
    for name, parts in value.items():
        heater = _heater(name, "costs")
        known = parts_of(heater)
        if not isinstance(parts, dict):
            raise Problem(f"{shown(parts)} is no table; write {{ {known[0]} = 2400 }}", "costs")
        for part, cost in parts.items():
            if part not in known:
                raise Problem(
                    f"{heater} has no part {shown(part)}{did_you_mean(str(part), known)}", "costs"
                )
            found.append((heater, part, amount(cost, "costs")))
    return tuple(found)


def _improvements(value: Any) -> tuple[tuple[str, Amount], ...]:
    if value == "none":
        return ()
    if isinstance(value, tuple):
        return value
    if not isinstance(value, dict):
        raise Problem(f'{shown(value)} is no table; write "night curtain" = 2400', "improvements")
    known = rows("improvements")
    for name in value:
        if name not in known:
            raise Problem(
                f"no improvement is called {shown(name)}{did_you_mean(str(name), known)}",
                "improvements",
            )
    return tuple((name, amount(cost, "improvements")) for name, cost in value.items())


def amount(value: Any, key: str) -> Amount:
    """Dollars: a number, or [low, value, high]."""
    listed = value if isinstance(value, (list, tuple)) else [value] * 3
    numbers = []
    for one in listed:
        match = _NUMBER.match(_MONEY.sub(" ", one)) if isinstance(one, str) else None
        if match and not (match[2] or "").strip():
            one = float(match[1].replace(",", ""))
        if isinstance(one, bool) or not isinstance(one, (int, float)) or not 0 <= one < 1e9:
            raise Problem(
                f"{shown(one)} is no sum of money; write dollars, such as 2400, or a range "
                "[1800, 2400, 3500]",
                key,
            )
        numbers.append(float(one))
    if len(numbers) != 3 or numbers != sorted(numbers):
        raise Problem(
            f"{shown(value)} is no range; write [low, likely, high], such as [1800, 2400, 3500]",
            key,
        )
    return Amount(*numbers)


def parts_of(heater: str) -> tuple[str, ...]:
    """What of a heater is bought, as ``tables/costs.csv`` names it."""
    from greenhouse_sim.tables import read_rows

    return tuple(row["part"] for row in read_rows("costs") if row["heater"] == heater)


_READ = {
    "prices": _prices,
    "baseline": lambda value: None if value in (None, "none") else _heater(value, "baseline"),
    "owned": _owned,
    "costs": _costs,
    "improvements": _improvements,
}
