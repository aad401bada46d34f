"""The hour is plain Python: floats, ifs and `math`, so that it can be read and compiled."""

from __future__ import annotations

import ast

import pytest

from package_tree import KERNEL, imports, tree

ALLOWED = {"__future__", "math", "typing", "numpy", "greenhouse_sim"}
ARRAYS_ONLY = {"ndarray", "empty", "zeros", "bool_", "float64", "int64", "uint64"}
"""What the kernel may use of numpy: making arrays, naming types. Never its mathematics."""


@pytest.mark.parametrize("module", KERNEL)
def test_imports_are_few(module: str) -> None:
    found = {one.name.split(".")[0] for one in imports(module)}
    assert found <= ALLOWED


@pytest.mark.parametrize("module", KERNEL)
def test_no_powers_and_no_numpy_mathematics(module: str) -> None:
    """``x * x`` is the same bits on every engine; ``x ** 2`` and ``np.exp`` need not be."""
    wrong = []
    for node in ast.walk(tree(module)):
        if isinstance(node, ast.BinOp | ast.AugAssign) and isinstance(node.op, ast.Pow):
            wrong.append(f"line {node.lineno}: **")
        numpy = isinstance(node, ast.Attribute) and ast.unparse(node.value) in ("np", "numpy")
        if numpy and node.attr not in ARRAYS_ONLY:
            wrong.append(f"line {node.lineno}: np.{node.attr}")
        if isinstance(node, ast.Call) and ast.unparse(node.func) in ("pow", "math.pow"):
            wrong.append(f"line {node.lineno}: pow")
    assert not wrong, f"{module}: " + "; ".join(wrong)


@pytest.mark.parametrize("module", KERNEL)
def test_kernels_raise_nothing_and_keep_nothing(module: str) -> None:
    """Errors belong to the door; a season's state is what is passed in and returned."""
    unwanted = ast.Raise | ast.Try | ast.Global | ast.Nonlocal | ast.With | ast.AsyncFunctionDef
    wrong = [node.lineno for node in ast.walk(tree(module)) if isinstance(node, unwanted)]
    assert not wrong, f"{module}: lines {wrong}"
    decorated = [
        node.name
        for node in ast.walk(tree(module))
        if isinstance(node, ast.FunctionDef) and node.decorator_list
    ]
    assert not decorated, f"{module}: {decorated} are decorated"


@pytest.mark.parametrize("module", KERNEL)
def test_a_kernel_file_says_so(module: str) -> None:
    assert (ast.get_docstring(tree(module)) or "").startswith("KERNEL:")


def test_the_compiled_engine_hashes_every_kernel_file() -> None:
    """The compiler's disk cache is keyed by these sources: one left out is a stale answer."""
    from greenhouse_sim.season.compiled import SOURCES

    hashed = {module.__name__.removeprefix("greenhouse_sim.") for module in SOURCES}
    used = set(KERNEL)
    for module in KERNEL:
        used |= {
            one.name.removeprefix("greenhouse_sim.")
            for one in imports(module)
            if one.name.startswith("greenhouse_sim.")
        }
    assert used <= hashed
