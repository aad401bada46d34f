"""What a reader meets: public names, docstrings, file lengths, no leftovers in the text."""

from __future__ import annotations

import ast
import re
import subprocess
import tomllib
from collections.abc import Iterator
from pathlib import Path

import pytest

import greenhouse_sim
from package_tree import PACKAGE, ROOT, modules, tree

LONGEST_FILE = 450
TEXT = {".py", ".md", ".toml", ".txt", ".csv", ".ipynb", ""}
LEFTOVERS = re.compile(
    r"#\d+\b(?![0-9a-fA-F]*[\"';])|\b[Ii]ssue\s+#?\d+\b|\b(?:TO" r"DO|FIX" r"ME|X" r"XX)\b"
)


def tracked() -> list[Path]:
    """Text files that are (or will be) in the repository."""
    asked = ["git", "ls-files", "--cached", "--others", "--exclude-standard"]
    try:
        listed = subprocess.run(asked, cwd=ROOT, capture_output=True, text=True, check=True).stdout
    except (OSError, subprocess.CalledProcessError) as problem:
        pytest.skip(f"needs git and a checkout: {problem}")
    paths = [ROOT / name for name in listed.splitlines()]
    return [
        p for p in paths if p.suffix in TEXT and p.is_file() and "weather_samples" not in p.parts
    ]


def test_public_names_are_sorted_and_resolve() -> None:
    names = greenhouse_sim.__all__
    assert names == sorted(names)
    for name in names:
        assert getattr(greenhouse_sim, name) is not None
    with pytest.raises(AttributeError, match="no_such_name"):
        _ = greenhouse_sim.no_such_name


def test_one_version_everywhere() -> None:
    """pyproject, package and the newest section of the changelog that is not "Unreleased"."""
    project = tomllib.loads((ROOT / "pyproject.toml").read_text(encoding="utf-8"))["project"]
    assert project["version"] == greenhouse_sim.__version__
    headings = re.findall(
        r"^## ([\w.]+)", (ROOT / "CHANGELOG.md").read_text(encoding="utf-8"), re.MULTILINE
    )
    assert headings[:2] == ["Unreleased", greenhouse_sim.__version__]


def stands_alone(node: ast.ClassDef) -> bool:
    """Whether a class describes its own methods: one that fills in a base's has it there."""
    return all(ast.unparse(base) in ("NamedTuple", "Exception", "ABC") for base in node.bases)


def undocumented(module: str) -> Iterator[str]:
    """Public things of a module without a docstring."""
    found = tree(module)
    if not ast.get_docstring(found):
        yield "the module"
    for node in found.body:
        if not isinstance(node, ast.FunctionDef | ast.ClassDef) or node.name.startswith("_"):
            continue
        if not ast.get_docstring(node):
            yield node.name
        if isinstance(node, ast.ClassDef) and stands_alone(node):
            for inner in node.body:
                public = isinstance(inner, ast.FunctionDef) and not inner.name.startswith("_")
                if public and not ast.get_docstring(inner):
                    yield f"{node.name}.{inner.name}"


@pytest.mark.parametrize("module", sorted(modules()))
def test_everything_public_is_described(module: str) -> None:
    assert not list(undocumented(module))


def test_files_stay_short() -> None:
    """When a file's docstring needs "and", split it; this only catches what ran away."""
    files = [*PACKAGE.rglob("*.py"), *(ROOT / "tests").rglob("*.py")]
    long = {
        path.relative_to(ROOT).as_posix(): count
        for path in files
        if (count := len(path.read_text(encoding="utf-8").splitlines())) > LONGEST_FILE
    }
    assert not long


def test_no_leftovers_in_the_text() -> None:
    """No reminders to ourselves, no numbers of discussions that a reader cannot see."""
    found = [
        f"{path.relative_to(ROOT)}:{number}: {line.strip()[:80]}"
        for path in tracked()
        for number, line in enumerate(path.read_text(encoding="utf-8").splitlines(), start=1)
        if LEFTOVERS.search(line) and '"image/png": "' not in line
    ]
    assert not found


def test_folder_map_is_the_folders() -> None:
    """The map in DEVELOPERS.md names every folder, and no other."""
    text = (ROOT / "DEVELOPERS.md").read_text(encoding="utf-8")
    block = re.search(r"## The map of the house.*?```text\n(.*?)```", text, re.DOTALL)
    assert block is not None
    named = set(re.findall(r"^([\w./-]+/)\s", block.group(1), re.MULTILINE))
    ours = (".ci", "greenhouse_sim", "notebooks", "tests", "weather_samples")
    files = subprocess.run(
        ["git", "ls-files", "--cached", "--others", "--exclude-standard", *ours],
        cwd=ROOT, capture_output=True, text=True, check=False,
    ).stdout.splitlines()  # fmt: skip
    if not files:
        pytest.skip("needs git and a checkout")
    on_disk = {
        f"{parent.as_posix()}/"
        for name in files
        for parent in Path(name).parents
        if parent != Path() and (ROOT / name).is_file()
    }
    assert named == on_disk
