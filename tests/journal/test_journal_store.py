"""The journal on disk: nothing acknowledged is lost, nothing strange is touched."""

from __future__ import annotations

import os
import sqlite3
import subprocess
import sys
import tempfile
from datetime import datetime, timedelta
from pathlib import Path

import pytest

from greenhouse_sim.errors import JournalError
from greenhouse_sim.journal.entry import CARRIED, LOAD, PILE, READING, Entry
from greenhouse_sim.journal.store import Journal, journal_path

HERE = Path(__file__).parent
AT = datetime(2025, 12, 1, 21, 30)

ADD = """
import sys
from datetime import datetime, timedelta
from pathlib import Path
from greenhouse_sim.journal.entry import Entry
from greenhouse_sim.journal.store import Journal
path, who = Path(sys.argv[1]), int(sys.argv[2])
for k in range(25):
    with Journal(path, make=True) as journal:
        journal.add([Entry(datetime(2025, 12, 1) + timedelta(minutes=k), "load", 1.0 + who)])
"""


def test_killed_two_hundred_times_in_the_middle_of_a_write(tmp_path: Path) -> None:
    """On a disk in memory where there is one: more writes, and a kill is no power cut."""
    memory = Path("/dev/shm") if os.access("/dev/shm", os.W_OK) else tmp_path
    with tempfile.TemporaryDirectory(dir=memory) as folder:
        ran = subprocess.run(
            [sys.executable, HERE / "kill_nine.py", folder, "200"], capture_output=True, text=True
        )
    assert ran.returncode == 0, ran.stdout + ran.stderr
    assert int(ran.stdout) > 100, "too few entries were written for this to mean anything"


def test_two_hands_at_once(tmp_path: Path) -> None:
    path = tmp_path / "farm.journal.db"
    hands = [
        subprocess.Popen([sys.executable, "-c", ADD, path, str(who)], stderr=subprocess.PIPE)
        for who in range(4)
    ]
    for hand in hands:
        _, err = hand.communicate()
        assert hand.returncode == 0, err.decode()
    with Journal(path, make=False) as journal:
        entries = journal.entries()
    assert len(entries) == 100
    assert len({one.number for one in entries}) == 100


def test_what_is_added_comes_back(tmp_path: Path) -> None:
    path = journal_path(str(tmp_path / "farm.toml"))
    assert path.name == "farm.journal.db"
    entry = Entry(AT, LOAD, 18.5, 9.0, -12.0, 10.0, True, None, "two splits")
    with Journal(path, make=True) as journal:
        (number,) = journal.add([entry])
        assert journal.add([entry]) == [0], "word for word the same: it is the same"
    with Journal(path, make=False) as journal:
        assert journal.entries() == [entry._replace(number=number)]
        assert journal.remove(number).note == "two splits"
        assert journal.entries() == []
        with pytest.raises(JournalError, match="no entry 1"):
            journal.remove(number)


def test_all_of_an_import_or_none(tmp_path: Path) -> None:
    path = tmp_path / "farm.journal.db"
    good, bad = Entry(AT, LOAD, 18.5), Entry(AT, LOAD)
    with Journal(path, make=True) as journal:
        with pytest.raises(JournalError, match="needs its amount"):
            journal.add([good, bad])
        assert journal.entries() == []


def test_a_full_disk_loses_nothing(tmp_path: Path) -> None:
    path = tmp_path / "farm.journal.db"
    with Journal(path, make=True) as journal:
        journal.add([Entry(AT, LOAD, 18.5)])
        pages = journal._base.execute("pragma page_count").fetchone()[0]
        journal._base.execute(f"pragma max_page_count = {pages}")
        many = [Entry(AT + timedelta(hours=k), LOAD, 1.0, note="x" * 900) for k in range(40)]
        with pytest.raises(JournalError, match=r"disk is full .* make room"):
            journal.add(many)
        assert len(journal.entries()) == 1
    with Journal(path, make=True) as journal:
        assert len(journal.add(many)) == 40, "with room again it goes on"


def test_a_newer_journal_is_refused_and_left_alone(tmp_path: Path) -> None:
    path = tmp_path / "farm.journal.db"
    with Journal(path, make=True) as journal:
        journal.add([Entry(AT, LOAD, 18.5)])
        journal._base.execute("pragma user_version = 2")
    before = path.read_bytes()
    with pytest.raises(JournalError, match=r"newer version .* bring the program up to date"):
        Journal(path, make=True)
    assert path.read_bytes() == before


def test_other_files_are_refused(tmp_path: Path) -> None:
    text = tmp_path / "notes.txt"
    text.write_text("what a cold night\n" * 100)
    with pytest.raises(JournalError, match="not a journal"):
        Journal(text, make=True)
    other = tmp_path / "other.db"
    base = sqlite3.connect(other)
    base.execute("create table bees (hive text)")
    base.close()
    with pytest.raises(JournalError, match="not a journal of this program"):
        Journal(other, make=True)
    with pytest.raises(JournalError, match="no journal yet"):
        Journal(tmp_path / "none.db", make=False)
    assert not (tmp_path / "none.db").exists()
    with pytest.raises(JournalError, match="no folder"):
        Journal(tmp_path / "no" / "j.db", make=True)


@pytest.mark.parametrize(
    ("entry", "told"),
    [
        (Entry(AT, "nap"), "no kind"),
        (Entry(AT, LOAD, -1.0), "more than 0"),
        (Entry(AT, CARRIED), "needs its amount"),
        (Entry(AT, PILE, -0.1), "cannot be"),
        (Entry(AT, READING), "needs a temperature"),
        (Entry(AT, READING, indoor_C=120.0), "unit right"),
        (Entry(AT, READING, 4.0, 9.0), "no amount"),
        (Entry(AT, "cut"), "needs its end"),
        (Entry(AT, "cut", until=AT), "after its beginning"),
        (Entry(AT, LOAD, 4.0, until=AT), "only a power cut"),
        (Entry(AT, LOAD, 4.0, minutes=-3.0), "minutes"),
        (Entry(AT.replace(year=26), LOAD, 4.0), "not a year"),
    ],
)
def test_what_cannot_be_is_refused(tmp_path: Path, entry: Entry, told: str) -> None:
    path = tmp_path / "j.db"
    with Journal(path, make=True) as journal, pytest.raises(JournalError, match=told):
        journal.add([entry])
