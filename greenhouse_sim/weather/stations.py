"""A file that mixes the rows of several stations is no record of one place."""

from __future__ import annotations

import re
from collections.abc import Sequence
from pathlib import Path
from typing import Any

import numpy as np

from greenhouse_sim.errors import WeatherError

NAMES = re.compile(
    r"(?:weather )?(?:stations?|stations? ?(?:id|name|number|nr|no|code)|stid|usaf|wban|wmo|icao|"
    r"ghcn ?id|climate id|stations id)"
)
"""Headings of columns that tell stations apart, in lower case with blanks."""


def is_station_heading(heading: str) -> bool:
    """Whether a column's name is that of a station."""
    words = re.sub(r"[^a-z]+", " ", heading.lower()).strip()
    return NAMES.fullmatch(words) is not None


def refuse_mixed(data: Any, headings: Sequence[str], file_row: np.ndarray, path: Path) -> None:
    """Refuse a frame with two stations in a column that names them.

    Raises
    ------
    WeatherError
        With the stations found, and how to choose one.
    """
    for position, heading in enumerate(headings):
        if not is_station_heading(heading):
            continue
        text = data.iloc[:, position].fillna("").astype(str).str.strip()
        text = text[text != ""]
        names = list(dict.fromkeys(text))
        if len(names) > 1:
            row = file_row[text.index[int(np.argmax((text != names[0]).to_numpy()))]]
            shown = ", ".join(name[:30] for name in names[:4])
            raise WeatherError(
                f'{path}, row {row}: column "{heading.strip()}" has {len(names)} stations '
                f"({shown}); keep the rows of one, or name it in the mapping: [station] "
                f'column = "{heading.strip()}", is = "{names[0][:30]}"'
            )
