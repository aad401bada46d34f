"""Who may ask: this machine, or whoever has the password; nobody through another site's page."""

from __future__ import annotations

import hmac
import ipaddress
import secrets
from typing import TYPE_CHECKING
from urllib.parse import urlsplit

from greenhouse_sim.errors import ScenarioError

if TYPE_CHECKING:
    from werkzeug.datastructures import Authorization as Login
    from werkzeug.datastructures import Headers

LOOPBACK = "127.0.0.1"
USER = "grower"
SHORTEST = 8
"""Letters of a password."""
SAFE = ("GET", "HEAD", "OPTIONS")
HEADERS = {
    "Content-Security-Policy": (
        "default-src 'none'; style-src 'self'; script-src 'self'; connect-src 'self'; "
        "img-src 'self' data:; form-action 'self'; frame-ancestors 'none'; base-uri 'none'"
    ),
    "X-Content-Type-Options": "nosniff",
    "Referrer-Policy": "same-origin",
}


class Guard:
    """What a request must bring. ``password`` is None where only this machine is served."""

    def __init__(self, host: str = LOOPBACK, password: str | None = None) -> None:
        self._host = host
        self._password = password
        self.token = secrets.token_urlsafe(24)
        """Stands in every form: a page of another site cannot read it."""

    def unknown_host(self, host: str) -> bool:
        """Whether the address was reached under a name that is not ours.

        Without a password a foreign name that was made to point at this machine could read
        the page; with one the browser would not hand the password to it.
        """
        name = urlsplit(f"//{host}").hostname or ""
        return self._password is None and name not in ("localhost", "127.0.0.1", "::1", self._host)

    def locked(self, login: Login | None) -> bool:
        """Whether the password is missing or wrong."""
        if self._password is None:
            return False
        known = login is not None and login.type == "basic"
        given = f"{login.username}:{login.password}" if login is not None and known else ""
        return not hmac.compare_digest(
            given.encode("utf-8", "replace"), f"{USER}:{self._password}".encode()
        )

    def foreign(self, method: str, host: str, headers: Headers, token: str) -> bool:
        """Whether a request that does something came from another site's page."""
        if method in SAFE:
            return False
        origin = headers.get("Origin")
        if origin is not None and urlsplit(origin).netloc != host:
            return True
        if headers.get("Sec-Fetch-Site", "same-origin") not in ("same-origin", "none"):
            return True
        return not hmac.compare_digest(token.encode("utf-8", "replace"), self.token.encode())


def check_host(host: str, password: str | None) -> None:
    """Refuse to serve others without a password.

    Raises
    ------
    ScenarioError
        With what to write instead.
    """
    if password is not None and len(password) < SHORTEST:
        raise ScenarioError(
            f"--password: too short; write one of at least {SHORTEST} letters, such as three words"
        )
    if password is None and not is_loopback(host):
        raise ScenarioError(
            f"--host: {host} lets other machines reach the page; give a --password with it, or "
            "leave --host out to serve this machine alone"
        )


def is_loopback(host: str) -> bool:
    """Whether only this machine can reach the address."""
    try:
        return ipaddress.ip_address(host).is_loopback
    except ValueError:
        return host == "localhost"
