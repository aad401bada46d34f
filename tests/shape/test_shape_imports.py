"""Arrows point one way: who may import whom, read from the sources."""

from __future__ import annotations

import subprocess
import sys

import pytest

from package_tree import KERNEL, imports, modules, own_imports

RANKS = (
    ("errors", "units", "files", "kept", "substep", "exponential"),
    ("tables",),
    ("scenario", "weather", "journal"),
    ("greenhouse", "heater", "routine"),
    ("drive",),
    ("season",),
    ("plans",),
    ("report",),
    ("page",),
    ("cli",),
    ("", "__main__"),
)
SIBLINGS = {"greenhouse", "heater", "routine"}
HEAVY = (
    "pandas", "pvlib", "pint", "pydantic", "numba", "matplotlib", "scipy", "jinja2", "sqlite3",
    "flask", "pyarrow", "distributed", "requests", "weasyprint",
)  # fmt: skip


def rank(module: str) -> int:
    """Place of a module's room in the order."""
    room = module.split(".")[0]
    return next(i for i, rooms in enumerate(RANKS) if room in rooms)


def test_every_module_has_a_rank() -> None:
    rooms = {module.split(".")[0] for module in modules()}
    known = {room for rooms in RANKS for room in rooms}
    assert rooms <= known, f"give these a place in the order: {sorted(rooms - known)}"


@pytest.mark.parametrize("module", sorted(modules()))
def test_imports_point_downwards(module: str) -> None:
    """Imports for types count too, except between the kernel's files."""
    wrong = []
    for name, one in own_imports(module):
        if one.typing_only and module in KERNEL:
            continue
        if name == "" and module.split(".")[0] == "cli":
            continue  # the version
        mine, theirs = module.split(".")[0], name.split(".")[0]
        sideways = mine != theirs and {mine, theirs} <= SIBLINGS
        if rank(name) > rank(module) or sideways:
            wrong.append(f"line {one.line} imports {name}")
    assert not wrong, f"{module}: " + "; ".join(wrong)


def test_no_import_cycle() -> None:
    """Nor among the modules of one room (imports for types only left out)."""
    graph = {
        module: {name for name, one in own_imports(module) if not one.typing_only and name}
        for module in modules()
        if module
    }
    done: set[str] = set()

    def visit(module: str, path: tuple[str, ...]) -> None:
        assert module not in path, " -> ".join([*path[path.index(module) :], module])
        if module not in done:
            for name in sorted(graph.get(module, ())):
                visit(name, (*path, module))
            done.add(module)

    for module in sorted(graph):
        visit(module, ())


@pytest.mark.parametrize(
    ("library", "only"),
    [("numba", {"season.compiled"}), ("llvmlite", {"season.machine_code"}), ("pint", {"units"})],
    ids=str,
)
def test_a_library_is_known_in_one_place(library: str, only: set[str]) -> None:
    found = {
        module
        for module in modules()
        for one in imports(module)
        if one.name.split(".")[0] == library
    }
    assert found == only


@pytest.mark.parametrize("name", ["greenhouse_sim", "greenhouse_sim.cli"])
def test_importing_is_light(name: str) -> None:
    """``--help`` must answer at once: nothing heavy is loaded before it is needed."""
    look = f"import sys, {name}; print(' '.join(sorted({{m.split('.')[0] for m in sys.modules}})))"
    ran = subprocess.run([sys.executable, "-c", look], capture_output=True, text=True, check=True)
    assert not set(HEAVY) & set(ran.stdout.split())
