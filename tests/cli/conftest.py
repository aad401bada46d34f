"""Commands run in this process, and a farm to run them on."""

from __future__ import annotations

import functools
from collections.abc import Iterator
from pathlib import Path

import pytest
import typer.main

from asked import Answer, Ask
from greenhouse_sim.cli import main
from greenhouse_sim.scenario import demo_path


@pytest.fixture(scope="session", autouse=True)
def built_once() -> Iterator[None]:
    """A process builds the tree of its commands once; so does this one, for all that it runs."""
    with pytest.MonkeyPatch.context() as patch:
        patch.setattr("typer.main.get_command", functools.cache(typer.main.get_command))
        yield


@pytest.fixture
def ask(capsys: pytest.CaptureFixture[str], monkeypatch: pytest.MonkeyPatch) -> Ask:
    """Run a command in this process."""
    monkeypatch.setenv("COLUMNS", "100")

    def run(*arguments: object) -> Answer:
        with pytest.raises(SystemExit) as end:
            main([str(word) for word in arguments])
        said = capsys.readouterr()
        code = end.value.code
        return Answer(code if isinstance(code, int) else 0, said.out, said.err)

    return run


@pytest.fixture
def farm(tmp_path: Path) -> Path:
    """The demo farm with one short season."""
    text = demo_path().read_text(encoding="utf-8")
    text = text.replace('{ start = "10-01", end = "04-30" }', '{ start = "12-20", end = "01-20" }')
    path = tmp_path / "farm.toml"
    path.write_text(text, encoding="utf-8")
    return path


@pytest.fixture
def week(farm: Path) -> Path:
    """The farm with one short winter."""
    text = farm.read_text(encoding="utf-8")
    start = text.index("weather = [")
    end = text.index("]", start + len("weather = [")) + 1
    text = text[:start] + 'weather = "tamarack_flats_typical.csv"' + text[end:]
    farm.write_text(text.replace('end = "01-20"', 'end = "12-28"'), encoding="utf-8")
    return farm
