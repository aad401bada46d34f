"""Answers of services kept in the user's cache, each with its checksum."""

from __future__ import annotations

import gzip
import hashlib
from pathlib import Path

from greenhouse_sim.errors import WeatherError
from greenhouse_sim.files import cache_folder, written_whole

FOLDER = "fetched"
MARK = b"greenhouse-sim answer 1 "


def answer_path(service: str, key: str) -> Path | None:
    """Where an answer is kept, or None where nothing can be kept."""
    folder = cache_folder(FOLDER, service)
    return None if folder is None else folder / f"{key}.json.gz"


def find_answer(path: Path | None) -> tuple[str | None, bool]:
    """An answer kept before, or None; and whether there was one that is damaged."""
    if path is None:
        return None, False
    try:
        head, _, packed = path.read_bytes().partition(b"\n")
    except OSError:
        return None, False
    try:
        if head != MARK + hashlib.sha256(packed).hexdigest().encode():
            return None, True
        return gzip.decompress(packed).decode("utf-8"), False
    except (OSError, ValueError, EOFError):
        return None, True


def keep_answer(path: Path | None, text: str) -> None:
    """Keep an answer, whole or not at all.

    Raises
    ------
    WeatherError
        The disk refuses (it is full, say).
    """
    if path is None:
        return
    packed = gzip.compress(text.encode("utf-8"), mtime=0)
    head = MARK + hashlib.sha256(packed).hexdigest().encode() + b"\n"
    try:
        with written_whole(path) as part:
            part.write_bytes(head + packed)
    except OSError as problem:
        raise disk_refuses(path, problem) from problem


def disk_refuses(
    path: Path, problem: OSError, instead: str = "point XDG_CACHE_HOME at another one"
) -> WeatherError:
    """One message for a full or unwritable disk.

    Parameters
    ----------
    instead
        What may be done in place of making room.
    """
    return WeatherError(
        f"{path}: cannot be written ({problem.strerror or problem}); free some room on that disk "
        f"(or {instead}) and give the command again: years fetched so far are kept"
    )
