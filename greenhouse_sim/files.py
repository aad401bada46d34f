"""Files written whole or not at all, and the user's cache folder."""

from __future__ import annotations

import contextlib
import os
import tempfile
from collections.abc import Iterator
from pathlib import Path


def cache_folder(*parts: str) -> Path | None:
    """A writable folder below the user's cache for this program, or None where there is none."""
    base = os.environ.get("XDG_CACHE_HOME") or str(Path.home() / ".cache")
    folder = Path(base).joinpath("greenhouse_sim", *parts)
    try:
        folder.mkdir(parents=True, exist_ok=True)
    except OSError:
        return None
    return folder if os.access(folder, os.W_OK) else None


@contextlib.contextmanager
def written_whole(path: Path, suffix: str = "") -> Iterator[Path]:
    """A temporary path beside ``path`` that takes its place when the block ends well.

    On any exception, an interrupt included, the temporary file is removed and
    ``path`` is as it was.
    """
    path.parent.mkdir(parents=True, exist_ok=True)
    handle, name = tempfile.mkstemp(
        prefix=f".{path.stem}-", suffix=suffix or path.suffix, dir=path.parent
    )
    os.close(handle)
    temporary = Path(name)
    try:
        yield temporary
        temporary.chmod(0o644)
        temporary.replace(path)
    except BaseException:
        temporary.unlink(missing_ok=True)
        raise
