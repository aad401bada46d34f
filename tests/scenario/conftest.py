"""The example scenario that the tests vary."""

from __future__ import annotations

from pathlib import Path

import pytest

EXAMPLE = Path(__file__).with_name("example.toml")


@pytest.fixture(scope="session")
def example_text() -> str:
    return EXAMPLE.read_text(encoding="utf-8")
