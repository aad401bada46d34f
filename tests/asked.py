"""What a command said, for the tests that run commands."""

from __future__ import annotations

from collections.abc import Callable
from typing import NamedTuple


class Answer(NamedTuple):
    """What a command said."""

    status: int
    out: str
    err: str


Ask = Callable[..., Answer]
