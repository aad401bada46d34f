"""Ask a public service over the network, patiently.

pvlib's own functions for these services ask and read in one step: without a time limit
(NASA POWER) and hiding the status and headers that say when to come back. So the asking
is done here; the parameters are those of pvlib's functions, and a test holds them to it.
"""

from __future__ import annotations

import json
import time
from collections.abc import Callable, Mapping
from email.utils import parsedate_to_datetime
from typing import Any, NamedTuple

Tell = Callable[[str], None]
AGENT = "greenhouse-sim"
AGAIN = (408, 425, 429, 500, 502, 503, 504, 529)
"""Statuses after which asking again may help; 529 is an overloaded PVGIS."""
MOST_BYTES = 60_000_000
"""A larger answer is not a year of hours."""
WHOLE_TIMES = 10.0
"""A whole answer may take this many times the patience for a single silence (judgement)."""


class Patience(NamedTuple):
    """How long to wait, and how often to ask."""

    silence_s: float = 60.0
    """Silence after which an answer is given up."""
    tries: int = 5
    first_wait_s: float = 2.0
    """Wait before the second try; doubled before each further one."""
    longest_wait_s: float = 300.0
    """A service that asks for more than this is left alone."""


class UnansweredError(Exception):
    """A service that did not answer, refused, or answered with something else."""


class _AgainError(Exception):
    """Worth another try, after so many seconds where the service says so."""

    def __init__(self, words: str, wait_s: float | None = None) -> None:
        super().__init__(words)
        self.wait_s = wait_s


def sleep(seconds: float) -> None:
    """Wait (tests put a clock of their own here)."""
    time.sleep(seconds)


def ask(
    address: str, params: Mapping[str, Any], patience: Patience, tell: Tell, contact: str = ""
) -> str:
    """The JSON text that a service answers with.

    Only the parameters are sent, with the program's name and, where one is given, a contact
    behind it (``User-Agent: greenhouse-sim you@example.org``). Failures that may pass (no
    connection, silence, a cut answer, status 429 or 5xx, a page in place of data) are tried again
    with growing waits; a Retry-After of the service is kept to.

    Raises
    ------
    UnansweredError
        With words on why: offline, refused (in the service's own words), or no data.
    """
    wait = patience.first_wait_s
    for left in reversed(range(patience.tries)):
        try:
            return _once(address, params, patience, contact)
        except _AgainError as problem:
            asked = problem.wait_s
            if asked is not None and asked > patience.longest_wait_s:
                raise UnansweredError(
                    f"{problem}, and asks to come back in {asked / 60.0:.0f} minutes"
                ) from problem
            if not left:
                raise UnansweredError(f"{problem} ({patience.tries} tries)") from problem
            pause = wait if asked is None else max(asked, wait)
            tell(f"{problem}; asking again in {pause:.0f} s")
            sleep(pause)
            wait *= 2.0
    raise UnansweredError("was not asked")


def _once(address: str, params: Mapping[str, Any], patience: Patience, contact: str) -> str:
    import requests

    began = time.monotonic()
    try:
        with requests.get(
            address, params=params, timeout=patience.silence_s, stream=True, auth=_no_password,
            headers={"User-Agent": f"{AGENT} {contact}".rstrip(), "Accept": "application/json"},
        ) as answer:  # fmt: skip
            body = bytearray()
            for part in answer.iter_content(65536):
                body += part
                if len(body) > MOST_BYTES:
                    raise UnansweredError("answered with far more than a year of hours")
                if time.monotonic() - began > WHOLE_TIMES * patience.silence_s:
                    raise _AgainError("answered too slowly")
            text = bytes(body).decode("utf-8", "replace")
            if not answer.ok:
                _refused(answer.status_code, dict(answer.headers), text)
    except requests.exceptions.Timeout as problem:
        raise _AgainError(f"did not answer for {patience.silence_s:g} s") from problem
    except requests.exceptions.ChunkedEncodingError as problem:
        raise _AgainError("was cut off in the middle of its answer") from problem
    except requests.exceptions.ConnectionError as problem:
        raise _AgainError("cannot be reached; is this computer online?") from problem
    except requests.exceptions.RequestException as problem:
        raise UnansweredError(f"cannot be asked ({_line(str(problem))})") from problem
    try:
        json.loads(text)
    except ValueError as problem:
        page = text.lstrip()[:200].lower().startswith(("<!doctype", "<html", "<?xml", "<"))
        raise _AgainError(
            "answered with a web page in place of data (a log-in page of the network, or the "
            "service is being mended)"
            if page
            else "was cut off in the middle of its answer"
        ) from problem
    return text


def _no_password(request: Any) -> Any:
    """Keep the library from sending a password that the user keeps for some host."""
    return request


def _refused(status: int, headers: Mapping[str, str], text: str) -> None:
    words = _own_words(text)
    said = f": {words}" if words else ""
    if status in AGAIN:
        busy = "is asked too often" if status == 429 else "has trouble"
        lower = {key.lower(): value for key, value in headers.items()}
        raise _AgainError(f"{busy} (status {status}){said}", _wait_s(lower.get("retry-after")))
    raise UnansweredError(f"refuses (status {status}){said}")


def _wait_s(text: str | None) -> float | None:
    """Seconds of a Retry-After header, which is a number or a date."""
    if text is None:
        return None
    try:
        return max(float(text), 0.0)
    except ValueError:
        pass
    try:
        return max(parsedate_to_datetime(text).timestamp() - time.time(), 0.0)
    except (ValueError, TypeError):
        return None


def _own_words(text: str) -> str:
    """What the service says about its refusal, on one line."""
    try:
        answer = json.loads(text)
    except ValueError:
        return ""
    if not isinstance(answer, dict):
        return ""
    for key in ("message", "messages", "detail", "errors", "header"):
        value = answer.get(key)
        if isinstance(value, list):
            value = "; ".join(str(one) for one in value)
        if value:
            return _line(str(value))
    return ""


def _line(text: str) -> str:
    """A stranger's words, on one line, printable and short."""
    kept = "".join(sign if sign.isprintable() else " " for sign in text)
    return " ".join(kept.split())[:200]
