"""The library of pictures, loaded without its manual."""

from __future__ import annotations

import contextlib
from collections.abc import Iterator
from typing import Any


def fetch() -> None:
    """Load what a page's pictures need, before the first of them is drawn."""
    with _without_manual():
        import matplotlib.backends.backend_svg
        import matplotlib.dates
        import matplotlib.figure  # noqa: F401


@contextlib.contextmanager
def _without_manual() -> Iterator[None]:
    """Let the library write no lists of properties into its own docstrings.

    It makes them for each of its classes as they are loaded, a third of the time that this takes;
    nobody reads them in a command. A library that makes none has nothing to be kept from it.
    """
    import matplotlib.artist

    library: Any = matplotlib.artist
    lists = getattr(library, "kwdoc", None)
    if lists is None:
        yield
        return
    library.kwdoc = lambda _: ""
    try:
        yield
    finally:
        library.kwdoc = lists
