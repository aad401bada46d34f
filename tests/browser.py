"""A real browser without a window, for the tests that look at pages.

Debian's chromium is started by the test and spoken to over two pipes (its DevTools protocol,
messages that end in a zero byte); nothing listens on the network.
"""

from __future__ import annotations

import base64
import contextlib
import json
import os
import select
import shutil
import signal
import subprocess
import time
from collections.abc import Iterator
from pathlib import Path
from typing import Any

NAMES = ("chromium", "chromium-browser", "google-chrome")
PATIENCE_S = 60.0
FLAGS = (
    "--headless=new", "--no-sandbox", "--disable-gpu", "--disable-dev-shm-usage",
    "--no-first-run", "--no-default-browser-check", "--disable-background-networking",
    "--disable-component-update", "--disable-sync", "--hide-scrollbars",
    "--host-resolver-rules=MAP * ~NOTFOUND", "--remote-debugging-pipe",
)  # fmt: skip
PAPER_IN = {"A4": (8.27, 11.69), "Letter": (8.5, 11.0)}


def browser_path() -> str | None:
    """The browser, where one is installed."""
    return next((found for name in NAMES if (found := shutil.which(name))), None)


class Tab:
    """A page that is open, and all that it said and asked for."""

    def __init__(self, into: int, out: int) -> None:
        self._into, self._out = into, out
        self._rest = b""
        self._number = 0
        self._session: str | None = None
        self.said: list[str] = []
        """Console messages and errors."""
        self.asked: list[str] = []
        """Addresses that were asked for."""
        self._loaded = False
        target = self.call("Target.createTarget", url="about:blank")["targetId"]
        opened = self.call("Target.attachToTarget", targetId=target, flatten=True)
        self._session = opened["sessionId"]
        for domain in ("Page", "Runtime", "Log", "Network"):
            self.call(f"{domain}.enable")

    def call(self, method: str, **given: Any) -> dict[str, Any]:
        """One command, and its answer."""
        self._number += 1
        order: dict[str, Any] = {"id": self._number, "method": method, "params": given}
        if self._session is not None:
            order["sessionId"] = self._session
        os.write(self._into, json.dumps(order).encode() + b"\0")
        until = time.monotonic() + PATIENCE_S
        while True:
            message = self._next(until)
            if message.get("id") == self._number:
                assert "error" not in message, message
                return message["result"]
            self._hear(message)

    def _next(self, until: float) -> dict[str, Any]:
        while b"\0" not in self._rest:
            ready, _, _ = select.select([self._out], [], [], max(until - time.monotonic(), 0.0))
            assert ready, "the browser does not answer"
            came = os.read(self._out, 1 << 20)
            assert came, "the browser has ended"
            self._rest += came
        message, _, self._rest = self._rest.partition(b"\0")
        return json.loads(message)

    def _hear(self, message: dict[str, Any]) -> None:
        what, told = message.get("method"), message.get("params", {})
        if what in ("Runtime.consoleAPICalled", "Runtime.exceptionThrown", "Log.entryAdded"):
            self.said.append(json.dumps(told))
        elif what == "Network.requestWillBeSent":
            self.asked.append(told["request"]["url"])
        elif what == "Page.loadEventFired":
            self._loaded = True

    def open(self, path: Path) -> None:
        """Load a file and wait until it is there."""
        self._loaded = False
        self.call("Page.navigate", url=path.as_uri())
        until = time.monotonic() + PATIENCE_S
        while not self._loaded:
            self._hear(self._next(until))

    def screen(self, width: int, height: int = 844, *, dark: bool = False) -> None:
        """The size of the window, and whether the reader likes it dark."""
        self.call(
            "Emulation.setDeviceMetricsOverride",
            width=width, height=height, deviceScaleFactor=1, mobile=width < 600,
        )  # fmt: skip
        scheme = {"name": "prefers-color-scheme", "value": "dark" if dark else "light"}
        self.call("Emulation.setEmulatedMedia", features=[scheme])

    def value(self, script: str) -> Any:
        """What a script comes to within the page."""
        answer = self.call("Runtime.evaluate", expression=script, returnByValue=True)
        assert "exceptionDetails" not in answer, answer
        return answer["result"].get("value")

    def shot(self, path: Path) -> Path:
        """The whole page as a PNG."""
        answer = self.call("Page.captureScreenshot", captureBeyondViewport=True)
        path.write_bytes(base64.b64decode(answer["data"]))
        return path

    def printed(self, paper: str, path: Path) -> Path:
        """The page as a PDF, as the browser's print does it, by the page's own margins."""
        width, height = PAPER_IN[paper]
        answer = self.call(
            "Page.printToPDF", paperWidth=width, paperHeight=height, preferCSSPageSize=False,
            printBackground=True,
        )  # fmt: skip
        path.write_bytes(base64.b64decode(answer["data"]))
        return path


@contextlib.contextmanager
def browser(folder: Path) -> Iterator[Tab]:
    """A browser with a profile in ``folder``; it is ended with the block."""
    program = browser_path()
    assert program is not None
    their_in, into = os.pipe()
    out, their_out = os.pipe()

    def pipes() -> None:
        os.dup2(their_in, 13)
        os.dup2(their_out, 14)
        os.dup2(13, 3)
        os.dup2(14, 4)

    with (folder / "browser.txt").open("wb") as spoken:
        running = subprocess.Popen(
            [program, *FLAGS, f"--user-data-dir={folder / 'profile'}", "about:blank"],
            stdin=subprocess.DEVNULL, stdout=spoken, stderr=spoken, close_fds=False,
            preexec_fn=pipes, start_new_session=True,
        )  # fmt: skip
        os.close(their_in)
        os.close(their_out)
        try:
            yield Tab(into, out)
        finally:
            with contextlib.suppress(ProcessLookupError):
                os.killpg(running.pid, signal.SIGKILL)
            running.wait()
            os.close(into)
            os.close(out)
