"""Several files after one ``--weather``.

The command-line library takes one value an option; growers write
``--weather mild.csv severe.csv``. So before it sees the arguments, each further
word gets an option of its own:

- words after ``--weather`` up to the next option are its files,
- except that where no scenario has been named yet, a last word that ends in
  ``.toml`` is the scenario (``run --weather mild.csv severe.csv farm.toml``).
"""

from __future__ import annotations

from collections.abc import Sequence

OPTION = "--weather"
WITH_VALUE = (
    "--units", "--out", "--heater", "--design-temperature",
    "--rack-height", "--stick", "--own", "--left", "--on",
)  # fmt: skip
"""Other options whose next word is their value."""


def spread_out(arguments: Sequence[str]) -> list[str]:
    """The arguments with ``--weather a b`` as ``--weather a --weather b``.

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
        elif word in WITH_VALUE:
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
