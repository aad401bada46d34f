"""What is said on standard error while a command works: notes, and a bar for long work."""

from __future__ import annotations

import sys
import threading
import time
from collections.abc import Iterable
from types import TracebackType
from typing import TYPE_CHECKING, Any

import typer

if TYPE_CHECKING:
    from greenhouse_sim.weather import Weather

PATIENCE_S = 2.0
"""Work that is done sooner needs no bar."""


class Progress:
    """A bar on standard error, once the work has taken two seconds, where that is a terminal."""

    def __init__(self, total: int) -> None:
        self.total = total
        self.done = 0
        self._began = time.monotonic()
        self._lock = threading.Lock()
        self._bar: Any = None
        self._job: Any = None

    def __enter__(self) -> Progress:
        """Start to count time."""
        return self

    def __exit__(
        self,
        kind: type[BaseException] | None,
        problem: BaseException | None,
        trace: TracebackType | None,
    ) -> None:
        """Take the bar away."""
        if self._bar is not None:
            self._bar.stop()

    def tell(self, line: str) -> None:
        """Say a line (above the bar where there is one)."""
        if self._bar is not None:
            self._bar.console.print(line, highlight=False)
        else:
            typer.echo(line, err=True)

    def advance(self, steps: int) -> None:
        """Count steps of the work; called from any thread."""
        with self._lock:
            self.done += steps
            if self._bar is None and self._due():
                self._start()
            if self._bar is not None:
                self._bar.update(self._job, completed=min(self.done, self.total))

    def _due(self) -> bool:
        waited = time.monotonic() - self._began
        return waited > PATIENCE_S and self.done < self.total and sys.stderr.isatty()

    def _start(self) -> None:
        from rich.console import Console
        from rich.progress import BarColumn, TextColumn, TimeRemainingColumn
        from rich.progress import Progress as Bar

        self._bar = Bar(
            TextColumn("{task.description}"),
            BarColumn(),
            TextColumn("{task.completed} of {task.total}"),
            TimeRemainingColumn(),
            console=Console(stderr=True),
            transient=True,
        )
        self._job = self._bar.add_task("Winters", total=self.total)
        self._bar.start()


def notes(lines: Iterable[str]) -> None:
    """Say each line once on standard error."""
    for line in dict.fromkeys(lines):
        typer.echo(f"note: {line}", err=True)


def weather_notes(records: Iterable[Weather]) -> list[str]:
    """What a reader should know of the weather: what was filled, wrapped or made up.

    A note that several winters share is told once, with their number.
    """
    shared: dict[str, list[str]] = {}
    for record in records:
        said = list(dict.fromkeys(record.notes))
        if record.synthetic:
            said.append("made-up (synthetic) weather, not measured")
        for note in said:
            shared.setdefault(note, []).append(record.name)
    return [f"{_names(names)}: {note}" for note, names in shared.items()]


def _names(names: list[str]) -> str:
    if len(names) <= 3:
        return ", ".join(names)
    return f"{', '.join(names[:2])} and {len(names) - 2} more winters"
