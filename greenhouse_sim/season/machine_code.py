"""Machine code of the kernel, kept on disk and called without the compiler that made it.

numba is the compiler, and its import takes two thirds of a second, in which some hundred winters
could be run. What it makes of the season is thirty kilobytes that need nothing but ``exp``. So
that code is kept as an image (`object_file`): to run it, it is given a place, and the addresses
in it are filled in.

In machine code a function takes one number after another: a bundle as its members, an array as
its owners (none here), its size, the bytes of an item, its place, its shape and its steps. A
second function, the *door*, takes the address of all these words in a row and calls the
first with them: a Python call of three hundred arguments would take as long as many hours. The
two are optimised together and become one.

Where anything is in doubt (another processor or system, numba told to do something by the
environment, code that needs more than the C library) numba does it all itself.
"""

from __future__ import annotations

import ctypes
import functools
import hashlib
import json
import mmap
import os
import struct
import sys
import threading
import weakref
from collections.abc import Callable
from importlib.metadata import version
from pathlib import Path
from typing import Any, NamedTuple

import numpy as np

from greenhouse_sim import kept
from greenhouse_sim.files import cache_folder
from greenhouse_sim.season.object_file import Image, Refused, image_of

FOLDER = "machine_code"
FEW = 100
"""More files than a version of the program and a machine need."""
DOOR = "door"
MOST_OPTIMISED = 3
"""As fast as LLVM makes it."""
FLOAT, WHOLE = struct.Struct("d").pack, struct.Struct("q").pack
ONLY_FLOATS = {float}
NOTHING = Image(b"", np.zeros((0, 2), np.int64), (), 0)
"""Kept where numba has to be there to run a function, so that it is not tried again."""
PROCESSOR = ("vendor_id", "cpu family", "model", "model name", "stepping", "flags")
"""What Linux tells of a processor, and compilers look at."""


class Made(NamedTuple):
    """What a compiler made of a function."""

    name: str
    """The function's own in the code."""
    code: str
    """The code in LLVM's words, as it was written: not optimised yet."""


def at_home() -> bool:
    """Whether code can be kept here: tried on this kind of machine, and numba left as it is."""
    tried = sys.platform == "linux" and os.uname().machine == "x86_64"
    return tried and not any(name.startswith("NUMBA_") for name in os.environ)


class Kernel:
    """A kernel function in machine code, called as the function itself.

    Parameters
    ----------
    name, key
        The function's, and a hash of its sources and its compiler.
    make
        Compiles the function for some arguments.
    compiled
        The function as its compiler would call it, for where no code can be kept.
    """

    def __init__(
        self,
        name: str,
        key: str,
        make: Callable[[tuple], Made],
        compiled: Callable[[], Callable],
    ) -> None:
        self._name = f"{name}-{key}"
        self._make = make
        self._compiled = compiled
        self._doors: dict[tuple[str, ...], Callable] = {}
        self._places: list[mmap.mmap] = []
        self._lock = threading.Lock()

    def __call__(self, *arguments: Any) -> None:
        """Run the function."""
        self.bound(*arguments)()

    def bound(self, *arguments: Any) -> Callable[[], None]:
        """The function ready to run: its arguments packed, its code found or made."""
        kinds, words = packed(arguments)
        door = self._doors.get(kinds)
        if door is None:
            door = self._found(kinds, arguments)
        if door is self._compiled:
            return functools.partial(self._compiled(), *arguments)
        return functools.partial(self._run, door, words, arguments)

    def _run(self, door: Callable, words: bytes, _: tuple) -> None:
        """Go through the door, while the arguments live: the words only say where they are."""
        if door(words):
            raise RuntimeError(f"{self._name} ended with an error")

    def is_kept(self) -> bool:
        """Whether code of the function is there, for whatever arguments."""
        place = cache_folder(FOLDER)
        return place is not None and any(place.glob(f"{self._name}-*"))

    def _found(self, kinds: tuple[str, ...], arguments: tuple) -> Callable:
        """The door to the code for arguments of these kinds."""
        with self._lock:
            door = self._doors.get(kinds)
            if door is None:
                named = f"{self._name}-{_kinds_key(kinds)}"
                image = _found(named)
                if image is None:
                    image = _image(self._make(arguments), kinds)
                    _keep(named, image)
                door = self._doors[kinds] = self._door(image)
            return door

    def _door(self, image: Image) -> Callable:
        if not image.code:
            return self._compiled
        try:
            place = placed(image)
        except OSError:  # a system that lets no process make code
            return self._compiled
        self._places.append(place)
        prototype = ctypes.CFUNCTYPE(ctypes.c_int32, ctypes.c_char_p)
        return prototype(_address(place) + image.entry)


