"""The kernel's machine code, kept on disk and called without the compiler."""

from __future__ import annotations

import os
import subprocess
import sys
from collections.abc import Callable, Iterator
from pathlib import Path
from typing import NamedTuple

import numpy as np
import pytest

from greenhouse_sim.season import compiled, machine_code, object_file

pytestmark = pytest.mark.skipif(
    not (compiled.available() and machine_code.at_home()), reason="code is not kept here"
)


class Line(NamedTuple):
    """A bundle with numbers and an array."""

    slope: float
    points: np.ndarray
    lift: float


def rise(line: Line, first: int, out: np.ndarray) -> None:
    """A function as the kernel's are: out = slope·(points + first) + lift."""
    for i in range(out.shape[0]):
        out[i] = line.slope * (line.points[i] + first) + line.lift


POINTS = np.array([1.0, 2.0, 4.0])
RISEN = [15.0, 18.0, 24.0]
"""3·(points + 2) + 6."""


def risen(function: Callable, line: Line | None = None) -> list[float]:
    out = np.zeros(3)
    function(line or Line(3.0, POINTS, 6.0), 2, out)
    return out.tolist()


@pytest.fixture
def folder(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Iterator[Path]:
    monkeypatch.setenv("XDG_CACHE_HOME", str(tmp_path))
    compiled.kernel.cache_clear()
    yield tmp_path / "greenhouse_sim" / machine_code.FOLDER
    compiled.kernel.cache_clear()


def anew(make: Callable | None = None) -> machine_code.Kernel:
    """The function as another process would have it; ``make`` in place of the compiler."""
    compiled.kernel.cache_clear()
    kernel = compiled.kernel(rise)
    if make is not None:
        kernel._make = make
    return kernel


def refused(_: tuple) -> machine_code.Made:
    raise AssertionError("compiled once more")


def test_it_is_compiled_once(folder: Path) -> None:
    assert not anew().is_kept()
    assert risen(anew()) == RISEN
    assert anew().is_kept()
    assert risen(anew(refused)) == RISEN
    assert [file.suffix for file in folder.iterdir()] == [".arrays"], "nothing half written"


def test_other_kinds_of_arguments_are_other_code(folder: Path) -> None:
    kernel = anew()
    assert risen(kernel) == RISEN
    every_other = np.array([1.0, 9.0, 2.0, 9.0, 4.0, 9.0])[::2]
    fixed = POINTS.copy()
    fixed.setflags(write=False)
    for points in (every_other, fixed, np.array([1, 2, 4])):
        assert risen(kernel, Line(3.0, points, 6.0)) == RISEN
    assert risen(kernel, Line(np.float64(3.0), POINTS, 6)) == RISEN
    assert len(list(folder.iterdir())) == 5


def test_an_array_that_took_the_place_of_another_is_another(folder: Path) -> None:
    """The loop remembers where arrays are for as long as they live."""
    kernel, out = anew(), np.zeros(3)
    for k in range(200):
        kernel(Line(1.0, np.full(3 + k % 2, float(k)), 0.0), 0, out)
        assert out.tolist() == [k, k, k]


def test_arguments_live_until_the_call(folder: Path) -> None:
    """What is ready to run holds its arrays: the words only say where they are."""
    kernel, outs = anew(), [np.zeros(3) for _ in range(50)]
    ready = [
        kernel.bound(Line(1.0, np.full(3, float(k)), 0.0), 0, out) for k, out in enumerate(outs)
    ]
    for run in ready:
        run()
    assert [out.tolist() for out in outs] == [[k] * 3 for k in range(50)]


@pytest.mark.parametrize("damage", ["cut", "changed", "empty", "no arrays"])
def test_a_broken_file_is_made_again(folder: Path, damage: str) -> None:
    assert risen(anew()) == RISEN
    (file,) = folder.iterdir()
    whole = file.read_bytes()
    broken = {
        "cut": whole[:-100],
        "changed": whole[:-100] + bytes(100),
        "empty": b"",
        "no arrays": b"\x7fELF" + bytes(2000),
    }
    file.write_bytes(broken[damage])
    assert risen(anew()) == RISEN
    assert risen(anew(refused)) == RISEN


def test_what_was_not_kept_under_this_name_is_made_again(folder: Path) -> None:
    """Only what was put there under this very name is run."""
    assert risen(anew()) == RISEN
    (file,) = folder.iterdir()
    whole = dict(machine_code.kept.find(machine_code.FOLDER, file.stem) or {})
    assert {"code", "inside", "told", "seal"} == whole.keys()
    for name in whole:
        for others in ({name: whole[name]}, {**whole, name: whole[name][:-1].copy()}):
            machine_code.kept.keep(machine_code.FOLDER, file.stem, others)
            assert risen(anew()) == RISEN
    assert risen(anew(refused)) == RISEN
    machine_code.kept.keep(machine_code.FOLDER, f"{file.stem[:-1]}x", whole)
    assert machine_code._found(f"{file.stem[:-1]}x") is None, "another's code"


def test_code_that_needs_its_compiler_is_left_to_it(folder: Path) -> None:
    """Arrays of numba's own need its runtime, which no other process has."""
    import numba

    def makes_arrays(line: Line, first: int, out: np.ndarray) -> None:
        rest = np.zeros(first)
        out[:] = line.slope * (line.points + first) + line.lift + rest[0]

    made = machine_code.Kernel(
        "makes_arrays", "key", lambda given: _made_with_counts(makes_arrays, given),
        lambda: numba.njit(makes_arrays),
    )  # fmt: skip
    assert risen(made) == RISEN
    again = machine_code.Kernel("makes_arrays", "key", refused, lambda: numba.njit(makes_arrays))
    assert risen(again) == RISEN


def _made_with_counts(function: Callable, arguments: tuple) -> machine_code.Made:
    import numba

    dispatcher = numba.njit(no_cpython_wrapper=True, no_cfunc_wrapper=True)(function)
    dispatcher.compile(tuple(numba.typeof(value) for value in arguments))
    (code,) = dispatcher.inspect_llvm().values()
    (done,) = dispatcher.overloads.values()
    return machine_code.Made(done.fndesc.llvm_func_name, code)


ODD = {
    "other arguments": "define i32 @rise(ptr %a, ptr %b, i8 %c) {\nret i32 0\n}",
    "another name": "define i32 @fall(ptr %a) {\nret i32 0\n}",
    "no code": "time,t_air [degC]\n",
}


@pytest.mark.parametrize("code", ODD.values(), ids=ODD)
def test_what_is_not_as_thought_is_left_to_numba(folder: Path, code: str) -> None:
    assert risen(anew(lambda _: machine_code.Made("rise", code))) == RISEN
    assert risen(anew(refused)) == RISEN


def test_a_folder_that_refuses_costs_time_only(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    (tmp_path / "file").write_text("not a folder")
    monkeypatch.setenv("XDG_CACHE_HOME", str(tmp_path / "file"))
    assert risen(anew()) == RISEN
    compiled.kernel.cache_clear()


def test_files_beside_each_other_are_few(folder: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(machine_code, "FEW", 3)
    for number in range(5):
        machine_code.Kernel(f"rise{number}", "key", compiled.kernel(rise)._make, lambda: rise)(
            Line(3.0, POINTS, 6.0), 2, np.zeros(3)
        )
    assert len(list(folder.iterdir())) == 3


def test_who_tells_numba_something_gets_numba(
    folder: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setenv("NUMBA_OPT", "1")
    assert not isinstance(anew_or_numba(), machine_code.Kernel)
    assert risen(anew_or_numba()) == RISEN


def anew_or_numba() -> Callable:
    compiled.kernel.cache_clear()
    return compiled.kernel(rise)


def test_text_is_no_argument() -> None:
    with pytest.raises(TypeError, match="not str"):
        machine_code.packed((1.0, "two"))


SCRIPT = """
import sys, numpy as np
from greenhouse_sim.scenario import demo_path, read_scenario
from greenhouse_sim.season.run import simulate
season = simulate(read_scenario(demo_path()), engine=sys.argv[1])
if sys.argv[1] == "compiled":
    unwanted = {"numba", "pandas", "scipy"} & set(sys.modules)
    assert not unwanted, unwanted
sys.stdout.buffer.write(season._trace.tobytes())
"""


def test_a_later_process_has_the_same_bits_without_the_compiler() -> None:
    """Kept code, linked by LLVM alone, against the interpreted loop."""
    from greenhouse_sim.scenario import demo_path, read_scenario
    from greenhouse_sim.season.run import simulate

    simulate(read_scenario(demo_path()), engine="compiled")
    traces = []
    for engine in ("compiled", "python"):
        ran = subprocess.run(
            [sys.executable, "-c", SCRIPT, engine],
            capture_output=True, check=False, env=os.environ,
        )  # fmt: skip
        assert ran.returncode == 0, ran.stderr.decode()
        traces.append(ran.stdout)
    assert len(traces[0]) > 500_000
    assert traces[0] == traces[1]


@pytest.mark.parametrize("damage", ["text", "another machine", "another kind of address"])
def test_what_is_not_as_simple_is_refused(damage: str) -> None:
    """An object file whose addresses cannot be filled in by a sum."""

    def tenth(line: Line, first: int, out: np.ndarray) -> None:
        """It needs the address of a constant."""
        out[0] = 0.1 * line.points[0]

    arguments = (Line(3.0, POINTS, 6.0), 2, np.zeros(3))
    made = compiled._made(tenth, arguments)
    kinds, _ = machine_code.packed(arguments)
    code = machine_code._machine_code(made, machine_code._types(kinds))
    whole = np.frombuffer(code, np.uint8)
    image = object_file.image_of([code], machine_code.DOOR)
    assert len(image.inside) and not image.outside
    broken = {
        "text": b"time,t_air [degC]\n" * 10,
        "another machine": code[:18] + b"\xb7" + code[19:],
        "another kind of address": _with_address_type(whole, 2),
    }
    with pytest.raises(object_file.Refused):
        object_file.image_of([broken[damage]], machine_code.DOOR)


def _with_address_type(file: np.ndarray, kind: int) -> bytes:
    """The file with its first open address of another type."""
    (head,) = np.frombuffer(file, object_file.HEAD, 1)
    sections = np.frombuffer(
        file, object_file.SECTION, int(head["sections"]), int(head["sections_at"])
    )
    first = next(one for one in sections if one["type"] == object_file.OPEN_ADDRESSES)
    changed = bytearray(file.tobytes())
    changed[int(first["at"]) + 8] = kind
    return bytes(changed)
