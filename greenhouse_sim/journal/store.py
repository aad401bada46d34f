"""The journal on disk: one SQLite file, safe against a crash and against two hands at once.

An entry is acknowledged when its transaction has been committed, with the disk asked to keep it
(``synchronous = EXTRA``). SQLite's rollback journal is used and not its write-ahead log: between
two entries the journal is then one file, which can be copied to a stick or lie on a network
drive. A process that dies in the middle leaves a ``-journal`` file beside it, from which the
next one that opens the journal sets it right. Writers wait for each other.
"""

from __future__ import annotations

import contextlib
from collections.abc import Iterable, Iterator
from datetime import datetime
from pathlib import Path
from typing import TYPE_CHECKING, Any

from greenhouse_sim.errors import JournalError
from greenhouse_sim.journal.entry import Entry, check

if TYPE_CHECKING:
    import sqlite3

SCHEMA = 1
"""Counts up when the tables change."""
MARK = 0x4752484A
"""Application mark of the file ("GRHJ")."""
PATIENCE_S = 20.0
"""How long one writer waits for another."""
ENDING = ".journal.db"
NUMBER = "entry"
COLUMNS = ("at", "kind", "kg", "indoor_C", "outdoor_C", "minutes", "woken", "until", "note")
TABLES = (
    """create table entry (
        entry integer primary key autoincrement,
        at text not null, kind text not null, kg real, indoor_C real, outdoor_C real,
        minutes real, woken integer not null, until text, note text not null)""",
    "create index entry_at on entry (at)",
    """create unique index entry_once on entry (at, kind, ifnull(kg, -1), ifnull(indoor_C, -999),
        ifnull(outdoor_C, -999), ifnull(minutes, -1), woken, ifnull(until, ''), note)""",
)


def journal_path(scenario_path: str | None) -> Path:
    """Where the journal of a scenario lies by default: beside it, ``farm.journal.db``."""
    file = Path(scenario_path or "scenario.toml")
    return file.with_name(f"{file.stem}{ENDING}")


class Journal:
    """An open journal. Use it as a context; entries are kept as soon as `add` returns."""

    def __init__(self, path: Path, *, make: bool) -> None:
        """Open ``path``; with ``make`` a missing one is made.

        Raises
        ------
        JournalError
            It is missing, is no journal, comes from a newer program, or cannot be opened.
        """
        import sqlite3

        self.path = path
        if not path.exists() and not make:
            raise JournalError(f"{path}: there is no journal yet; add a first entry to begin one")
        if path.exists() and not path.is_file():
            raise JournalError(f"{path}: is not a file; name a journal with --journal")
        if not path.parent.is_dir():
            raise JournalError(f"{path}: there is no folder {path.parent}; make it first")
        with self._plainly():
            self._base = sqlite3.connect(path, timeout=PATIENCE_S, isolation_level=None)
        try:
            with self._plainly():
                self._base.execute("pragma synchronous = extra")
                self._base.execute("pragma trusted_schema = off")
                self._ready(make)
        except BaseException:
            self._base.close()
            raise

    def __enter__(self) -> Journal:
        """Open already."""
        return self

    def __exit__(self, *_: object) -> None:
        """Close the file."""
        self._base.close()

    def add(self, entries: Iterable[Entry], where: str = "entry") -> list[int]:
        """Keep entries, all or none of them.

        Returns
        -------
        list of int
            The number of each; 0 for one that stood in the journal already, word for word.
        """
        rows = [_row(check(entry, where)) for entry in entries]
        marks = ", ".join("?" for _ in COLUMNS)
        numbers = []
        with self._plainly(), self._written():
            for row in rows:
                done = self._base.execute(
                    f"insert or ignore into entry ({', '.join(COLUMNS)}) values ({marks})", row
                )
                numbers.append(int(done.lastrowid or 0) if done.rowcount == 1 else 0)
        return numbers

    def remove(self, number: int) -> Entry:
        """Take an entry out, and tell what it was."""
        found = [one for one in self.entries() if one.number == number]
        if not found:
            raise JournalError(f"{self.path}: has no entry {number}; list them with --list")
        with self._plainly(), self._written():
            self._base.execute("delete from entry where entry = ?", (number,))
        return found[0]

    def entries(self) -> list[Entry]:
        """All of them, by their moment."""
        asked = f"select {', '.join(COLUMNS)}, {NUMBER} from entry order by at, {NUMBER}"
        with self._plainly():
            return [_entry(row) for row in self._base.execute(asked)]

    def _ready(self, make: bool) -> None:
        """Make the tables of an empty file; refuse what is not this program's or is newer."""
        schema, mark, tables = self._about()
        if tables == 0 and make:
            with self._written():
                # another process may have made them while this one waited
                schema, mark, tables = self._about()
                if tables == 0:
                    for line in TABLES:
                        self._base.execute(line)
                    self._base.execute(f"pragma application_id = {MARK}")
                    self._base.execute(f"pragma user_version = {SCHEMA}")
                    schema, mark = SCHEMA, MARK
        if mark != MARK:
            raise JournalError(f"{self.path}: is not a journal of this program; name another file")
        if schema > SCHEMA:
            raise JournalError(
                f"{self.path}: was written by a newer version of this program (its tables are "
                f"number {schema}, this version knows {SCHEMA}); bring the program up to date. "
                "Nothing was changed"
            )

    def _about(self) -> tuple[int, int, int]:
        asked = ("pragma user_version", "pragma application_id",
                 "select count(*) from sqlite_master")  # fmt: skip
        schema, mark, tables = (int(self._base.execute(one).fetchone()[0]) for one in asked)
        return schema, mark, tables

    @contextlib.contextmanager
    def _written(self) -> Iterator[None]:
        """One transaction: all of it or nothing."""
        self._base.execute("begin immediate")
        try:
            yield
            self._base.execute("commit")
        except BaseException:
            if self._base.in_transaction:
                self._base.execute("rollback")
            raise

    @contextlib.contextmanager
    def _plainly(self) -> Iterator[None]:
        """What the database complains of, with what to do about it."""
        import sqlite3

        try:
            yield
        except sqlite3.Error as problem:
            raise JournalError(f"{self.path}: {_remedy(problem)}") from problem


def _remedy(problem: sqlite3.Error) -> str:
    said = str(problem)
    if "full" in said or "disk I/O" in said:
        return (
            f"the disk is full or fails ({said}); make room and write the entry again. What was "
            "in the journal before is still there"
        )
    if "locked" in said or "busy" in said:
        return "another program has held it for too long; close that and try again"
    if "not a database" in said or "malformed" in said:
        return f"is not a journal that can be read ({said}); name another, or a copy of it"
    if "readonly" in said or "unable to open" in said:
        return f"cannot be written ({said}); name a journal in a folder of your own with --journal"
    return f"the database refuses ({said})"


def _row(entry: Entry) -> tuple[Any, ...]:
    return (
        _text(entry.at), entry.kind, entry.kg, entry.indoor_C, entry.outdoor_C, entry.minutes,
        int(entry.woken), None if entry.until is None else _text(entry.until), entry.note,
    )  # fmt: skip


def _entry(row: tuple[Any, ...]) -> Entry:
    at, kind, kg, indoor, outdoor, minutes, woken, until, note, number = row
    end = None if until is None else datetime.fromisoformat(until)
    return Entry(
        datetime.fromisoformat(at), kind, kg, indoor, outdoor, minutes, bool(woken), end, note,
        number,
    )  # fmt: skip


def _text(moment: datetime) -> str:
    return moment.isoformat(sep=" ", timespec="minutes")