def placed(image: Image) -> mmap.mmap:
    """The image in memory, its addresses filled in, ready to run and not to be changed.

    Raises
    ------
    OSError
        The system does not allow it.
    """
    place = mmap.mmap(-1, len(image.code), flags=mmap.MAP_PRIVATE | mmap.MAP_ANONYMOUS)
    place.write(image.code)
    address, library = _address(place), ctypes.CDLL(None)
    for at, where in image.inside.tolist():
        struct.pack_into("<q", place, at, address + where)
    for at, name in image.outside:
        function = ctypes.cast(getattr(library, name), ctypes.c_void_p)
        struct.pack_into("<q", place, at, function.value)
    reads_and_runs = mmap.PROT_READ | mmap.PROT_EXEC
    if library.mprotect(ctypes.c_void_p(address), ctypes.c_size_t(len(place)), reads_and_runs):
        raise OSError("no memory for code")
    return place


def _address(place: Any) -> int:
    """Where something in one piece begins: numpy takes ten times as long to tell."""
    return ctypes.addressof(ctypes.c_char.from_buffer(place))


def packed(arguments: tuple) -> tuple[tuple[str, ...], bytes]:
    """Kinds of a function's arguments, and their words in a row."""
    kinds: list[str] = []
    words: list[bytes] = []
    _pack(arguments, kinds, words)
    return tuple(kinds), b"".join(words)


def _pack(values: tuple, kinds: list[str], words: list[bytes]) -> None:
    if set(map(type, values)) == ONLY_FLOATS:
        kind, pack = _floats(len(values))
        kinds.append(kind)
        words.append(pack(*values))
        return
    for value in values:
        if isinstance(value, np.ndarray):
            kind, row, _ = _known.get(id(value)) or _array(value)
            kinds.append(kind)
            words.append(row)
        elif isinstance(value, float):
            kinds.append("d")
            words.append(FLOAT(value))
        elif isinstance(value, tuple):
            _pack(value, kinds, words)
        elif isinstance(value, int) and not isinstance(value, bool):
            kinds.append("q")
            words.append(WHOLE(value))
        else:
            raise TypeError(f"a kernel takes numbers and arrays, not {type(value).__name__}")


@functools.cache
def _floats(count: int) -> tuple[str, Callable[..., bytes]]:
    """Kind and packing of so many floats in a row."""
    return "d" * count, struct.Struct(f"{count}d").pack


@functools.cache
def _rows(rank: int) -> Callable[..., bytes]:
    """Packing of an array with so many dimensions."""
    return struct.Struct(f"{5 + 2 * rank}q").pack


class _Array(NamedTuple):
    kind: str
    words: bytes
    watch: Any
    """Forgets the array when it goes."""


_known: dict[int, _Array] = {}
"""Arrays that are alive: the loop is given a winter's again and again."""


def _array(array: np.ndarray) -> _Array:
    number, size, dtype, rank = id(array), array.size, array.dtype, array.ndim
    usual = array.flags.carray and dtype.isnative
    kind = f"{dtype.char if usual else f'{dtype.str}{array.flags.num}'}:{rank}"
    place = _address(array) if usual and size else array.ctypes.data
    row = _rows(rank)(0, 0, size, array.itemsize, place, *array.shape, *array.strides)
    known = _Array(kind, row, weakref.ref(array, lambda _: _known.pop(number, None)))
    _known[number] = known
    return known


def _types(kinds: tuple[str, ...]) -> list[str]:
    """The words' types in LLVM's words."""
    types: list[str] = []
    for kind in kinds:
        if ":" in kind:
            types += ["ptr", "ptr", "i64", "i64", "ptr"] + ["i64"] * (2 * int(kind[-1]))
        else:
            types += ["double" if letter == "d" else "i64" for letter in kind]
    return types


def _image(made: Made, kinds: tuple[str, ...]) -> Image:
    """Code and door of a function; nothing where numba must stay with it."""
    try:
        image = image_of([_machine_code(made, _types(kinds))], DOOR)
    except (Refused, ValueError, IndexError):
        return NOTHING
    return image if _stands_alone(image) else NOTHING


