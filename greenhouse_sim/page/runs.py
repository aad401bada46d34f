"""Runs that the page started: one at a time, each with an id of its own; told of, stopped, kept."""

from __future__ import annotations

import logging
import queue
import secrets
import threading
from collections import OrderedDict
from collections.abc import Callable
from typing import TYPE_CHECKING, Any, Generic, NamedTuple, TypeVar

from greenhouse_sim.errors import GreenhouseError

if TYPE_CHECKING:
    from greenhouse_sim.page.answers import Answers
    from greenhouse_sim.page.drawing import Drawing
    from greenhouse_sim.report.page.parts import Section
    from greenhouse_sim.scenario import Scenario

KEPT = 200
"""Runs and opened files that are kept; the oldest go first."""
MOST_WAITING = 100
NOT_READY = "Getting ready; the first time on a machine this may take half a minute …"
WAITS = "Waiting for another run to end …"
log = logging.getLogger(__name__)
Thing = TypeVar("Thing")


class Found(NamedTuple):
    """What a run found: sections of a page, the same numbers as JSON, and its pictures."""

    sections: tuple[Section, ...]
    json: str
    drawings: tuple[Drawing, ...] = ()
    """Each stands in a section as a block of its name."""

    def drawing(self, name: str) -> Drawing | None:
        """The picture of a name; None where there is none."""
        return next((one for one in self.drawings if one.name == name), None)


class Stopped(Exception):
    """The reader of the page pressed Stop."""


class TooMany(Exception):
    """More runs wait than make sense."""


class Kept(Generic[Thing]):
    """The newest things, by ids that nobody can guess."""

    def __init__(self, most: int = KEPT) -> None:
        self._most = most
        self._things: OrderedDict[str, Thing] = OrderedDict()
        self._lock = threading.Lock()

    def add(self, thing: Thing) -> str:
        """Keep a thing; returns its id."""
        name = secrets.token_urlsafe(9)
        with self._lock:
            self._things[name] = thing
            while len(self._things) > self._most:
                self._things.popitem(last=False)
        return name

    def get(self, name: str) -> Thing | None:
        """The thing of an id; None where it is not kept."""
        with self._lock:
            return self._things.get(name)

    def all(self) -> list[Thing]:
        """Everything that is kept."""
        with self._lock:
            return list(self._things.values())


class Run:
    """One press of a button."""

    def __init__(self, what: str, answers: Answers, scenario: Scenario, text: str) -> None:
        self.what = what
        self.answers = answers
        self.scenario = scenario
        self.text = text
        self.state = "waiting"
        """waiting, running, done, failed, stopped."""
        self.done = 0
        self.total = 0
        self.said = ""
        self.problem = ""
        self.found: Found | None = None
        self._stop = threading.Event()
        self._lock = threading.Lock()

    @property
    def busy(self) -> bool:
        """Whether there is something to wait for."""
        return self.state in ("waiting", "running")

    def stop(self) -> None:
        """Ask it to end; it does at its next step."""
        self._stop.set()
        with self._lock:
            if self.state == "waiting":
                self.state = "stopped"

    def expect(self, total: int) -> None:
        """Say how many steps there are."""
        self.total = total

    def advance(self, steps: int) -> None:
        """Count steps; called from any thread."""
        with self._lock:
            self.done += steps
        self._look()

    def tell(self, line: str) -> None:
        """A line on what takes so long."""
        self.said = line
        self._look()

    def progress(self) -> dict[str, Any]:
        """How far it is, for the page that waits for it."""
        done = min(self.done, self.total)
        return {
            "state": self.state,
            "busy": self.busy,
            "done": done,
            "total": self.total,
            "said": self.said,
        }

    def begin(self) -> bool:
        """Take it up; False where it was stopped while it waited."""
        with self._lock:
            if self.state == "waiting":
                self.state, self.said = "running", ""
                return True
            return False

    def end(self, state: str, problem: str = "", found: Found | None = None) -> None:
        """Settle how it ended."""
        self.problem, self.found = problem, found
        self.state = state

    def _look(self) -> None:
        if self._stop.is_set():
            raise Stopped


class Runs:
    """The queue, and the thread that works it off.

    One run at a time: a run uses every core by itself, and two at once would only be slower
    each.
    """

    def __init__(self, work: Callable[[Run], Found], warm: Callable[[], None]) -> None:
        self._work = work
        self._warm = warm
        self._kept: Kept[Run] = Kept()
        self._ready = False
        self._waiting: queue.Queue[Run] = queue.Queue(MOST_WAITING)

    def open(self) -> None:
        """Begin to work, in a thread of its own that ends with the program.

        Only once nothing can be refused any more: a program that ends while it loads the first
        compiled code is aborted by the C library.
        """
        threading.Thread(target=self._loop, name="runs", daemon=True).start()

    def start(self, run: Run) -> str:
        """Queue a run; returns its id.

        Raises
        ------
        TooMany
            The queue is full.
        """
        run.said = WAITS if self._ready else NOT_READY
        try:
            self._waiting.put_nowait(run)
        except queue.Full:
            raise TooMany from None
        return self._kept.add(run)

    def get(self, name: str) -> Run | None:
        """The run of an id; None where it is not kept."""
        return self._kept.get(name)

    def end(self) -> None:
        """Stop every run: the program ends."""
        for run in self._kept.all():
            run.stop()

    def _loop(self) -> None:
        try:
            self._warm()
        except Exception:
            log.exception("the first run could not be made ready")
        self._ready = True
        while True:
            run = self._waiting.get()
            if run.begin():
                self._do(run)

    def _do(self, run: Run) -> None:
        try:
            run.end("done", found=self._work(run))
        except Stopped:
            run.end("stopped")
        except GreenhouseError as problem:
            run.end("failed", str(problem))
        except Exception:
            log.exception("a run of the page failed")
            run.end("failed", "a fault of the program; where it was started, it says more")
