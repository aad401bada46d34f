"""The folder of a study's results: parts written whole, and a manifest that says of which study.

The folder is what readers of Parquet call a data set: name it, and they read all its parts.
Names that begin with ``_`` or ``.`` they leave out.
"""

from __future__ import annotations

import hashlib
import json
import os
from collections.abc import Iterator
from pathlib import Path
from typing import Any

import numpy as np

from greenhouse_sim.drive.cache import WEATHER_ARRAYS, WEATHER_PLACE
from greenhouse_sim.errors import GreenhouseError
from greenhouse_sim.files import written_whole
from greenhouse_sim.kept import makers_hash
from greenhouse_sim.plans.design_of_study import Design, Part
from greenhouse_sim.plans.study import Study

MANIFEST = "_study.json"
MAKERS = tuple(
    f"greenhouse_sim.{room}"
    for room in ("greenhouse", "heater", "routine", "drive", "season", "tables", "tables.heaters")
)
PARQUET_ENDS = b"PAR1"


def study_key(study: Study) -> str:
    """Hash of all that a study's results depend on, the program's own sources included."""
    total = hashlib.blake2b(digest_size=16)
    total.update(makers_hash(*MAKERS))
    axes = [[axis.key, axis.unit, axis.values] for axis in (*study.grid, *study.draw)]
    asked = [study.heaters, axes, len(study.grid), study.draws, study.seed]
    total.update(json.dumps(asked, default=str).encode())
    for place in study.places:
        total.update(place.name.encode())
        total.update(place.scenario({}).key().encode())
        for weather in place.winters:
            total.update(weather.name.encode())
            for name in WEATHER_PLACE:
                total.update(repr(getattr(weather, name)).encode())
            for name in WEATHER_ARRAYS:
                array = np.ascontiguousarray(getattr(weather, name), dtype=float)
                total.update(array.tobytes())
    return total.hexdigest()


class Results:
    """A folder of parts, old or new."""

    def __init__(self, folder: Path, design: Design, key: str) -> None:
        self.folder, self.design, self.key = folder, design, key

    def open(self) -> None:
        """Make the folder, or take up the one that is there.

        Raises
        ------
        GreenhouseError
            It holds something else, or another study (or this one before the farm, its weather
            or the program changed).
        """
        place = f"--out {self.folder}"
        if self.folder.exists() and not self.folder.is_dir():
            raise GreenhouseError(f"{place}: is a file; name a new folder, such as results.parquet")
        manifest = self.folder / MANIFEST
        if manifest.exists():
            if _read(manifest).get("study") != self.key:
                raise GreenhouseError(
                    f"{place}: holds the results of another study, or of this one before its farm, "
                    "weather or the program changed; name another folder, or delete this one"
                )
        elif self.folder.is_dir() and any(self.folder.iterdir()):
            raise GreenhouseError(
                f"{place}: is a folder with other things in it; name a new folder"
            )
        else:
            self._begin(place, manifest)
        if not os.access(self.folder, os.W_OK | os.X_OK):
            raise GreenhouseError(f"{place}: cannot be written to; name another folder")
        for rest in self.folder.glob(".part-*"):
            rest.unlink(missing_ok=True)

    def _begin(self, place: str, manifest: Path) -> None:
        about = {
            "study": self.key,
            "file": self.design.study.file,
            "seasons": self.design.seasons,
            "parts": self.design.part_count(),
        }
        try:
            self.folder.mkdir(parents=True, exist_ok=True)
            with written_whole(manifest) as temporary:
                temporary.write_text(json.dumps(about) + "\n", encoding="utf-8")
        except OSError as problem:
            raise GreenhouseError(
                f"{place}: cannot be written to ({problem.strerror}); name another folder"
            ) from None

    def path(self, part: Part) -> Path:
        """The file of a part."""
        return self.folder / f"part-{part.number:07d}.parquet"

    def missing(self) -> Iterator[Part]:
        """Parts that are not there yet, in order."""
        return (part for part in self.design.parts() if not _whole(self.path(part)))

    def keep(self, part: Part, data: bytes) -> None:
        """Write a part, whole or not at all."""
        with written_whole(self.path(part)) as temporary:
            temporary.write_bytes(data)


def _read(manifest: Path) -> dict[str, Any]:
    try:
        found = json.loads(manifest.read_text(encoding="utf-8"))
    except (OSError, ValueError):
        return {}
    return found if isinstance(found, dict) else {}


def _whole(path: Path) -> bool:
    """Whether a part is there to its last byte (a full disk or a lost machine may cut it)."""
    try:
        with path.open("rb") as stream:
            begins = stream.read(len(PARQUET_ENDS))
            stream.seek(-len(PARQUET_ENDS), os.SEEK_END)
            return begins == PARQUET_ENDS == stream.read()
    except OSError:
        return False
