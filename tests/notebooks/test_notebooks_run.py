"""The notebooks run as they are, in a copy, and say again what is stored in them.

Words must be the same, numbers within one of their last written digit (another processor may
round otherwise); pictures must come from the same cells in the same size. After a change that is
meant, store them anew: ``python tests/notebooks/cells.py notebooks/*.ipynb``.
"""

from __future__ import annotations

import base64
import json
import re
import shutil
import struct
from pathlib import Path
from typing import Any

import pytest
from cells import run_cells, texts

FOLDER = Path(__file__).parents[2] / "notebooks"
NOTEBOOKS = ("first_winter", "logger_to_woodpile", "valley_study")
NUMBER = re.compile(r"\d[\d,]*(?:\.\d+)?")
LARGEST_BYTES = 400_000


def notebook(name: str) -> dict[str, Any]:
    """A notebook as stored."""
    return json.loads((FOLDER / f"{name}.ipynb").read_text(encoding="utf-8"))


def same(stored: str, again: str) -> bool:
    """Whether two texts have the same words, and numbers within one of their last digit."""
    if NUMBER.sub("#", stored).split() != NUMBER.sub("#", again).split():
        return False
    pairs = zip(NUMBER.findall(stored), NUMBER.findall(again), strict=True)
    return all(_near(one, other) for one, other in pairs)


def _near(one: str, other: str) -> bool:
    digits = min(len(text.partition(".")[2]) for text in (one, other))
    values = (float(text.replace(",", "")) for text in (one, other))
    return abs(next(values) - next(values)) <= 1.0001 * 10.0**-digits


def pictures(outputs: list[dict[str, Any]]) -> list[tuple[int, int]]:
    """Width and height of each picture, pixels."""
    found = [one["data"]["image/png"] for one in outputs if "image/png" in one.get("data", {})]
    return [struct.unpack(">II", base64.b64decode(png)[16:24]) for png in found]


def test_these_are_all_notebooks() -> None:
    assert sorted(path.stem for path in FOLDER.glob("*.ipynb")) == sorted(NOTEBOOKS)


@pytest.mark.parametrize("name", NOTEBOOKS)
def test_a_notebook_says_again_what_it_said(
    name: str, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    for path in FOLDER.glob("*.toml"):
        shutil.copy(path, tmp_path)
    monkeypatch.chdir(tmp_path)
    before = {path.name for path in tmp_path.iterdir()}
    for number, (cell, outputs) in enumerate(run_cells(notebook(name)), start=1):
        where = f"{name}, cell {number}"
        assert same(texts(cell["outputs"]), texts(outputs)), f"{where}: {texts(outputs)}"
        assert pictures(cell["outputs"]) == pictures(outputs), where
    assert {path.name for path in tmp_path.iterdir()} == before, "a notebook leaves files behind"


@pytest.mark.parametrize("name", NOTEBOOKS)
def test_a_notebook_is_stored_as_it_ran(name: str) -> None:
    """Executed once from top to bottom, small, and with nothing of the machine it ran on."""
    path = FOLDER / f"{name}.ipynb"
    assert path.stat().st_size < LARGEST_BYTES
    code = [cell for cell in notebook(name)["cells"] if cell["cell_type"] == "code"]
    assert [cell["execution_count"] for cell in code] == list(range(1, len(code) + 1))
    for cell in code:
        said = texts(cell["outputs"])
        assert not re.search(r"(?<![\w.])/(home|root|tmp|Users|work)/|[A-Z]:\\", said)
        assert "Warning" not in said and "\x1b" not in said
        assert all(one.get("name") != "stderr" for one in cell["outputs"])
        assert max((len(line) for line in said.splitlines()), default=0) <= 100


@pytest.mark.parametrize("name", NOTEBOOKS)
def test_a_notebook_shows_pictures_and_the_cautions(name: str) -> None:
    cells = notebook(name)["cells"]
    shown = [cell for cell in cells if cell["cell_type"] == "code"]
    assert sum(len(pictures(cell["outputs"])) for cell in shown) >= 2
    assert any("cautions()" in "".join(cell["source"]) for cell in shown)


def test_another_number_or_word_is_seen() -> None:
    assert same("6.1 cords, 12 nights", "6.2  cords, 12 nights")
    assert not same("6.1 cords, 12 nights", "6.3 cords, 12 nights")
    assert not same("6.1 cords", "6.1 tons")
    assert not same("6.1 cords", "6.1 cords, 12 nights")
