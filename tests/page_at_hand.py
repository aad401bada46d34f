"""The page as a browser sees it, without one: its server in a process of its own, forms by name."""

from __future__ import annotations

import contextlib
import http.client
import os
import re
import signal
import subprocess
import sys
import time
from collections.abc import Iterator, Mapping, Sequence
from email.message import Message
from html.parser import HTMLParser
from pathlib import Path
from typing import NamedTuple
from urllib.parse import urlencode, urlsplit

PATIENCE_S = 60.0
Pairs = list[tuple[str, str]]


class Answer(NamedTuple):
    """What came back."""

    status: int
    headers: Message
    data: bytes

    @property
    def text(self) -> str:
        """As text."""
        return self.data.decode()

    @property
    def goes_to(self) -> str:
        """Where a browser is sent on to."""
        return urlsplit(self.headers["Location"]).path


class Reader(HTMLParser):
    """Forms by what they send, tables cell by cell, pictures, which field is marked as wrong."""

    def __init__(self, text: str) -> None:
        super().__init__()
        self.forms: dict[str, Pairs] = {}
        self.choices: dict[str, list[str]] = {}
        self.tables: list[list[list[str]]] = []
        self.wrong: dict[str, str] = {}
        self.pictures: list[dict[str, str]] = []
        self._sends: Pairs = []
        self._select = ""
        self._option = False
        self._into: list[str] | None = None
        self._id = ""
        self.feed(text)

    def handle_starttag(self, tag: str, attrs: list[tuple[str, str | None]]) -> None:
        given = {key: value or "" for key, value in attrs}
        if tag == "form":
            self._sends = self.forms.setdefault(given["action"], [])
        elif tag == "input" and given.get("name"):
            box = given.get("type") == "checkbox"
            if box:
                self.choices.setdefault(given["name"], []).append(given["value"])
            if given.get("type") != "file" and (not box or "checked" in given):
                self._sends.append((given["name"], given.get("value", "")))
        elif tag == "select":
            self._select = given["name"]
            self.choices[self._select] = []
        elif tag == "option":
            self._option = "selected" in given
            self._into = [] if "value" not in given else None
            if "value" in given:
                self._chosen(given["value"])
        elif tag in ("img", "source"):
            self.pictures.append(given)
        elif tag == "table":
            self.tables.append([])
        elif tag == "tr":
            self.tables[-1].append([])
        elif tag in ("td", "th"):
            self._into = []
        elif tag == "br" and self._into is not None:
            self._into.append("\n")
        elif tag == "p" and given.get("class") == "wrong":
            self._id, self._into = given["id"], []

    def handle_endtag(self, tag: str) -> None:
        text = "".join(self._into or ())
        if tag == "option" and self._into is not None:
            self._chosen(text)
        elif tag in ("td", "th"):
            self.tables[-1][-1].append("\n".join(" ".join(x.split()) for x in text.split("\n")))
        elif tag == "p" and self._id:
            self.wrong[self._id.removesuffix("-wrong")] = text
            self._id = ""
        if tag in ("option", "td", "th", "p"):
            self._into = None

    def handle_data(self, data: str) -> None:
        if self._into is not None:
            self._into.append(data.replace("\n", " "))

    def _chosen(self, value: str) -> None:
        self.choices[self._select].append(value)
        if self._option:
            self._sends.append((self._select, value))


class Client:
    """One who uses the page."""

    def __init__(self, port: int, pid: int) -> None:
        self.port = port
        self.pid = pid
        """Of the server's process."""

    def ask(
        self, method: str, path: str, body: bytes = b"", headers: Mapping[str, str] | None = None
    ) -> Answer:
        """One request; no redirect is followed."""
        line = http.client.HTTPConnection("127.0.0.1", self.port, timeout=PATIENCE_S)
        with contextlib.closing(line):
            line.request(method, path, body or None, dict(headers or {}))
            answer = line.getresponse()
            return Answer(answer.status, answer.headers, answer.read())

    def get(self, path: str) -> Answer:
        """Look at a page."""
        return self.ask("GET", path)

    def post(
        self, path: str, fields: Sequence[tuple[str, str]], headers: Mapping[str, str] | None = None
    ) -> Answer:
        """Press a button."""
        own = {"Content-Type": "application/x-www-form-urlencoded", **(headers or {})}
        return self.ask("POST", path, urlencode(fields, errors="replace").encode(), own)

    def filled(self, path: str = "/", **changes: str | list[str]) -> Pairs:
        """What the form of a page would send, with some fields changed (a__b for a.b)."""
        new = {key.replace("__", "."): value for key, value in changes.items()}
        page = Reader(self.get(path).text)
        kept = [(key, value) for key, value in page.forms["/run"] if key not in new]
        for key, value in new.items():
            kept += [(key, one) for one in ([value] if isinstance(value, str) else value)]
        return kept

    def upload(self, text: bytes, name: str = "farm.toml") -> Answer:
        """Open a file."""
        token = dict(self.filled())["token"]
        edge = b"----an-edge"
        parts = [
            b'Content-Disposition: form-data; name="token"\r\n\r\n' + token.encode(),
            f'Content-Disposition: form-data; name="file"; filename="{name}"\r\n\r\n'.encode()
            + text,
        ]
        body = b"".join(b"--" + edge + b"\r\n" + part + b"\r\n" for part in parts)
        kind = {"Content-Type": f"multipart/form-data; boundary={edge.decode()}"}
        return self.ask("POST", "/open", body + b"--" + edge + b"--\r\n", kind)

    def run(self, fields: Pairs, what: str = "compare") -> str:
        """Start a run; returns the address of its page."""
        answer = self.post("/run", [*fields, ("do", what)])
        assert answer.status == 303, answer.text
        return answer.goes_to

    def wait(self, address: str) -> Answer:
        """Wait until a run has ended, and look at it."""
        until = time.monotonic() + PATIENCE_S
        while time.monotonic() < until:
            page = self.get(address)
            assert page.status == 200
            if "data-state" not in page.text:
                return page
            time.sleep(0.05)
        raise AssertionError("the run does not end")


@contextlib.contextmanager
def served(folder: Path, *options: str) -> Iterator[Client]:
    """The real server on a free port of this machine; stopped as Ctrl+C stops it."""
    command = [sys.executable, "-m", "greenhouse_sim", "serve", "--port", "0", *options]
    env = {**os.environ, "PYTHONPATH": str(Path(__file__).parents[1]), "PYTHONUNBUFFERED": "1"}
    said = folder / "said.txt"
    with said.open("wb") as errors:
        running = subprocess.Popen(
            command, cwd=folder, stdout=subprocess.PIPE, stderr=errors, text=True, env=env
        )
        assert running.stdout is not None
        with running.stdout:
            line = running.stdout.readline()
            found = re.search(r":(\d+)/", line)
            try:
                assert found, line + said.read_text()
                yield Client(int(found[1]), running.pid)
            finally:
                running.send_signal(signal.SIGINT)
                code = running.wait(20)
    assert code == 0
    assert "Traceback" not in said.read_text(), said.read_text()
