"""Kill a process that writes the journal, again and again: python kill_nine.py FOLDER TIMES.

Prints how many entries were acknowledged, and exits with 1 if one of them is lost or the file is
not whole.
"""

from __future__ import annotations

import os
import random
import signal
import sqlite3
import sys
import time
from datetime import datetime, timedelta
from pathlib import Path

from greenhouse_sim.journal.entry import LOAD, Entry
from greenhouse_sim.journal.store import Journal

FIRST = datetime(2025, 11, 1)
LONGEST_S = 0.03
"""A life is over after this long, at the latest."""


def write_on(path: Path, begin: int, told: int) -> None:
    """Add entries without end, and tell each one's number once it is acknowledged."""
    with Journal(path, make=True) as journal:
        number = begin
        while True:
            entry = Entry(FIRST + timedelta(minutes=number), LOAD, 1.0 + number, note="x" * 200)
            journal.add([entry])
            os.write(told, number.to_bytes(4, "big"))
            number += 1


def one_life(path: Path, begin: int, lives_s: float) -> list[int]:
    """Let a process write for a while, kill it, and return what it had acknowledged."""
    reading, told = os.pipe()
    child = os.fork()
    if child == 0:
        os.close(reading)
        try:
            write_on(path, begin, told)
        finally:
            os._exit(1)
    os.close(told)
    time.sleep(lives_s)
    os.kill(child, signal.SIGKILL)
    os.waitpid(child, 0)
    with os.fdopen(reading, "rb") as pipe:
        said = pipe.read()
    return [int.from_bytes(said[at : at + 4], "big") for at in range(0, len(said) - 3, 4)]


def main(folder: Path, times: int) -> int:
    """Run so many lives, looking at the journal after each."""
    path = folder / "farm.journal.db"
    chance = random.Random(7)
    acknowledged: set[int] = set()
    for life in range(times):
        begin = 10_000 * life
        acknowledged |= set(one_life(path, begin, chance.uniform(0.0, LONGEST_S)))
        with Journal(path, make=True) as journal:
            kept = {int((one.kg or 0.0) - 1.0) for one in journal.entries()}
        base = sqlite3.connect(path)
        whole = base.execute("pragma integrity_check").fetchone()[0]
        base.close()
        lost = acknowledged - kept
        if lost or whole != "ok":
            print(f"life {life}: lost {sorted(lost)[:5]}, integrity {whole}")
            return 1
    print(len(acknowledged))
    return 0


if __name__ == "__main__":
    raise SystemExit(main(Path(sys.argv[1]), int(sys.argv[2])))
