"""The season loop as machine code: the only file that knows numba.

The kernel is ordinary Python; here its functions are registered with numba and the
season compiled. The interpreted and the compiled loop give the same answer (a test
holds them together), so whether numba is there changes only the speed.

What is compiled is kept on disk as machine code that needs no numba (`machine_code`).
Where that cannot be, numba keeps it; since it does not notice a change in another file,
its folder is named by a hash of all kernel sources. A folder that cannot be written
only costs the compilation.
"""

from __future__ import annotations

import contextlib
import functools
import hashlib
import sys
import threading
import types
from collections.abc import Callable, Iterator
from pathlib import Path
from typing import Any

from greenhouse_sim import exponential, substep
from greenhouse_sim.files import cache_folder
from greenhouse_sim.greenhouse import numbers as greenhouse_numbers
from greenhouse_sim.greenhouse import vapour_numbers
from greenhouse_sim.heater import burn, store
from greenhouse_sim.heater import numbers as heater_numbers
from greenhouse_sim.routine import decide
from greenhouse_sim.routine import numbers as routine_numbers
from greenhouse_sim.season import (
    balance,
    branch,
    count,
    heating,
    hour,
    machine_code,
    moist_air,
    numbers,
    object_file,
    tally,
    vapour,
    visit,
)
from greenhouse_sim.season.beside import (
    afterwards,
    airing,
    ends,
    firing,
    lanes,
    loop,
    opening,
    tallying,
    tending,
)

KERNEL = (exponential, burn, store, decide, balance, heating, visit, count, moist_air, vapour)
STAGES = (lanes, opening, tending, firing, airing, afterwards, tallying, ends)
SOURCES = (
    *KERNEL,
    *STAGES,
    hour,
    loop,
    branch,
    substep,
    tally,
    numbers,
    greenhouse_numbers,
    vapour_numbers,
    heater_numbers,
    routine_numbers,
    machine_code,
    object_file,
    sys.modules[__name__],
)
HOW: dict[str, Any] = {"nogil": True, "error_model": "numpy", "_nrt": False}
"""How the kernel is compiled.

A division need not look whether to raise ZeroDivisionError (the numpy error model). A function
that makes no arrays needs no counts of who holds one: they would be kept in the loop, atomically
and for arrays that seasons on other cores share, which makes these wait.
"""


def available() -> bool:
    """Whether numba can be imported."""
    from importlib.util import find_spec

    return find_spec("numba") is not None


@functools.cache
def source_key() -> str:
    """A hash of the kernel's sources and of what compiles them."""
    from importlib.metadata import version

    digest = hashlib.sha256(f"{sys.version_info[:2]}{version('numba')}".encode())
    for module in SOURCES:
        digest.update(Path(module.__file__ or "").read_bytes())
    return digest.hexdigest()[:16]


def own_functions(module: types.ModuleType) -> list[Callable]:
    """The functions that a module defines itself."""
    return [
        thing
        for thing in vars(module).values()
        if isinstance(thing, types.FunctionType) and thing.__module__ == module.__name__
    ]


def is_cached(function: Callable = hour.season) -> bool:
    """Whether this function of the kernel has been compiled on this machine before."""
    if machine_code.at_home():
        return kernel(function).is_kept()
    folder = cache_folder("kernel", source_key())
    return folder is not None and any(folder.rglob(f"*.{function.__name__}-*.nbc"))


def compiled_season() -> Callable:
    """The season loop, compiled (or loaded from the user's cache)."""
    return kernel(hour.season)


def compiled_beside() -> Callable:
    """The loop over seasons side by side, compiled."""
    return kernel(loop.side_by_side)


def compiled_vapour() -> Callable:
    """The walk through a winter's vapour, compiled."""
    return kernel(vapour.walk)


def compiled_branches() -> Callable:
    """The season left on many evenings, compiled."""
    return kernel(branch.branches)


@functools.cache
def kernel(function: Callable) -> Any:
    """A kernel function, as machine code where that can be kept."""
    if not machine_code.at_home():
        return compiled(function)
    make = functools.partial(_made, function)
    compiled_here = functools.partial(compiled, function)
    return machine_code.Kernel(function.__name__, source_key(), make, compiled_here)


def _made(function: Callable, arguments: tuple) -> machine_code.Made:
    """A kernel function's code for such arguments, without numba's own ways into it."""
    numba = _numba()
    alone = {"no_cpython_wrapper": True, "no_cfunc_wrapper": True}
    dispatcher = numba.njit(**HOW, **alone)(function)
    with _as_written(numba):
        dispatcher.compile(tuple(numba.typeof(value) for value in arguments))
    (done,) = dispatcher.overloads.values()
    try:
        name = done.fndesc.llvm_func_name
    except AttributeError:  # another version may keep it elsewhere
        return machine_code.Made("", "")
    (code,) = dispatcher.inspect_llvm().values()
    return machine_code.Made(name, code)


@contextlib.contextmanager
def _as_written(numba: Any) -> Iterator[None]:
    """Let numba optimise nothing.

    A part that was optimised before it is put into the loop was made for any argument, and leaves
    less to gain where the argument is known: seasons would take a tenth longer.
    """
    usual = numba.config.OPT
    numba.config.OPT = type(usual)(0)
    try:
        yield
    finally:
        numba.config.OPT = usual


class _NoLinearAlgebra:
    """A finder of modules that does not find scipy.linalg, for the thread that made it."""

    def __init__(self) -> None:
        self._thread = threading.get_ident()

    def find_spec(self, name: str, *_: Any) -> None:
        """Leave every module to the finders that follow, but this one."""
        if name == "scipy.linalg" and threading.get_ident() == self._thread:
            raise ImportError(name)


@contextlib.contextmanager
def _without_linear_algebra() -> Iterator[None]:
    """Let numba find no scipy.linalg.

    It looks whether it could multiply matrices, which no season does, and does without where it
    cannot; the import would be a fifth of the time that a command takes to start.
    """
    finder = _NoLinearAlgebra()
    sys.meta_path.insert(0, finder)
    try:
        yield
    finally:
        sys.meta_path.remove(finder)


@functools.cache
def _numba() -> Any:
    """The compiler, acquainted with the kernel's functions."""
    with _without_linear_algebra():
        import numba.np.arraymath
    from numba.extending import register_jitable

    for module in (*KERNEL, *STAGES):
        for one in own_functions(module):
            register_jitable(error_model="numpy", forceinline=True, _nrt=False)(one)
    for one in (hour.season, *own_functions(branch)):
        register_jitable(error_model="numpy", _nrt=False)(one)
    return numba


@functools.cache
def compiled(function: Callable) -> Callable:
    """A kernel function, compiled and called by numba (or loaded from its cache)."""
    numba = _numba()
    folder = cache_folder("kernel", source_key())
    if folder is not None:
        setattr(numba.config, "CACHE_DIR", str(folder))  # noqa: B010 (numba makes it at run time)
    return numba.njit(cache=folder is not None, **HOW)(function)
