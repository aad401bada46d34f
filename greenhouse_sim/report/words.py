"""Numbers in words: as many digits as are known, in the units that the reader uses."""

from __future__ import annotations

import re
from dataclasses import dataclass
from datetime import datetime

from greenhouse_sim.units import BTU_J, KWH_J, LB_KG, SHORT_TON_KG, fahrenheit

KBTU_H_PER_W = 3600.0 / BTU_J / 1000.0
MILLION_BTU_PER_KWH = KWH_J / BTU_J / 1.0e6


def few(value: float) -> str:
    """A number with one decimal below ten, and whole from there on: 8.4, 25, 1840, 31,200."""
    size = abs(value)
    if size < 0.05:
        return "0"
    return f"{value:.1f}" if round(size, 1) < 10.0 else whole(value)


def whole(value: float) -> str:
    """A whole number of at most three digits that mean something: 38, 412, 2540, 12,300."""
    size = abs(value)
    step = 1 if size < 1000 else 10 ** (len(str(int(size))) - 3)
    rounded = int(round(value / step) * step)
    return f"{rounded:,}" if abs(rounded) >= 10_000 else f"{rounded:d}"


def counted(value: float, one: str, many: str | None = None) -> str:
    """A count with its word: "1 night", "61 nights"."""
    text = whole(value)
    return f"{text} {one if text == '1' else many or one + 's'}"


def slug(text: str) -> str:
    """A safe part of a file name: "wood stove, large" becomes "wood-stove-large"."""
    return re.sub(r"[^a-z0-9]+", "-", text.lower()).strip("-")[:80] or "unnamed"


def winter_words(winter: str) -> str:
    """A winter's name, so that a narrow column can break it."""
    return winter.replace("_", " ")


def day(moment: str | datetime) -> str:
    """Day in words: "14 January"."""
    when = datetime.fromisoformat(moment) if isinstance(moment, str) else moment
    return f"{when.day} {when:%B}"


def day_and_hour(moment: str | datetime) -> str:
    """Hour and day in words: "05:00 on 14 January" (local standard time)."""
    when = datetime.fromisoformat(moment) if isinstance(moment, str) else moment
    return f"{when:%H:%M} on {day(when)}"


@dataclass(frozen=True)
class Units:
    """The reader's units: US customary, or SI."""

    us: bool = True

    @property
    def degree(self) -> str:
        """Sign of the temperature unit."""
        return "°F" if self.us else "°C"

    @property
    def heat_word(self) -> str:
        """Unit of a season's heat."""
        return "million Btu" if self.us else "kWh"

    @property
    def power_word(self) -> str:
        """Unit of a heater's output."""
        return "thousand Btu/h" if self.us else "kW"

    def degrees(self, celsius: float) -> float:
        """A temperature as a number in the reader's unit."""
        return fahrenheit(celsius) if self.us else celsius

    def temperature(self, celsius: float) -> str:
        """A temperature, whole degrees: "31 °F"."""
        return f"{round(self.degrees(celsius)) + 0:d} {self.degree}"

    def heat(self, kWh: float) -> float:
        """A season's heat as a number in the reader's unit."""
        return kWh * MILLION_BTU_PER_KWH if self.us else kWh

    def heat_text(self, kWh: float) -> str:
        """A season's heat with its unit."""
        return f"{few(self.heat(kWh))} {self.heat_word}"

    def power(self, watts: float) -> float:
        """Output as a number in the reader's unit."""
        return watts * KBTU_H_PER_W if self.us else watts / 1000.0

    def tons(self, kg: float) -> float:
        """Short tons, or tonnes."""
        return kg / SHORT_TON_KG if self.us else kg / 1000.0

    def tons_text(self, kg: float) -> str:
        """Short tons or tonnes with the unit."""
        value = few(self.tons(kg))
        return f"{value} {'ton' if value == '1.0' else 'tons'}" if self.us else f"{value} t"

    def pounds(self, kg: float) -> float:
        """Pounds, or kilograms."""
        return kg / LB_KG if self.us else kg
