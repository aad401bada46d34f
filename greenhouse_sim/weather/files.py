"""Open a weather file as text, or say why not."""

from __future__ import annotations

from pathlib import Path

import numpy as np

from greenhouse_sim.errors import WeatherError

LARGEST_BYTES = 300_000_000
"""More than a century of hours in the widest format: a larger file is not weather."""

_UNUSED_IN_LATIN = bytes(range(0x80, 0xA0))


def read_text(path: Path) -> str:
    """The whole file as text, UTF-8 or Latin-1.

    Raises
    ------
    WeatherError
        Missing, a directory, unreadable, over 300 MB, empty or not text.
    """
    return as_text(read_bytes(path), path)


def read_bytes(path: Path) -> bytes:
    """The whole file as it stands on disk.

    Raises
    ------
    WeatherError
        Missing, a directory, unreadable, over 300 MB or empty.
    """
    try:
        if path.is_dir():
            raise WeatherError(f"{path}: is a directory; name a weather file in it")
        size = path.stat().st_size
        if size > LARGEST_BYTES:
            raise WeatherError(
                f"{path}: {size / 1e6:.0f} MB is too large for a weather file "
                f"(at most {LARGEST_BYTES / 1e6:.0f} MB); cut the years that you need from it"
            )
        raw = path.read_bytes()
    except FileNotFoundError as problem:
        raise WeatherError(f"{path}: no such weather file; check the name and folder") from problem
    except (OSError, ValueError) as problem:
        raise WeatherError(f"{path}: cannot be read ({problem}); name a readable file") from problem
    if not raw or raw.isspace():
        raise WeatherError(f"{path}: the file is empty; name a weather file with hourly rows")
    return raw


def as_text(raw: bytes, path: Path) -> str:
    """A file's bytes as text, UTF-8 or Latin-1, its lines ended in one way.

    Raises
    ------
    WeatherError
        Not text.
    """
    refusal = (
        f"{path}: is not a text file in UTF-8 (or Latin-1); "
        "save it as CSV or EPW text with the encoding UTF-8, unpacked"
    )
    if _has_control(raw):
        raise WeatherError(refusal)
    try:
        text = raw.decode("utf-8-sig")
    except UnicodeDecodeError as problem:
        if len(raw.translate(None, _UNUSED_IN_LATIN)) != len(raw):
            raise WeatherError(refusal) from problem
        text = raw.decode("latin-1")
    return text.replace("\r\n", "\n").replace("\r", "\n") if "\r" in text else text


def _has_control(raw: bytes) -> bool:
    """Whether bytes stand there that no text has: 0 to 8 and 14 to 31."""
    # numpy looks at a file of ten years in a tenth of the time that `bytes.translate` takes
    values = np.frombuffer(raw, np.uint8)
    low = values[values < 32]
    return bool(np.any((low < 9) | (low > 13)))
