"""What is wrong with one value, told so that the grower can mend it."""

from __future__ import annotations

import difflib
from collections.abc import Iterable

from greenhouse_sim.units import quoted

_LONGEST = 60


class Problem(ValueError):
    """A value that cannot be used; ``path`` leads from the section in hand to the key."""

    def __init__(self, message: str, *path: str | int) -> None:
        super().__init__(message)
        self.path = path


def shown(value: object) -> str:
    """A value as it would stand in the file, cut where it is long."""
    if isinstance(value, bool):
        text = str(value).lower()
    elif isinstance(value, str):
        return quoted(value)
    elif isinstance(value, dict):
        text = "a table of values" if len(value) > 3 else f"{{ {', '.join(map(str, value))} }}"
    else:
        try:
            text = str(value)
        except ValueError:  # a whole number of thousands of digits
            text = "a number of thousands of digits"
    if not text.isprintable():
        text = text.encode("unicode_escape", "replace").decode()
    return text if len(text) <= _LONGEST else text[: _LONGEST - 1] + "…"


def nearest(word: str, known: Iterable[str]) -> str | None:
    """The known word most like this one, or None where none is like it."""
    by_small = {name.lower(): name for name in known}
    small = word.lower().strip()[:_LONGEST]
    found = difflib.get_close_matches(small, by_small, n=1, cutoff=0.5)
    if not found:
        found = [name for name in by_small if small and (small in name or name in small)][:1]
    return by_small[found[0]] if found else None


def did_you_mean(word: str, known: Iterable[str]) -> str:
    """``; did you mean "tight"? Known: good, tight``."""
    names = list(known)
    near = nearest(word, names)
    hint = f'; did you mean "{near}"?' if near else "."
    return f"{hint} Known: {listed(names)}"


def listed(names: Iterable[str]) -> str:
    """Names in one line, in quotes where one has a comma of its own."""
    names = list(names)
    return ", ".join(f'"{name}"' for name in names) if "," in "".join(names) else ", ".join(names)
