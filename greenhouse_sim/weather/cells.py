"""The cells of any CSV as texts, with its headings and row numbers."""

from __future__ import annotations

import io
from pathlib import Path
from typing import Any, NamedTuple

import numpy as np

from greenhouse_sim.errors import WeatherError
from greenhouse_sim.weather.rows import one_line

DIALOGUE = "greenhouse-sim weather map"


class Cells(NamedTuple):
    """What stands under a header row."""

    headings: list[str]
    data: Any
    """A frame of texts, its columns numbered; rows without any cell are left out."""
    file_row: np.ndarray
    """Row number as an editor shows it."""


def read_cells(text: str, path: Path, separator: str, header_row: int) -> Cells:
    """Every cell under a header row; a short row ends in empty ones.

    Raises
    ------
    WeatherError
        No such header row, a row with more cells than headings, quotation marks left open.
    """
    import pandas as pd

    how = {"sep": separator, "header": None, "dtype": str, "keep_default_na": False,
           "skip_blank_lines": False, "skipinitialspace": True}  # fmt: skip
    try:
        head = pd.read_csv(io.StringIO(text), skiprows=header_row - 1, nrows=1, **how)
        headings = [str(cell).strip() for cell in head.iloc[0]]
        data = pd.read_csv(
            io.StringIO(text), skiprows=header_row, names=range(len(headings) + 1),
            index_col=False, on_bad_lines="error", **how,
        )  # fmt: skip
    except (ValueError, IndexError, pd.errors.ParserError) as problem:
        raise WeatherError(
            f"{path}: cannot be read as CSV under header row {header_row} ({one_line(problem)}); "
            f"check separator and header_row of its mapping, or write it anew with {DIALOGUE}"
        ) from problem
    data = data.fillna("").apply(lambda column: column.str.strip())
    over = (data[len(headings)] != "").to_numpy()
    file_row = np.arange(len(data), dtype=np.int64) + header_row + 1
    if over.any():
        row = file_row[int(np.argmax(over))]
        raise WeatherError(
            f"{path}, row {row}: has more cells than the header row has headings "
            f"({len(headings)}); look for a stray {separator!r} in it"
        )
    data = data.drop(columns=len(headings))
    full = (data != "").any(axis=1).to_numpy()
    return Cells(headings, data[full].reset_index(drop=True), file_row[full])
