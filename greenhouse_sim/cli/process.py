"""How a process of this program keeps its memory: once at its start, never inside a library."""

from __future__ import annotations

import atexit
import contextlib
import ctypes
import gc

OBJECTS = 20_000
"""New objects after which rings of objects are looked for; Python's own is 700."""
TRIM_THRESHOLD, MMAP_THRESHOLD = -1, -3
"""Settings of ``mallopt`` in the GNU C library (malloc.h)."""
MEBIBYTE = 1 << 20


def keep_memory() -> None:
    """Sweep memory seldom, not at all at the end, and use again what arrays let go of."""
    _sweep_seldom()
    _hold_on()


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
