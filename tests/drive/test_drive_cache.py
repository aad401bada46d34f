"""Prepared winters on disk."""

from __future__ import annotations

import subprocess
import sys
from pathlib import Path
from typing import Any

import numpy as np
import pytest

from greenhouse_sim.drive.cache import key, prepare


@pytest.fixture(autouse=True)
def own_folder(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Path:
    monkeypatch.setenv("XDG_CACHE_HOME", str(tmp_path / "cache"))
    return tmp_path / "cache" / "greenhouse_sim" / "winters"


def same(one: Any, other: Any) -> bool:
    return all(np.array_equal(a, b) for a, b in zip(one, other, strict=True))


def test_second_time_is_the_same(farm: Any, weather: Any, own_folder: Path) -> None:
    first = prepare(farm(), weather(48, 1.0))
    assert len(list(own_folder.iterdir())) == 1
    second = prepare(farm(), weather(48, 1.0))
    assert same(first[0], second[0])
    assert same(first[1], second[1])
    assert type(second[0].air_c) is float
    assert second[0].chain_start.dtype == np.int64


def test_second_time_needs_no_sun_library(farm: Any, weather: Any, own_folder: Path) -> None:
    """The path from disk imports neither pvlib nor pandas."""
    code = (
        "import sys, greenhouse_sim.drive.cache;"
        "print('pvlib' in sys.modules, 'pandas' in sys.modules)"
    )
    said = subprocess.run([sys.executable, "-c", code], capture_output=True, text=True, check=True)
    assert said.stdout.split() == ["False", "False"]


def test_any_change_is_another_winter(farm: Any, weather: Any) -> None:
    base = key(farm(), weather(48))
    assert key(farm(), weather(48)) == base
    assert key(farm(tightness="old"), weather(48)) != base
    assert key(farm(crop_setpoint_day=11.0), weather(48)) != base
    assert key(farm(site_terrain="towns"), weather(48)) != base
    assert key(farm(), weather(48, t_out_C=-10.0001)) != base
    assert key(farm(), weather(48, latitude=45.1)) != base
    assert key(farm(site_name="elsewhere"), weather(48)) == base


@pytest.mark.parametrize("content", [b"", b"not a zip", b"PK\x03\x04broken"])
def test_broken_file_is_made_again(
    farm: Any, weather: Any, own_folder: Path, content: bytes
) -> None:
    first = prepare(farm(), weather(48))
    file = next(own_folder.iterdir())
    file.write_bytes(content)
    assert same(first[1], prepare(farm(), weather(48))[1])
    assert file.stat().st_size > 1000


def test_folder_that_cannot_be_made_is_left_alone(
    farm: Any, weather: Any, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    (tmp_path / "file").write_text("in the way")
    monkeypatch.setenv("XDG_CACHE_HOME", str(tmp_path / "file"))
    assert prepare(farm(), weather(24))[1].need_w.shape == (24,)
    assert [f.name for f in tmp_path.iterdir()] == ["file"]
