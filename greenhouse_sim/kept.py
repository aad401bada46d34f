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
import struct
import zlib
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

ENDING = ".arrays"
FORMAT = b"arrays 2"
HEAD = struct.Struct("<8sIQ")
"""Format, check sum of all that follows, length of the text."""
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
        return _unpacked(np.fromfile(place / f"{key}{ENDING}", np.uint8))
    except Exception:  # a broken file shows itself in many ways and all mean: make it again
        return None


def keep(folder: str, key: str, arrays: Mapping[str, Any], most: int = MOST_FILES) -> None:
    """Keep arrays under a key, and no more than ``most`` files beside each other.

    A folder that refuses is left alone.
    """
    place = cache_folder(folder)
    if place is None:
        return
    with contextlib.suppress(OSError):
        with written_whole(place / f"{key}{ENDING}") as part:
            part.write_bytes(_packed(arrays))
        _forget_oldest(place, most)


def _packed(arrays: Mapping[str, Any]) -> bytes:
    """A head, a text (JSON) that tells the arrays apart, and their bytes.

    A plan reads sixty files, and numpy's own packing of many arrays would take several times as
    long to read.
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
    text = json.dumps(what).encode()
    text += b" " * (-(HEAD.size + len(text)) % ALIGNED)
    body = b"".join([text, *parts])
    return HEAD.pack(FORMAT, zlib.crc32(body), len(text)) + body


def _unpacked(file: np.ndarray) -> dict[str, np.ndarray]:
    """The arrays of a file's bytes, as views of them.

    Raises
    ------
    ValueError
        It is another file, or not whole.
    """
    form, sum_of_bytes, length = HEAD.unpack(file[: HEAD.size].tobytes())
    body = file[HEAD.size :]
    if form != FORMAT or sum_of_bytes != zlib.crc32(body.data):
        raise ValueError("not a whole file of arrays")
    found, block = {}, body[length:]
    for name, kind, shape, start in json.loads(body[:length].tobytes()):
        dtype = np.dtype(kind)
        size = dtype.itemsize * math.prod(shape)
        found[name] = block[start : start + size].view(dtype).reshape(shape)
    return found


def _forget_oldest(folder: Path, most: int) -> None:
    """Keep a folder from growing without end."""
    files = sorted(folder.glob("*.*"), key=lambda f: f.stat().st_mtime)
    for file in files[: max(len(files) - most, 0)]:
        file.unlink(missing_ok=True)
