"""What a page is made of: plain objects that the template writes down."""

from __future__ import annotations

from typing import NamedTuple


class Piece(NamedTuple):
    """Letters of one look: "", "faint", "strong", "hurt"."""

    text: str
    look: str = ""


class Cell(NamedTuple):
    """A cell of a table: its lines, each of pieces."""

    lines: tuple[tuple[Piece, ...], ...]

    @property
    def text(self) -> str:
        """The letters alone."""
        return "\n".join("".join(piece.text for piece in line) for line in self.lines)


class Line(NamedTuple):
    """A row of a table."""

    cells: tuple[Cell, ...]
    look: str = ""
    opens: bool = False
    """Whether a new block begins with it."""


class Sheet(NamedTuple):
    """A table."""

    title: str
    heads: tuple[str, ...]
    numbers: tuple[bool, ...]
    """For each column, whether it stands to the right."""
    lines: tuple[Line, ...]
    kind: str = "sheet"


class Picture(NamedTuple):
    """A picture with what is said in its stead."""

    name: str
    title: str
    text: str
    svg: str
    kind: str = "picture"


class Words(NamedTuple):
    """Sentences: as "lead" (the answer), "plain", "list" or "notes"."""

    lines: tuple[str, ...]
    kind: str = "plain"


class Section(NamedTuple):
    """A part of the page under a heading."""

    key: str
    title: str
    blocks: tuple[Sheet | Picture | Words, ...]


def lead(*lines: str) -> Words:
    """Sentences that answer."""
    return Words(lines, "lead")


def plain(*lines: str) -> Words:
    """Sentences that tell more."""
    return Words(lines, "plain")


def listed(*lines: str) -> Words:
    """Sentences one under another."""
    return Words(lines, "list")


def noted(*lines: str) -> Words:
    """How to read what stands above."""
    return Words(lines, "notes")


def section(key: str, title: str, *blocks: Sheet | Picture | Words | None) -> Section:
    """A section of what there is: empty blocks are left out."""
    kept = (block for block in blocks if block is not None)
    return Section(key, title, tuple(b for b in kept if not isinstance(b, Words) or any(b.lines)))
