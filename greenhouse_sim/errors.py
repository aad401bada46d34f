"""What can be wrong with what the grower gave us.

GreenhouseError
├── ScenarioError   a key or value of the scenario file
├── WeatherError    a weather file: missing, malformed, with gaps, impossible
├── JournalError    a journal: not ours, newer, or an entry that cannot be
├── TableError      a data table of the package (a fault of ours)
└── BalanceError    energy did not close (a fault of ours)

Errors are raised at the door only. A message names the place (file, key, line
or column), says what is wrong, and says what to write instead.
"""

from __future__ import annotations


class GreenhouseError(Exception):
    """Anything that ends a command with exit status 2 and one message."""


class ScenarioError(GreenhouseError):
    """A scenario file, or a change to a scenario, that cannot be used."""


class WeatherError(GreenhouseError):
    """A weather record that cannot be used."""


class JournalError(GreenhouseError):
    """A journal, or an entry for it, that cannot be used."""


class TableError(GreenhouseError):
    """A data table of the package that breaks its own rules."""


class BalanceError(GreenhouseError):
    """A season whose energy does not close: never an answer, always a bug."""
