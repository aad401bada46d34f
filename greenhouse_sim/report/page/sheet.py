"""A table of the terminal as a table of the page: the same words and the same numbers."""

from __future__ import annotations

import itertools
from typing import TYPE_CHECKING

from greenhouse_sim.report.page.parts import Cell, Line, Piece, Sheet

if TYPE_CHECKING:
    from rich.table import Table
    from rich.text import Text


def sheet(table: Table, title: str | None = None) -> Sheet:
    """The table of a page that holds what a table of the terminal holds.

    Parameters
    ----------
    table
        As the commands print it.
    title
        In place of its own.
    """
    from rich.text import Text

    columns = [[_text(cell) for cell in column.cells] for column in table.columns]
    lines: list[Line] = []
    opens = False
    for number, row in enumerate(table.rows):
        cells = tuple(_cell(column[number]) for column in columns)
        lines.append(Line(cells, _look(str(row.style or "")), opens))
        opens = row.end_section
    named = table.title if title is None else Text(title)
    return Sheet(
        _text(named).plain if named is not None else "",
        tuple(" ".join(_text(column.header).plain.split()) for column in table.columns),
        tuple(column.justify == "right" for column in table.columns),
        tuple(lines),
    )


def _text(given: object) -> Text:
    from rich.text import Text

    return given if isinstance(given, Text) else Text.from_markup(str(given), emoji=False)


def _cell(text: Text) -> Cell:
    lines = []
    for line in text.split("\n", allow_blank=True):
        cuts = {0, len(line.plain)} | {at for span in line.spans for at in (span.start, span.end)}
        places = sorted(cuts)
        pieces = []
        for start, end in itertools.pairwise(places):
            on = [str(s.style) for s in line.spans if s.start <= start and end <= s.end]
            looks = _look(" ".join([str(text.style), *on]))
            pieces.append(Piece(line.plain[start:end], looks))
        lines.append(tuple(pieces))
    return Cell(tuple(lines))


def _look(style: str) -> str:
    words = style.split()
    if "red" in words:
        return "hurt"
    if "dim" in words:
        return "faint"
    return "strong" if "bold" in words else ""
