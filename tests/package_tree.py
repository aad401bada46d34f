"""The package as its sources say it is: modules, imports, kernel files."""

from __future__ import annotations

import ast
import functools
from pathlib import Path
from typing import NamedTuple

ROOT = Path(__file__).parents[1]
PACKAGE = ROOT / "greenhouse_sim"

KERNEL = (
    "heater.burn", "heater.store", "routine.decide", "season.balance", "season.heating",
    "season.visit", "season.count", "season.hour", "season.branch", "substep", "season.tally",
    "season.numbers", "season.moist_air", "season.vapour", "greenhouse.vapour_numbers",
)  # fmt: skip


class Import(NamedTuple):
    """One import of one module."""

    name: str
    """Full dotted name of the module imported (and, for ``from x import y``, x)."""
    line: int
    typing_only: bool
    """It stands under ``if TYPE_CHECKING``."""
    lazy: bool
    """It stands inside a function."""


@functools.cache
def modules() -> dict[str, Path]:
    """Dotted name below the package (``season.hour``; ``""`` for the package itself) to file."""
    found = {}
    for path in sorted(PACKAGE.rglob("*.py")):
        parts = path.relative_to(PACKAGE).with_suffix("").parts
        found[".".join(part for part in parts if part != "__init__")] = path
    return found


@functools.cache
def tree(module: str) -> ast.Module:
    """The syntax tree of a module."""
    return ast.parse(modules()[module].read_text(encoding="utf-8"))


@functools.cache
def imports(module: str) -> tuple[Import, ...]:
    """Every import of a module, wherever it stands."""
    found: list[Import] = []
    _walk(tree(module), False, False, found)
    return tuple(found)


def _walk(node: ast.AST, typing_only: bool, lazy: bool, found: list[Import]) -> None:
    for child in ast.iter_child_nodes(node):
        if isinstance(child, ast.Import):
            found += [Import(a.name, child.lineno, typing_only, lazy) for a in child.names]
        elif isinstance(child, ast.ImportFrom):
            assert child.level == 0, "write imports in full"
            found += [
                Import(_target(child.module or "", a.name), child.lineno, typing_only, lazy)
                for a in child.names
            ]
        elif isinstance(child, ast.If) and "TYPE_CHECKING" in ast.unparse(child.test):
            for part in child.body:
                _walk(ast.Module([part], []), True, lazy, found)
            for part in child.orelse:
                _walk(ast.Module([part], []), typing_only, lazy, found)
        else:
            inside = lazy or isinstance(child, ast.FunctionDef | ast.AsyncFunctionDef | ast.Lambda)
            _walk(child, typing_only, inside, found)


def _target(module: str, name: str) -> str:
    """``from greenhouse_sim.season import tally`` imports the module tally."""
    whole = f"{module}.{name}"
    below = whole.removeprefix("greenhouse_sim.")
    return whole if whole.startswith("greenhouse_sim.") and below in modules() else module


def own_imports(module: str) -> tuple[tuple[str, Import], ...]:
    """Imports from the package itself: name below the package, and the import."""
    return tuple(
        (one.name.removeprefix("greenhouse_sim").removeprefix("."), one)
        for one in imports(module)
        if one.name.split(".")[0] == "greenhouse_sim"
    )
