"""Find a weather file: beside the scenario, else among the bundled samples."""

from __future__ import annotations

import difflib
from os import PathLike
from pathlib import Path

from greenhouse_sim.errors import WeatherError

ENDINGS = (".csv", ".epw")


def samples_dir() -> Path:
    """Folder of the bundled samples: in the installed package, else in a checkout."""
    package = Path(__file__).resolve().parent.parent
    inside = package / "weather_samples"
    return inside if inside.is_dir() else package.parent / "weather_samples"


def sample_names() -> tuple[str, ...]:
    """File names of the bundled samples, sorted."""
    folder = samples_dir()
    if not folder.is_dir():
        return ()
    return tuple(sorted(f.name for f in folder.iterdir() if f.suffix in ENDINGS))


def find_weather(name: str, base_dir: str | PathLike[str]) -> Path:
    """Path of a weather file named in a scenario.

    Parameters
    ----------
    name
        A path as written in the scenario (relative ones start at ``base_dir``),
        or the file name of a bundled sample.
    base_dir
        Folder of the scenario.

    Raises
    ------
    WeatherError
        Neither there nor among the samples.
    """
    beside = Path(base_dir) / name
    try:
        if beside.exists():
            return beside
    except (OSError, ValueError) as problem:
        raise WeatherError(f"weather {name[:80]!r}: is no file name; write a path") from problem
    samples = sample_names()
    if name in samples:
        return samples_dir() / name
    near = difflib.get_close_matches(Path(name).name, samples, n=1, cutoff=0.6)
    hint = f"; the nearest bundled sample is {near[0]}" if near else ""
    known = f" (bundled samples: {', '.join(samples)})" if samples and not near else ""
    raise WeatherError(
        f"weather {name!r}: no such file in {Path(base_dir).resolve()} and no bundled sample "
        f"of this name{hint}{known}; write a path from the scenario's folder"
    )
