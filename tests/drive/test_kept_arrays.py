"""Arrays kept on disk come back as they were, or not at all."""

from __future__ import annotations

from pathlib import Path

import numpy as np
import pytest

from greenhouse_sim import kept
from greenhouse_sim.files import cache_folder

ARRAYS = {
    "one": np.float64(2.5),
    "text": np.array("Gräfin Ödland, 5 °F"),
    "none": np.zeros((0, 3)),
    "odd": np.arange(5, dtype=np.uint8),
    "wide": np.linspace(-1.0, 1.0, 12).reshape(3, 4),
    "flags": np.array([True, False, True]),
    "gaps": np.array([np.nan, np.inf, -0.0]),
}


@pytest.fixture(autouse=True)
def own_cache(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    """A cache folder of this test's own."""
    monkeypatch.setenv("XDG_CACHE_HOME", str(tmp_path))


def test_arrays_come_back_as_they_were() -> None:
    """Same kind, shape and bits, whatever stands before them."""
    kept.keep("try", "a", ARRAYS)
    found = kept.find("try", "a")
    assert found is not None and list(found) == list(ARRAYS)
    for name, value in ARRAYS.items():
        assert found[name].dtype == np.asarray(value).dtype, name
        assert found[name].shape == np.asarray(value).shape, name
        assert found[name].tobytes() == np.asarray(value).tobytes(), name
        assert found[name].flags.aligned and found[name].flags.writeable


def test_a_broken_file_is_no_file() -> None:
    """A byte changed, a file cut short, another format: make it again."""
    kept.keep("try", "a", ARRAYS)
    folder = cache_folder("try")
    assert folder is not None
    file = folder / "a.arrays"
    whole = file.read_bytes()
    at = whole.rindex(np.linspace(-1.0, 1.0, 12).tobytes())
    for broken in (whole[:at] + b"\x00\x01" + whole[at + 2 :], whole[: at + 8], b"", b"no"):
        file.write_bytes(broken)
        assert kept.find("try", "a") is None
    np.savez(file, one=np.zeros(3))
    assert kept.find("try", "a") is None


def test_objects_are_not_kept() -> None:
    """They would come back as addresses."""
    with pytest.raises(TypeError, match="only numbers and texts"):
        kept.keep("try", "a", {"what": np.array([None, {}])})
