"""Entries as CSV: written out, and read from what a grower or another program wrote.

Columns: time, kind, fuel, indoor, outdoor, minutes, woken, until, note; time and kind are
needed. A heading may give the unit of bare numbers (``fuel [lb]``, ``indoor [degF]``); a cell may
bring its own (``40 lb``).
"""

from __future__ import annotations

import csv
import io
import re
from collections.abc import Sequence
from datetime import datetime
from pathlib import Path

from greenhouse_sim import units
from greenhouse_sim.errors import JournalError
from greenhouse_sim.journal.entry import Entry, check

HEADS = {
    "time": "", "kind": "", "fuel": "kg", "indoor": "degC", "outdoor": "degC", "minutes": "",
    "woken": "", "until": "", "note": "",
}  # fmt: skip
NEEDED = ("time", "kind")
EXAMPLES = {"kg": "40 lb", "degC": "48 degF"}
YES = ("1", "yes", "true", "y", "x")
NO = ("", "0", "no", "false", "n")
LARGEST_BYTES = 50_000_000
_HEAD = re.compile(r"\s*([^\[\]]*?)\s*(?:\[([^\[\]]*)\])?\s*$")
_BARE = re.compile(r"[-+]?(\d+\.?\d*|\.\d+)([eE][-+]?\d+)?$")


def moment(text: str, where: str) -> datetime:
    """A day and time as a grower writes it: ``2026-12-01 21:30``, local standard time."""
    try:
        found = datetime.fromisoformat(text.strip())
    except ValueError:
        found = None
    if found is None or found.tzinfo is not None:
        raise JournalError(
            f"{where}: {units.quoted(text)} is not a day and time; write one such as "
            "2026-12-01 21:30, in local standard time without an offset"
        )
    return found


def fuel_kg(text: str, stacked_kg_m3: float | None, where: str) -> float:
    """An amount of fuel, kg: by weight, or by the stack where its density is known."""
    example = EXAMPLES["kg"]
    try:
        return units.read_quantity(text, "kg", example)
    except ValueError as problem:
        if stacked_kg_m3:
            try:
                return units.read_quantity(text, "m^3", example) * stacked_kg_m3
            except ValueError:
                pass
        raise JournalError(f"{where}: {problem}") from None


def to_csv(entries: Sequence[Entry]) -> str:
    """All entries as CSV, SI."""
    out = io.StringIO()
    table = csv.writer(out, lineterminator="\n")
    table.writerow([f"{name} [{unit}]" if unit else name for name, unit in HEADS.items()])
    for one in entries:
        until = "" if one.until is None else one.until.isoformat(sep=" ", timespec="minutes")
        table.writerow(
            [
                one.at.isoformat(sep=" ", timespec="minutes"), one.kind, _number(one.kg),
                _number(one.indoor_C), _number(one.outdoor_C), _number(one.minutes),
                "yes" if one.woken else "", until, one.note,
            ]
        )  # fmt: skip
    return out.getvalue()


def _number(value: float | None) -> str:
    return "" if value is None else repr(value)


def read_csv(path: Path, stacked_kg_m3: float | None) -> list[Entry]:
    """Every entry of a CSV file.

    Raises
    ------
    JournalError
        With file, row and column, and what to write instead.
    """
    rows = list(csv.reader(io.StringIO(_text(path))))
    if not rows:
        raise JournalError(f"{path}: is empty; write a header row: {', '.join(HEADS)}")
    places = _places(rows[0], path)
    found = []
    for number, row in enumerate(rows[1:], start=2):
        if not any(cell.strip() for cell in row):
            continue
        where = f"{path}, row {number}"
        if len(row) > len(rows[0]):
            raise JournalError(f"{where}: has more cells than the header row; look for a comma")
        cells = {
            name: (row[at].strip() if at < len(row) else "", unit)
            for name, (at, unit) in places.items()
        }
        found.append(_entry(cells, stacked_kg_m3, where))
    return found


def _text(path: Path) -> str:
    try:
        if path.is_dir():
            raise JournalError(f"{path}: is a folder; name a CSV file")
        if path.stat().st_size > LARGEST_BYTES:
            raise JournalError(f"{path}: is far too large for a journal; name another file")
        return path.read_bytes().decode("utf-8-sig")
    except FileNotFoundError:
        raise JournalError(f"{path}: no such file; check the name and folder") from None
    except UnicodeDecodeError:
        raise JournalError(f"{path}: is not text in UTF-8; save it as CSV in UTF-8") from None


def _places(heads: Sequence[str], path: Path) -> dict[str, tuple[int, str]]:
    """Name of each known column: its place, and the unit in its heading."""
    found: dict[str, tuple[int, str]] = {}
    for at, head in enumerate(heads):
        match = _HEAD.match(head)
        name, unit = (match[1].lower(), match[2] or "") if match else (head.lower(), "")
        if name not in HEADS:
            raise JournalError(
                f"{path}, row 1: column {head.strip()[:40]!r} is not known; the journal has "
                f"{', '.join(HEADS)}"
            )
        if name in found:
            raise JournalError(f"{path}, row 1: column {name!r} stands twice; remove one")
        found[name] = (at, unit)
    for name in NEEDED:
        if name not in found:
            raise JournalError(f"{path}, row 1: there is no column {name!r}; add it")
    return found


def _entry(cells: dict[str, tuple[str, str]], stacked: float | None, where: str) -> Entry:
    def text(name: str) -> str:
        return cells.get(name, ("", ""))[0]

    def measure(name: str) -> str:
        words, unit = cells.get(name, ("", ""))
        return f"{words} {unit}" if unit and _BARE.match(words) else words

    def temperature(name: str) -> float | None:
        written = measure(name)
        if not written:
            return None
        try:
            return units.read_quantity(written, "degC", EXAMPLES["degC"])
        except ValueError as problem:
            raise JournalError(f"{where}, column {name}: {problem}") from None

    woken = text("woken").lower()
    if woken not in YES + NO:
        raise JournalError(f"{where}, column woken: {woken[:20]!r}; write yes or leave it empty")
    fuel = measure("fuel")
    minutes = text("minutes")
    if minutes and not _BARE.match(minutes):
        raise JournalError(f"{where}, column minutes: {minutes[:20]!r} is not a number; write 10")
    until = text("until")
    entry = Entry(
        moment(text("time"), f"{where}, column time"),
        text("kind").lower(),
        fuel_kg(fuel, stacked, f"{where}, column fuel") if fuel else None,
        temperature("indoor"),
        temperature("outdoor"),
        float(minutes) if minutes else None,
        woken in YES,
        moment(until, f"{where}, column until") if until else None,
        text("note"),
    )
    return check(entry, where)
