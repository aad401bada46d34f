"""From a compiler's object file to an image of machine code that only needs a place.

Code for a processor of today's desktops names what it uses by its whole address, 8 bytes each:
a constant beside it, or a function of the C library. In an object file these addresses are still
open. All that linking has to do is to lay the file's parts one after another and to note where
an address belongs and of what: a place in the image, or a name. What is not as simple as that is
refused, and stays with the compiler.

Source: System V Application Binary Interface, chapters 4 (object files) and AMD64 supplement,
section 4.4 (relocation); struct and constant names as there.
"""

from __future__ import annotations

from collections.abc import Sequence
from typing import Any, NamedTuple

import numpy as np

HEAD = np.dtype(
    {
        "names": ["magic", "type", "machine", "sections_at", "sections", "names_in"],
        "formats": ["S4", "<u2", "<u2", "<u8", "<u2", "<u2"],
        "offsets": [0, 16, 18, 40, 60, 62],
        "itemsize": 64,
    }
)
SECTION = np.dtype(
    [
        ("name", "<u4"), ("type", "<u4"), ("flags", "<u8"), ("address", "<u8"), ("at", "<u8"),
        ("size", "<u8"), ("link", "<u4"), ("of", "<u4"), ("align", "<u8"), ("row", "<u8"),
    ]
)  # fmt: skip
SYMBOL = np.dtype(
    [
        ("name", "<u4"), ("info", "u1"), ("other", "u1"), ("section", "<u2"), ("value", "<u8"),
        ("size", "<u8"),
    ]
)  # fmt: skip
OPEN = np.dtype([("at", "<u8"), ("type", "<u4"), ("symbol", "<u4"), ("plus", "<i8")])
"""An address that is still open (Elf64_Rela)."""

ELF, RELOCATABLE, X86_64 = b"\x7fELF", 1, 62
CODE, SYMBOLS, OPEN_ADDRESSES = 1, 2, 4
"""Types of sections (SHT_PROGBITS, SHT_SYMTAB, SHT_RELA)."""
LOADED = 2
"""Flag of what is there while the program runs (SHF_ALLOC)."""
WHOLE_ADDRESS = 1
"""An address of 8 bytes (R_X86_64_64)."""
ELSEWHERE, SHARED = 0, 0xFFF2
"""In place of a section: a name of another file (SHN_UNDEF), room to be made (SHN_COMMON)."""
UNWINDING = ".eh_frame"
"""How to get out of a function on an exception; the kernel knows none."""
ALIGNED = 64


class Refused(Exception):
    """The file is not as simple as this linker."""


class Image(NamedTuple):
    """Code laid out, but for its addresses."""

    code: bytes
    inside: np.ndarray
    """int64, shape (addresses, 2): where the address of which place in the code belongs."""
    outside: tuple[tuple[int, str], ...]
    """Where the address of which function of another library belongs."""
    entry: int
    """Place of the function that is called."""


def image_of(files: Sequence[bytes], entry: str) -> Image:
    """Link object files.

    Raises
    ------
    Refused
        They hold or need more than code, constants and functions of other libraries.
    """
    code = bytearray()
    defined: dict[str, int] = {}
    opened: list[tuple[int, str, int]] = []
    inside: list[tuple[int, int]] = []
    for file in files:
        _lay(file, code, defined, opened, inside)
    outside = []
    for at, name, plus in opened:
        if name in defined:
            inside.append((at, defined[name] + plus))
        elif plus:
            raise Refused(f"a part of {name}")
        else:
            outside.append((at, name))
    if entry not in defined:
        raise Refused(f"no {entry}")
    where = np.array(inside, dtype=np.int64).reshape(-1, 2)
    return Image(bytes(code), where, tuple(outside), defined[entry])


def _lay(
    file: bytes,
    code: bytearray,
    defined: dict[str, int],
    opened: list[tuple[int, str, int]],
    inside: list[tuple[int, int]],
) -> None:
    """Add a file's parts to the code, its names and its open addresses to the rest."""
    if len(file) < HEAD.itemsize:
        raise Refused("no object file")
    (head,) = np.frombuffer(file, HEAD, 1)
    if (head["magic"], head["type"], head["machine"]) != (ELF, RELOCATABLE, X86_64):
        raise Refused("no object file of this machine")
    sections = np.frombuffer(file, SECTION, int(head["sections"]), int(head["sections_at"]))
    names = _part(file, sections[head["names_in"]])
    starts: dict[int, int] = {}
    for number, section in enumerate(sections):
        if section["flags"] & LOADED and section["size"]:
            if _text(names, section["name"]) == UNWINDING:
                continue
            if section["type"] != CODE or section["align"] > ALIGNED:
                raise Refused("a part that is no code")
            code += bytes(-len(code) % ALIGNED)
            starts[number] = len(code)
            code += _part(file, section)
    (table,) = (section for section in sections if section["type"] == SYMBOLS)
    symbols = np.frombuffer(_part(file, table), SYMBOL)
    words = _part(file, sections[table["link"]])
    for symbol in symbols:
        name = _text(words, symbol["name"])
        if symbol["section"] == SHARED:
            code += bytes(-len(code) % ALIGNED)
            defined[name] = len(code)
            code += bytes(int(symbol["size"]))
        elif name and int(symbol["section"]) in starts:
            defined[name] = starts[int(symbol["section"])] + int(symbol["value"])
    for section in sections:
        if section["type"] == OPEN_ADDRESSES and int(section["of"]) in starts:
            start = starts[int(section["of"])]
            for row in np.frombuffer(_part(file, section), OPEN):
                if row["type"] != WHOLE_ADDRESS:
                    raise Refused("an address of another kind")
                at, symbol = start + int(row["at"]), symbols[row["symbol"]]
                name, number = _text(words, symbol["name"]), int(symbol["section"])
                if name or number == ELSEWHERE:
                    opened.append((at, name, int(row["plus"])))
                elif number in starts:
                    inside.append((at, starts[number] + int(symbol["value"] + row["plus"])))
                else:
                    raise Refused("an address in a part that is not there")


def _part(file: bytes, section: Any) -> bytes:
    return file[int(section["at"]) : int(section["at"] + section["size"])]


def _text(words: bytes, at: Any) -> str:
    return words[int(at) : words.index(b"\0", int(at))].decode()
