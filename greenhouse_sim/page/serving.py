"""Serve the site until it is stopped."""

from __future__ import annotations

import errno
import logging
import socket
from collections.abc import Callable
from pathlib import Path

from greenhouse_sim.errors import ScenarioError
from greenhouse_sim.page.guard import Guard, check_host
from greenhouse_sim.page.runs import Runs
from greenhouse_sim.page.told import warm, work

THREADS = 64
"""Requests at a time: those for pictures wait for their turn to be drawn, and pages must not."""
BACKLOG = 1024
MISSING = (
    "serve needs a few more packages ({}); install them with: "
    'python -m pip install "greenhouse-sim[page]"'
)


def serve(
    host: str, port: int, password: str | None, folder: Path, tell: Callable[[str], None]
) -> None:
    """Serve the page.

    Parameters
    ----------
    host, port
        Where; port 0 takes a free one.
    password
        What others must know; None only on this machine.
    folder
        Where weather files are looked for.
    tell
        Is given the page's address once it can be opened.

    Raises
    ------
    ScenarioError
        The address cannot be used, or the packages are not there.
    """
    check_host(host, password)
    try:
        import tomlkit  # noqa: F401
        from waitress import create_server

        from greenhouse_sim.page.site import make_site
    except ModuleNotFoundError as problem:
        raise ScenarioError(MISSING.format(problem.name)) from None
    logging.getLogger("waitress.queue").setLevel(logging.ERROR)
    runs = Runs(work, warm)
    site = make_site(Guard(host, password), folder, runs)
    try:
        server = create_server(
            site, host=host, port=port, threads=THREADS, backlog=BACKLOG, ident=None,
            clear_untrusted_proxy_headers=True,
        )  # fmt: skip
    except (OSError, ValueError) as problem:
        raise ScenarioError(_refused(host, port, problem)) from None
    runs.open()
    # a name such as localhost may stand for several addresses
    listens = getattr(server, "effective_listen", None) or [(host, server.effective_port)]
    tell(f"http://{_reached_as(*min(listens))}/")
    try:
        server.run()
    finally:
        runs.end()
        server.close()


def _reached_as(host: str, port: int) -> str:
    """The address to open: of "every address of this machine" its name."""
    name = socket.gethostname() if host in ("0.0.0.0", "::") else host
    return f"[{name}]:{port}" if ":" in name else f"{name}:{port}"


def _refused(host: str, port: int, problem: Exception) -> str:
    if isinstance(problem, OSError) and problem.errno == errno.EADDRINUSE:
        return f"--port: {port} is in use already; write another, such as --port {port + 1}"
    return (
        f"--host: {host} with port {port} cannot be used ({problem}); write an address of this "
        "machine, such as 0.0.0.0 for all of them"
    )