def _stands_alone(image: Image) -> bool:
    """Whether it needs nothing that the C library does not have."""
    library = ctypes.CDLL(None)
    return all(hasattr(library, name) for _, name in image.outside)


def _found(named: str) -> Image | None:
    """What is kept under a name, or None where there is nothing, or something else."""
    found = kept.find(FOLDER, named)
    if found is None or not {"code", "inside", "told", "seal"} <= found.keys():
        return None
    code, told = found["code"].tobytes(), found["told"].tobytes()
    if found["seal"].tobytes() != _seal(named, code, found["inside"], told):
        return None
    outside, entry = json.loads(told)
    image = Image(code, found["inside"], tuple((at, name) for at, name in outside), entry)
    return image if _stands_alone(image) else None


def _keep(named: str, image: Image) -> None:
    told = json.dumps([image.outside, image.entry]).encode()
    seal = _seal(named, image.code, image.inside, told)
    parts = {"code": image.code, "told": told, "seal": seal}
    arrays = {name: np.frombuffer(part, np.uint8) for name, part in parts.items()}
    kept.keep(FOLDER, named, {**arrays, "inside": image.inside}, most=FEW)


def _seal(named: str, code: bytes, inside: np.ndarray, told: bytes) -> bytes:
    """Shows that an image was kept under this very name: nothing else may be run."""
    return hashlib.sha256(b"".join([named.encode(), code, inside.tobytes(), told])).digest()


def _machine_code(made: Made, types: list[str]) -> bytes:
    """A function and its door, optimised as one, as an object file.

    What the function is made of was put into it before anything was optimised: so a branch
    that its place decides is gone, and a loop over lanes that has no others left in it becomes
    one over four lanes at once.

    Raises
    ------
    Refused
        The function takes something else than the words of these types.
    ValueError
        That is no code.
    """
    import llvmlite.binding as llvm  # type: ignore[import-untyped]

    llvm.initialize_native_target()
    llvm.initialize_native_asmprinter()
    try:
        code = llvm.parse_assembly(made.code)
        takes = [str(one.type) for one in code.get_function(made.name).arguments]
        if takes != ["ptr", "ptr", *types]:
            raise Refused(f"{made.name} takes {takes}")
        code.link_in(llvm.parse_assembly(_door_code(made.name, types)))
    except (RuntimeError, NameError) as error:
        raise ValueError(str(error)) from error
    machine = llvm.Target.from_default_triple().create_target_machine(
        cpu=llvm.get_host_cpu_name(),
        features=llvm.get_host_cpu_features().flatten(),
        opt=MOST_OPTIMISED,
        reloc="static",
        codemodel="jitdefault",
        jit=True,
    )
    wishes = llvm.create_pipeline_tuning_options(speed_level=MOST_OPTIMISED)
    builder = llvm.create_pass_builder(machine, wishes)
    builder.getModulePassManager().run(code, builder)
    return machine.emit_object(code)


def _door_code(name: str, types: list[str]) -> str:
    """The door to a function, in LLVM's words.

    Before its arguments the function takes two places, for what it returns and for what it
    raises; it returns whether it raised anything.
    """
    loads = "".join(
        f"%p{i} = getelementptr i64, ptr %words, i64 {i}\n%w{i} = load {kind}, ptr %p{i}\n"
        for i, kind in enumerate(types)
    )
    given = ", ".join(["ptr %a", "ptr %b", *(f"{kind} %w{i}" for i, kind in enumerate(types))])
    takes = ", ".join(["ptr", "ptr", *types])
    return (
        f'declare i32 @"{name}"({takes})\ndefine i32 @{DOOR}(ptr %words) {{\n'
        f"%a = alloca ptr\n%b = alloca ptr\n{loads}"
        f'%raised = call i32 @"{name}"({given})\nret i32 %raised\n}}'
    )


def _kinds_key(kinds: tuple[str, ...]) -> str:
    """Hash of this machine's processor, of the linker and of the kinds of arguments."""
    with Path("/proc/cpuinfo").open(encoding="utf-8") as file:
        first = file.read(8192).partition("\n\n")[0]
    told = [line for line in first.splitlines() if line.partition("\t")[0] in PROCESSOR]
    text = repr((told, version("llvmlite"), kinds))
    return hashlib.sha256(text.encode()).hexdigest()[:16]
