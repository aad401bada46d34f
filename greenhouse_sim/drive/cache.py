"""Keep prepared winters on disk: a second run needs neither the sun nor the libraries for it.

The key is a hash of the weather, of the scenario's site, greenhouse and crop, and of the
source of everything that makes a winter (so an edited table or file never meets an old answer).
A folder that cannot be written or a file that cannot be read costs time, never an answer.
"""

from __future__ import annotations

import contextlib
import functools
import hashlib
import json
from importlib import resources
from importlib.metadata import version
from pathlib import Path
from typing import Any

import numpy as np

from greenhouse_sim.files import cache_folder, written_whole
from greenhouse_sim.greenhouse.numbers import Drive, House

SOURCES = ("greenhouse_sim.greenhouse", "greenhouse_sim.drive", "greenhouse_sim.tables")
KEPT_FILES = 300
"""Oldest files beyond this many are removed (about 0.6 MB each)."""
NOT_PHYSICS = {"name", "weather", "season", "power_cuts"}
"""Keys of the site that change no array here."""
WEATHER_ARRAYS = (
    "t_out_C", "t_dew_C", "pressure_Pa", "wind_m_s", "ghi_W", "dni_W", "dhi_W", "cloud",
    "ir_down_W", "snow_m",
)  # fmt: skip
WEATHER_PLACE = ("start", "utc_offset_h", "latitude", "longitude", "elevation_m")


def prepare(scenario: Any, weather: Any) -> tuple[House, Drive]:
    """The greenhouse and its winter, from disk where this very winter was prepared before."""
    folder = cache_folder("winters")
    file = None if folder is None else folder / f"{key(scenario, weather)}.npz"
    found = None if file is None else _read(file)
    if found is not None:
        return found
    from greenhouse_sim.drive.drive import make_drive, make_house

    house = make_house(scenario, weather)
    made = (house, make_drive(scenario, weather, house))
    if file is not None:
        _write(file, made)
    return made


def key(scenario: Any, weather: Any) -> str:
    """Hash of all that a prepared winter depends on, 32 hexadecimal digits."""
    total = hashlib.blake2b(digest_size=16)
    total.update(_source_hash().encode())
    for name in ("site", "greenhouse", "crop"):
        total.update(_section_text(getattr(scenario, name)).encode())
    for name in WEATHER_PLACE:
        total.update(repr(getattr(weather, name)).encode())
    for name in WEATHER_ARRAYS:
        total.update(np.ascontiguousarray(getattr(weather, name), dtype=float).tobytes())
    return total.hexdigest()


def _section_text(section: Any) -> str:
    """A section of the scenario as text that is the same for the same values."""
    dump = getattr(section, "model_dump", None)
    values = dump(mode="json") if dump is not None else vars(section)
    kept = {name: value for name, value in values.items() if name not in NOT_PHYSICS}
    return json.dumps(kept, sort_keys=True, default=repr)


@functools.cache
def _source_hash() -> str:
    """Hash of the source files, tables and library versions that make a winter."""
    total = hashlib.blake2b(digest_size=16)
    for library in ("numpy", "pvlib"):
        total.update(version(library).encode())
    for package in SOURCES:
        files = [f for f in resources.files(package).iterdir() if f.name.endswith((".py", ".csv"))]
        for file in sorted(files, key=lambda f: f.name):
            total.update(file.name.encode())
            total.update(file.read_bytes())
    return total.hexdigest()


def _read(file: Path) -> tuple[House, Drive] | None:
    """What a file holds, or None where it is missing or not whole."""
    try:
        with file.open("rb") as stream, np.load(stream, allow_pickle=False) as held:
            house = {name: held[f"house_{name}"] for name in House._fields}
            drive = {name: held[f"drive_{name}"] for name in Drive._fields}
    except Exception:  # a broken file shows itself in many ways and all mean: prepare again
        return None
    plain: dict[str, Any] = {n: float(v) if v.ndim == 0 else v for n, v in house.items()}
    return House(**plain), Drive(**drive)


def _write(file: Path, made: tuple[House, Drive]) -> None:
    """Write a file whole or not at all; a folder that refuses is left alone."""
    house, drive = made
    fields: dict[str, Any] = {
        f"house_{name}": np.asarray(value) for name, value in house._asdict().items()
    }
    fields |= {f"drive_{name}": value for name, value in drive._asdict().items()}
    with contextlib.suppress(OSError):
        with written_whole(file) as part, part.open("wb") as stream:
            np.savez(stream, **fields)
        _forget_oldest(file.parent)


def _forget_oldest(folder: Path) -> None:
    """Keep the folder from growing without end."""
    files = sorted(folder.glob("*.npz"), key=lambda f: f.stat().st_mtime)
    for file in files[: max(len(files) - KEPT_FILES, 0)]:
        file.unlink(missing_ok=True)
