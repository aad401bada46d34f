"""The columns of a study's part as a Parquet file.

Columns are made of their buffers, as the Arrow columnar format has them
(https://arrow.apache.org/docs/format/Columnar.html): pyarrow's own way from a list imports pandas,
which takes every process of a study half a second.
"""

from __future__ import annotations

import io
from collections.abc import Mapping
from typing import TYPE_CHECKING, Any

import numpy as np

from greenhouse_sim.errors import GreenhouseError

if TYPE_CHECKING:
    from greenhouse_sim.plans.design_of_study import Design

TEXTS = ("place", "heater", "winter", "site", "fuel", "lowest_air_at", "first_below_damage_at")
"""Columns of words (and of times, ISO 8601); all others but words of the study are numbers."""


def parquet(design: Design, columns: Mapping[str, Any]) -> bytes:
    """Columns as a Parquet file: the same columns and kinds for every part.

    Parameters
    ----------
    design
        The study, whose keys may be words or flags.
    columns
        Lists of words, None where there is none; of numbers lists or arrays, nan where there is
        none.
    """
    pa = arrow()
    import pyarrow.parquet

    words = {axis.column for axis in (*design.study.grid, *design.study.draw) if axis.words}
    flags = {
        axis.column for axis in design.study.grid if all(isinstance(v, bool) for v in axis.values)
    }
    made = []
    for name, values in columns.items():
        if name == "point":
            made.append(_numbers(values, "int64"))
        elif name in flags:
            made.append(_flags(values))
        elif name in TEXTS or name in words:
            made.append(_texts([str(value) for value in values] if name in words else values))
        else:
            made.append(_numbers(values, "float64"))
    sink = io.BytesIO()
    table = pa.Table.from_arrays(made, names=list(columns))
    # a dictionary of a column's values pays for words, of which there are few
    few = [field.name for field in table.schema if field.type == pa.string()]
    pyarrow.parquet.write_table(table, sink, compression="zstd", use_dictionary=few)
    return sink.getvalue()


def _numbers(values: Any, kind: str) -> Any:
    """A column of numbers, nan where there is none."""
    pa = arrow()
    array = np.ascontiguousarray(values, dtype=kind)
    held, missing = _held_at(~np.isnan(array))
    return pa.Array.from_buffers(
        getattr(pa, kind)(), len(array), [held, pa.py_buffer(array)], missing
    )


def _flags(values: list[bool]) -> Any:
    """A column of yes and no, a bit each."""
    pa = arrow()
    bits = pa.py_buffer(np.packbits(np.array(values, dtype=bool), bitorder="little"))
    return pa.Array.from_buffers(pa.bool_(), len(values), [None, bits], 0)


def _texts(values: list[str | None]) -> Any:
    """A column of words, None where there is none: where each begins, and all in one."""
    pa = arrow()
    held, missing = _held_at(np.array([value is not None for value in values]))
    parts = [(value or "").encode() for value in values]
    begins = np.zeros(len(parts) + 1, dtype=np.int32)
    np.cumsum([len(part) for part in parts], out=begins[1:])
    buffers = [held, pa.py_buffer(begins), pa.py_buffer(b"".join(parts))]
    return pa.Array.from_buffers(pa.string(), len(values), buffers, missing)


def _held_at(there: np.ndarray) -> tuple[Any, int]:
    """A bit for each value that is there, or None where all are; and how many are not."""
    missing = len(there) - int(np.count_nonzero(there))
    if not missing:
        return None, 0
    return arrow().py_buffer(np.packbits(there, bitorder="little")), missing


def arrow() -> Any:
    """pyarrow, or a word on how to get it."""
    try:
        import pyarrow
    except ImportError:
        raise GreenhouseError(
            "a study writes Parquet, which needs pyarrow; install it with "
            '"pip install greenhouse-sim[study]"'
        ) from None
    return pyarrow
