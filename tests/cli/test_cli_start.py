"""Starting fast, and arguments as a grower writes them."""

from __future__ import annotations

import subprocess
import sys

import pytest

from greenhouse_sim.cli.arguments import spread_out

HEAVY = ("pandas", "pvlib", "pint", "pydantic", "numba", "matplotlib", "scipy", "numpy", "rich")


def test_the_command_line_imports_nothing_heavy() -> None:
    code = (
        "import sys, greenhouse_sim, greenhouse_sim.cli\n"
        f"print([name for name in {HEAVY} if name in sys.modules])"
    )
    done = subprocess.run([sys.executable, "-c", code], capture_output=True, text=True, check=True)
    assert done.stdout.strip() == "[]"


@pytest.mark.parametrize("command", [[], ["run"], ["compare"], ["explain"], ["new"]])
def test_help_of_every_command(command: list[str], capsys: pytest.CaptureFixture[str]) -> None:
    from greenhouse_sim.cli import main

    with pytest.raises(SystemExit) as end:
        main([*command, "--help"])
    assert end.value.code == 0
    assert "Usage: greenhouse-sim" in capsys.readouterr().out


@pytest.mark.parametrize(
    ("given", "wanted"),
    [
        ("run f.toml --weather a b --json", "run f.toml --weather a --weather b --json"),
        ("run --weather a b f.toml", "run --weather a --weather b f.toml"),
        ("run f.toml --weather a normals.toml", "run f.toml --weather a --weather normals.toml"),
        ("compare --weather f.toml", "compare --weather f.toml"),
        ("compare --units si --weather a b f.toml",
         "compare --units si --weather a --weather b f.toml"),
        ("compare --heater x --weather a --weather b c",
         "compare --heater x --weather a --weather b --weather c"),
        ("run f.toml --weather", "run f.toml --weather"),
        ("run --weather=a b.toml", "run --weather=a b.toml"),
        ("run -- --weather a b", "run -- --weather a b"),
    ],
)  # fmt: skip
def test_several_files_after_one_option(given: str, wanted: str) -> None:
    assert spread_out(given.split()) == wanted.split()
