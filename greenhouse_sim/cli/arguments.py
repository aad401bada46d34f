"""Several files after one ``--weather``.

The command-line library takes one value an option; growers write
``--weather mild.csv severe.csv``. So before it sees the arguments, each further
word gets an option of its own:

- words after ``--weather`` up to the next option are its files,
- except that where no scenario has been named yet, a last word that ends in
  ``.toml`` is the scenario (``run --weather mild.csv severe.csv farm.toml``).
"""

from __future__ import annotations

from collections.abc import Collection, Sequence
from typing import Any

OPTION = "--weather"
COMMON = frozenset({"--units", "--out", "--heater"})
"""Options that most commands have."""
DEFAULTED = {"--uncertain": "64"}
"""Options whose number may be left out, and what it then is."""


def with_value(command: Any, arguments: Sequence[str]) -> frozenset[str]:
    """Options of the command that ``arguments`` name whose next word is their value."""
    for word in arguments:
        if not hasattr(command, "commands") or word not in command.commands:
            break
        command = command.commands[word]
    return frozenset(
        name
        for given in command.params
        if given.param_type_name == "option" and not given.is_flag
        for name in given.opts
        if name != OPTION and name not in DEFAULTED
    )


def spread_out(arguments: Sequence[str], valued: Collection[str] = COMMON) -> list[str]:
    """The arguments with ``--weather a b`` as ``--weather a --weather b``.

    ``valued`` are the other options whose next word is their value (`with_value`).

    >>> spread_out(["run", "farm.toml", "--weather", "a.csv", "b.csv", "--json"])
    ['run', 'farm.toml', '--weather', 'a.csv', '--weather', 'b.csv', '--json']
    """
    done: list[str] = []
    words = 0
    at = 0
    while at < len(arguments):
        word = arguments[at]
        if word == "--":
            return done + list(arguments[at:])
        if word == OPTION:
            files = _words(arguments[at + 1 :])
            at += 1 + len(files)
            scenario = _trailing_scenario(files, named=words > 1)
            for file in files[: len(files) - len(scenario)]:
                done += [OPTION, file]
            if not files:
                done.append(OPTION)
            done += scenario
            words += len(scenario)
        elif word in DEFAULTED:
            given = [one for one in arguments[at + 1 : at + 2] if one.lstrip("-").isdigit()]
            done += [word, *(given or [DEFAULTED[word]])]
            at += 1 + len(given)
        elif word in valued:
            done += arguments[at : at + 2]
            at += 2
        else:
            words += not word.startswith("-")
            done.append(word)
            at += 1
    return done


def _words(rest: Sequence[str]) -> list[str]:
    files: list[str] = []
    for word in rest:
        if word.startswith("-"):
            break
        files.append(word)
    return files


def _trailing_scenario(files: Sequence[str], named: bool) -> list[str]:
    last = files[-1:] if len(files) > 1 and not named else []
    return [word for word in last if word.lower().endswith(".toml")]
