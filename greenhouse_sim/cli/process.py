"""What a process of this program does once at its start, never inside a library."""

from __future__ import annotations

import atexit
import contextlib
import ctypes
import gc
import os

OBJECTS = 200_000
"""New objects after which rings of objects are looked for; Python's own is 700. The libraries of a
command make some tens of thousands, which live to its end."""
TRIM_THRESHOLD, MMAP_THRESHOLD = -1, -3
"""Settings of ``mallopt`` in the GNU C library (malloc.h)."""
MEBIBYTE = 1 << 20


def start() -> None:
    """Sweep memory seldom, not at all at the end, use again what arrays let go of; no plugins."""
    _sweep_seldom()
    _hold_on()
    # whatever is installed is asked for its plugins otherwise, package by package
    os.environ.setdefault("PYDANTIC_DISABLE_PLUGINS", "__all__")


def _sweep_seldom() -> None:
    """Hardly any rings are made; most of what lives are the libraries, and going through them took
    up to a tenth of a command's time."""
    gc.set_threshold(OBJECTS)
    atexit.register(gc.freeze)


def _hold_on() -> None:
    """Every array of a winter came anew from the system, page by page: half the time that
    `improve` spent there. Without the GNU C library nothing is changed."""
    with contextlib.suppress(AttributeError, OSError, TypeError):
        library = ctypes.CDLL(None)
        library.mallopt(MMAP_THRESHOLD, 32 * MEBIBYTE)
        library.mallopt(TRIM_THRESHOLD, 256 * MEBIBYTE)
