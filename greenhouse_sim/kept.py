"""Arrays kept on disk between runs, in the user's cache folder.

What is kept is named by a hash of everything that it was made from: the data, and the
source files, tables and library versions that made it. So nothing ever meets an old
answer; a folder that cannot be written, or a file that cannot be read, costs time only.
"""

from __future__ import annotations

import contextlib
import functools
import hashlib
import json
import math
from collections.abc import Mapping
from importlib import resources
from importlib.metadata import version
from pathlib import Path
from typing import Any

import numpy as np

from greenhouse_sim.files import cache_folder, written_whole

MOST_FILES = 300
"""Oldest files of a folder beyond this many are removed."""
LIBRARIES = ("numpy", "pandas", "pvlib")

ALIGNED = 64
"""Bytes at whose multiples an array begins."""


@functools.cache
def makers_hash(*packages: str) -> bytes:
    """Hash of the sources and tables of packages, and of the libraries they use."""
    total = hashlib.blake2b(digest_size=16)
    for library in LIBRARIES:
        total.update(version(library).encode())
    for package in packages:
        files = [f for f in resources.files(package).iterdir() if f.name.endswith((".py", ".csv"))]
        for file in sorted(files, key=lambda f: f.name):
            total.update(file.name.encode())
            total.update(file.read_bytes())
    return total.digest()


def find(folder: str, key: str) -> dict[str, np.ndarray] | None:
    """The arrays kept under a key, or None where there are none (or they are not whole)."""
    place = cache_folder(folder)
    if place is None:
        return None
    try:
        with (
            (place / f"{key}.npz").open("rb") as stream,
            np.load(stream, allow_pickle=False) as held,
        ):
            return _unpacked(held["what"].item(), held["block"])
    except Exception:  # a broken file shows itself in many ways and all mean: make it again
        return None


def keep(folder: str, key: str, arrays: Mapping[str, Any]) -> None:
    """Keep arrays under a key; a folder that refuses is left alone."""
    place = cache_folder(folder)
    if place is None:
        return
    file = place / f"{key}.npz"
    with contextlib.suppress(OSError):
        with written_whole(file) as part, part.open("wb") as stream:
            what, block = _packed(arrays)
            np.savez(stream, what=what, block=block)
        _forget_oldest(place)


def _packed(arrays: Mapping[str, Any]) -> tuple[np.ndarray, np.ndarray]:
    """Arrays in one block of bytes, and the text (JSON) that tells them apart.

    As members of their own they would take several times as long to read, and a plan reads
    sixty files.
    """
    what, parts, end = [], [], 0
    for name, value in arrays.items():
        array = np.asarray(value)
        if array.dtype.hasobject:
            raise TypeError(f"{name}: only numbers and texts can be kept")
        gap = -end % ALIGNED
        parts += [bytes(gap), array.tobytes()]
        what.append((name, array.dtype.str, array.shape, end + gap))
        end += gap + array.nbytes
    return np.array(json.dumps(what)), np.frombuffer(b"".join(parts), np.uint8)


def _unpacked(what: str, block: np.ndarray) -> dict[str, np.ndarray]:
    """The arrays of a block, as views of it."""
    found = {}
    for name, kind, shape, start in json.loads(what):
        dtype = np.dtype(kind)
        size = dtype.itemsize * math.prod(shape)
        found[name] = block[start : start + size].view(dtype).reshape(shape)
    return found


def _forget_oldest(folder: Path) -> None:
    """Keep a folder from growing without end."""
    files = sorted(folder.glob("*.npz"), key=lambda f: f.stat().st_mtime)
    for file in files[: max(len(files) - MOST_FILES, 0)]:
        file.unlink(missing_ok=True)
