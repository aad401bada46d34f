"""Who may ask, and who is turned away."""

from __future__ import annotations

import base64
import socket
import subprocess
import sys
import time
from pathlib import Path

import pytest

from asked import Answer as Said
from greenhouse_sim.page.guard import is_loopback
from page_at_hand import Client, Pairs, Reader, served


def command(*options: str) -> Said:
    """``greenhouse-sim serve`` where it must refuse."""
    words = [sys.executable, "-m", "greenhouse_sim", "serve", *options]
    ran = subprocess.run(words, capture_output=True, text=True, check=False, timeout=60)
    return Said(ran.returncode, ran.stdout, ran.stderr)


def test_only_this_machine_without_a_password() -> None:
    said = command("--host", "0.0.0.0")
    assert said.status == 2
    assert "--password" in said.err
    assert "Traceback" not in said.err


def test_a_short_password_is_refused() -> None:
    said = command("--host", "0.0.0.0", "--password", "oak")
    assert said.status == 2
    assert "at least 8 letters" in said.err


def test_a_port_in_use() -> None:
    with socket.create_server(("127.0.0.1", 0)) as taken:
        port = taken.getsockname()[1]
        said = command("--port", str(port))
    assert said.status == 2
    assert f"--port {port + 1}" in said.err


def test_an_address_that_is_not_ours() -> None:
    said = command("--host", "barn.invalid", "--password", "three red oaks")
    assert said.status == 2
    assert "write an address of this machine" in said.err
    assert "Traceback" not in said.err


def test_a_name_of_this_machine(tmp_path: Path) -> None:
    with served(tmp_path, "--host", "localhost") as client:
        assert client.ask("GET", "/", headers={"Host": "localhost:80"}).status == 200


def test_packages_that_are_not_there(tmp_path: Path) -> None:
    """The extra is named."""
    (tmp_path / "flask.py").write_text("raise ModuleNotFoundError('gone', name='flask')\n")
    code = (
        f"import sys; sys.path.insert(0, {str(tmp_path)!r}); "
        "from greenhouse_sim.cli import main; main(['serve', '--port', '0'])"
    )
    ran = subprocess.run(
        [sys.executable, "-c", code], capture_output=True, text=True, check=False, timeout=60
    )
    assert ran.returncode == 2
    assert 'python -m pip install "greenhouse-sim[page]"' in " ".join(ran.stderr.split())


@pytest.mark.parametrize(
    ("host", "local"),
    [("127.0.0.1", True), ("::1", True), ("localhost", True), ("0.0.0.0", False),
     ("::", False), ("192.168.1.5", False), ("barn.local", False)],
)  # fmt: skip
def test_loopback(host: str, local: bool) -> None:
    assert is_loopback(host) is local


@pytest.mark.parametrize("host", ["kitchen.example", "127.0.0.1.example:80", "", "[::", "a:b:c"])
def test_a_foreign_name_that_points_here(client: Client, host: str) -> None:
    """Otherwise a page of that name could read this one."""
    assert client.ask("GET", "/", headers={"Host": host}).status == 400


@pytest.mark.parametrize(
    "headers",
    [{"Origin": "http://elsewhere.example"}, {"Origin": "null"}, {"Sec-Fetch-Site": "cross-site"},
     {"Sec-Fetch-Site": "same-site"}],
    ids=str,
)  # fmt: skip
def test_another_sites_page(client: Client, short: Pairs, headers: dict[str, str]) -> None:
    for path in ("/run", "/scenario", "/open", "/run/none/stop"):
        assert client.post(path, short, headers).status == 403


@pytest.mark.parametrize("token", ["", "x", "ü", "0" * 32])
def test_a_form_without_the_token(client: Client, short: Pairs, token: str) -> None:
    fields = [(key, token if key == "token" else value) for key, value in short]
    answer = client.post("/run", [*fields, ("do", "compare")])
    assert answer.status == 403
    assert "Open the form anew" in answer.text


def test_the_same_origin_may(client: Client, short: Pairs) -> None:
    own = {"Origin": f"http://127.0.0.1:{client.port}", "Sec-Fetch-Site": "same-origin"}
    assert client.post("/scenario", short, own).status == 200


@pytest.mark.parametrize(
    ("method", "path", "status"),
    [("GET", "/run/none", 404), ("GET", "/opened/none", 404), ("GET", "/nothing", 404),
     ("GET", "/static/../site.py", 404), ("GET", "/static/..%2fsite.py", 404),
     ("GET", "/run", 405), ("POST", "/", 403), ("DELETE", "/", 403), ("BREW", "/", 403)],
)  # fmt: skip
def test_addresses_that_lead_nowhere(client: Client, method: str, path: str, status: int) -> None:
    answer = client.ask(method, path)
    assert answer.status == status
    assert "Open the form" in answer.text


def test_an_unknown_button(client: Client, short: Pairs) -> None:
    assert client.post("/run", [*short, ("do", "everything")]).status == 400


def test_every_page_is_sealed(client: Client) -> None:
    """Nothing from elsewhere, in no foreign frame, no guessing of kinds."""
    for path in ("/", "/static/page.css", "/nothing"):
        headers = client.get(path).headers
        assert "default-src 'none'" in headers["Content-Security-Policy"]
        assert "unsafe" not in headers["Content-Security-Policy"]
        assert "frame-ancestors 'none'" in headers["Content-Security-Policy"]
        assert headers["X-Content-Type-Options"] == "nosniff"
        assert "Server" not in headers


def test_others_need_the_password(tmp_path: Path) -> None:
    with served(tmp_path, "--host", "0.0.0.0", "--password", "three red oaks") as client:

        def ask(login: str) -> int:
            words = base64.b64encode(login.encode()).decode()
            return client.ask("GET", "/", headers={"Authorization": f"Basic {words}"}).status

        answer = client.get("/")
        assert answer.status == 401
        assert answer.headers["WWW-Authenticate"].startswith("Basic")
        assert "greenhouse" not in answer.text.lower()
        assert client.get("/static/page.css").status == 401
        assert client.post("/run", [("do", "compare")]).status == 401
        assert ask("grower:three red oaks") == 200
        for login in ("grower:three red oak", ":", "grower", "guest:three red oaks", "grower:ü"):
            assert ask(login) == 401
        assert client.ask("GET", "/", headers={"Authorization": "Bearer grower"}).status == 401


def test_it_ends_at_once_in_the_middle_of_a_run(tmp_path: Path) -> None:
    """What runs is stopped with the program."""
    began = time.monotonic()
    with served(tmp_path) as client:
        every = Reader(client.get("/").text).choices["site.weather"]
        for _ in range(5):
            client.run(client.filled(**{"site.weather": every}), "nights")
        ended = time.monotonic()
    print(f"up after {ended - began:.1f} s, down after {time.monotonic() - ended:.1f} s")
    assert time.monotonic() - ended < 10.0
