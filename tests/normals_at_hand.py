"""An invented place's normals, for the tests that make winters."""

from __future__ import annotations

TAMARACK = """\
[place]
name = "Tamarack Flats"
latitude = 46.9
longitude = -96.8
elevation = "270 m"
utc_offset = -6

[normals]                     # January to December
mean_max = { unit = "degF", months = [17, 22, 35, 54, 69, 77, 82, 81, 71, 55, 37, 22] }
mean_min = { unit = "degF", months = [-1, 4, 18, 33, 45, 56, 60, 58, 48, 36, 21, 7] }
record_low = { unit = "degF", months = [-45, -41, -29, -5, 15, 30, 37, 33, 19, 4, -22, -37] }
sun_hours = { unit = "h", months = [141, 161, 214, 237, 282, 304, 349, 306, 232, 183, 116, 112] }
wind = { unit = "mph", months = [12, 12, 13, 13, 13, 12, 10, 11, 12, 12, 12, 12] }
precipitation = { unit = "mm", months = [18, 18, 30, 36, 71, 102, 71, 66, 66, 56, 25, 20] }
"""
"""Invented, after the manner of a cold continental plain."""


def changed(old: str, new: str) -> str:
    """The normals with one text replaced."""
    assert old in TAMARACK
    return TAMARACK.replace(old, new)


def without(key: str) -> str:
    """The normals without one line."""
    lines = TAMARACK.splitlines(keepends=True)
    kept = [line for line in lines if not line.startswith(key)]
    assert len(kept) == len(lines) - 1
    return "".join(kept)
