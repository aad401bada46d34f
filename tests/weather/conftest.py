"""Small weather files for the tests of the weather room."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from pathlib import Path

import numpy as np
import pytest

PLACE = {
    "site": "Rowan Hollow",
    "latitude": "46.9",
    "longitude": "-96.8",
    "elevation": "270",
    "utc_offset": "-6",
}
HEADINGS = ("time", "t_air [degC]", "t_dew [degC]", "wind [m/s]", "ghi [W/m2]", "dni [W/m2]",
            "dhi [W/m2]", "pressure [Pa]")  # fmt: skip


@pytest.fixture
def write_csv(tmp_path: Path) -> Callable[..., Path]:
    """Write a plain file; rows default to steady weather from ``start`` on."""

    def write(
        rows: Sequence[str] | None = None,
        headings: Sequence[str] = HEADINGS,
        place: dict[str, str] = PLACE,
        name: str = "small.csv",
        start: str = "2026-01-05T00:00",
        hours: int = 72,
    ) -> Path:
        body = steady(start, hours) if rows is None else rows
        remarks = [f"# {key}: {value}" for key, value in place.items()]
        path = tmp_path / name
        path.write_text("\n".join([*remarks, ",".join(headings), *body]) + "\n", encoding="utf-8")
        return path

    return write


def steady(start: str, hours: int) -> list[str]:
    """Rows whose temperature is the number of the hour divided by ten, with a little noon sun."""
    stamps = np.datetime64(start, "m") + np.arange(hours) * np.timedelta64(60, "m")
    rows = []
    for n, stamp in enumerate(stamps):
        clock = stamp.item().hour
        sun = "200,300,120" if 11 <= clock <= 13 else "0,0,0"
        rows.append(f"{str(stamp).replace('T', ' ')},{n / 10:.1f},-20.0,3.0,{sun},98000")
    return rows


@pytest.fixture
def steady_rows() -> Callable[[str, int], list[str]]:
    """The row maker itself, for tests that break a row."""
    return steady
