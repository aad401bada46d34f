"""The wheel holds what the program reads when it runs."""

from __future__ import annotations

import os
import subprocess
import sys
import zipfile
from pathlib import Path

import pytest

from package_tree import PACKAGE, ROOT

NO_NETWORK = (
    "No matching distribution found",
    "Failed to establish a new connection",
    "Temporary failure in name resolution",
    "Network is unreachable",
)


@pytest.fixture(scope="module")
def names(tmp_path_factory: pytest.TempPathFactory) -> set[str]:
    """Names of the files in a wheel built from this checkout."""
    out = tmp_path_factory.mktemp("wheel")
    command = [sys.executable, "-m", "pip", "wheel", str(ROOT), "--no-deps", "-q", "-w", str(out)]
    # pip keeps its own cache in the user's folder
    env = {key: value for key, value in os.environ.items() if key != "XDG_CACHE_HOME"}
    ran = subprocess.run(command, capture_output=True, text=True, check=False, env=env)
    said = ran.stdout + ran.stderr
    if ran.returncode != 0 and "CI" not in os.environ and any(w in said for w in NO_NETWORK):
        pytest.skip("building a wheel fetches the build backend: no network")
    assert ran.returncode == 0, said
    (wheel,) = out.glob("greenhouse_sim-*.whl")
    with zipfile.ZipFile(wheel) as held:
        return set(held.namelist())


def test_it_holds_every_source_and_table(names: set[str]) -> None:
    ours = {
        path.relative_to(PACKAGE.parent).as_posix()
        for pattern in ("*.py", "*.csv", "*.toml", "*.txt", "py.typed", "*.html", "*.css", "*.js")
        for path in PACKAGE.rglob(pattern)
    }
    assert not ours - names
    for file in ("scenario/demo.toml", "scenario/new.toml", "units.txt", "py.typed"):
        assert f"greenhouse_sim/{file}" in names


def test_it_holds_the_sample_winters(names: set[str]) -> None:
    samples = {p.name for p in Path(ROOT / "weather_samples").glob("*.*") if p.suffix != ".md"}
    assert len(samples) >= 6
    assert {f"greenhouse_sim/weather_samples/{name}" for name in samples} <= names


def test_it_holds_no_tests_and_no_rubbish(names: set[str]) -> None:
    for name in names:
        assert name.startswith(("greenhouse_sim/", "greenhouse_sim-")), name
        assert "__pycache__" not in name
