"""A record read before comes from disk: the same, without the parser, and never an old one."""

from __future__ import annotations

import subprocess
import sys
from pathlib import Path

import numpy as np
import pytest

from greenhouse_sim.weather import find_weather, read_weather
from greenhouse_sim.weather.weather import KNOWN, PERHAPS

SAMPLE = "selkie_sound_typical.csv"


@pytest.fixture(autouse=True)
def own_cache(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Path:
    """A cache folder of this test's own."""
    monkeypatch.setenv("XDG_CACHE_HOME", str(tmp_path / "cache"))
    return tmp_path / "cache" / "greenhouse_sim" / "records"


def test_the_second_reading_is_the_same(own_cache: Path, tmp_path: Path) -> None:
    path = find_weather(SAMPLE, tmp_path)
    first, second = read_weather(path), read_weather(path)
    assert len(list(own_cache.iterdir())) == 1
    assert first.start == second.start and first.notes == second.notes
    assert (first.name, first.site, first.synthetic) == (second.name, second.site, second.synthetic)
    assert vars(first).keys() == vars(second).keys()
    for key in KNOWN + PERHAPS:
        assert np.array_equal(getattr(first, key), getattr(second, key), equal_nan=True)
        with pytest.raises(ValueError, match="read-only"):
            getattr(second, key)[0] = 0.0


def test_an_edited_file_is_read_anew(own_cache: Path, tmp_path: Path) -> None:
    text = find_weather(SAMPLE, tmp_path).read_text(encoding="utf-8")
    path = tmp_path / "mine.csv"
    path.write_text(text, encoding="utf-8")
    before = read_weather(path)
    lines = text.splitlines()
    row = next(i for i, line in enumerate(lines) if line.startswith("2025-12-01 00:00"))
    cells = lines[row].split(",")
    cells[1] = str(float(cells[1]) - 5.0)
    lines[row] = ",".join(cells)
    path.write_text("\n".join(lines) + "\n", encoding="utf-8")
    after = read_weather(path)
    assert (before.t_out_C - after.t_out_C).sum() == pytest.approx(5.0)


def test_a_broken_file_is_read_anew(own_cache: Path, tmp_path: Path) -> None:
    path = find_weather(SAMPLE, tmp_path)
    first = read_weather(path)
    next(own_cache.iterdir()).write_bytes(b"not what it was")
    assert np.array_equal(read_weather(path).t_out_C, first.t_out_C)


def test_the_second_reading_needs_no_parser(tmp_path: Path) -> None:
    path = find_weather(SAMPLE, tmp_path)
    read_weather(path)
    code = (
        "import sys; from greenhouse_sim.weather import read_weather;"
        f"read_weather({str(path)!r}); assert 'pandas' not in sys.modules"
    )
    subprocess.run([sys.executable, "-c", code], check=True)
