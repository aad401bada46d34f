"""The table of outside checks: python checks.py [DENVER.epw MEASURED_FOLDER BURLINGTON.epw]

Writes tests/CHECKS.md. Rows of `checks_at_hand.py` are computed anew on any machine; those of
`checks_with_data.py` need files that do not ship. They are run and written to last_runs.csv when
the paths are given, and otherwise stand as they were last run, with the day.
"""

from __future__ import annotations

import csv
import math
import sys
from datetime import date
from pathlib import Path
from typing import NamedTuple

sys.path.insert(0, str(Path(__file__).parents[1]))

FOLDER = Path(__file__).parent
TABLE, LAST_RUNS = FOLDER.parent / "CHECKS.md", FOLDER / "last_runs.csv"
HEAD = """# Outside checks

Made by `python tests/outside/checks.py`; a test makes it again and compares. "Published" is a value
with the tolerance beside it, or a range. A miss stays a miss: nothing here is tuned.
"""


class Check(NamedTuple):
    """One figure beside a published one."""

    check: str
    source: str
    unit: str
    low: float
    high: float
    ours: float
    cause: str = ""
    """Of a miss."""

    @property
    def inside(self) -> bool:
        """Whether ours lies within the published range, if there is one."""
        return math.isnan(self.low) or self.low <= self.ours <= self.high

    @property
    def published(self) -> str:
        """The range as shown."""
        return "none" if math.isnan(self.low) else f"{shown(self.low)} to {shown(self.high)}"

    @property
    def verdict(self) -> str:
        """The word in the table."""
        return "-" if math.isnan(self.low) else "pass" if self.inside else "**miss**"


def near(check: str, source: str, unit: str, value: float, off: float, ours: float) -> Check:
    """A published value with a tolerance."""
    return Check(check, source, unit, value - off, value + off, ours)


def shown(value: float) -> str:
    """A figure with four digits."""
    return f"{value:.4g}"


def lines(rows: list[Check]) -> str:
    """Rows of the table."""
    out = ["| check | source | published | ours | unit | | cause of a miss |", "|---" * 7 + "|"]
    for row in rows:
        cells = [row.check, row.source, row.published, shown(row.ours), row.unit, row.verdict]
        out.append("| " + " | ".join([*cells, row.cause]) + " |")
    return "\n".join(out) + "\n"


def last_runs() -> tuple[str, list[Check]]:
    """Day and rows of the last run with data."""
    with LAST_RUNS.open(newline="", encoding="utf-8") as file:
        rows = list(csv.DictReader(file))
    return rows[0]["day"], [
        Check(
            row["check"], row["source"], row["unit"], float(row["low"]), float(row["high"]),
            float(row["ours"]), row["cause"],
        )
        for row in rows
    ]  # fmt: skip


def write_last_runs(rows: list[Check], day: str) -> None:
    """Keep what was run with data."""
    with LAST_RUNS.open("w", newline="", encoding="utf-8") as file:
        writer = csv.writer(file, lineterminator="\n")
        writer.writerow(["day", *Check._fields])
        for row in rows:
            writer.writerow([day, *row[:3], *(shown(v) for v in row[3:6]), row.cause])


def text(at_hand: list[Check]) -> str:
    """The whole page."""
    day, kept = last_runs()
    command = "`python tests/outside/checks.py DENVER.epw MEASURED_FOLDER BURLINGTON.epw`"
    return (
        f"{HEAD}\n## On any machine\n\n{lines(at_hand)}"
        f"\n## With data that does not ship\n\nLast run on {day} by {command}.\n\n{lines(kept)}"
    )


def main(paths: list[str]) -> None:
    """Write the page."""
    from outside.checks_at_hand import at_hand

    if paths:
        from outside.checks_with_data import with_data

        write_last_runs(with_data(*map(Path, paths)), date.today().isoformat())
    TABLE.write_text(text(at_hand()), encoding="utf-8")


if __name__ == "__main__":
    if len(sys.argv) not in (1, 4):
        sys.exit(
            "usage: python tests/outside/checks.py [DENVER.epw MEASURED_FOLDER BURLINGTON.epw]"
        )
    main(sys.argv[1:])
