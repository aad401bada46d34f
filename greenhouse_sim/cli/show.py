"""Print reports on standard output."""

from __future__ import annotations

import sys
from collections.abc import Iterable
from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from rich.console import Console

WIDEST = 100
NARROWEST = 60


def console() -> Console:
    """Standard output, as wide as the terminal but no wider than a page; a page elsewhere."""
    from rich.console import Console

    if not sys.stdout.isatty():
        return Console(width=WIDEST, highlight=False, emoji=False)
    wide = Console().width
    return Console(width=min(max(wide, NARROWEST), WIDEST), highlight=False, emoji=False)


def paragraphs(page: Console, lines: Iterable[str], style: str = "") -> None:
    """Print lines of text, each wrapped, with an empty line after them."""
    for line in lines:
        page.print(line, style=style, markup=False)
    page.print()
