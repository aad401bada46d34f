"""The demo farm that ships with the program."""

from __future__ import annotations

from pathlib import Path


def demo_path() -> Path:
    """The demo farm's scenario file."""
    return Path(__file__).with_name("demo.toml")
