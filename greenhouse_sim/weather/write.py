"""Write rows as the plain CSV that `read_weather` reads."""

from __future__ import annotations

from pathlib import Path

import numpy as np

from greenhouse_sim.files import written_whole
from greenhouse_sim.weather.answers import disk_refuses
from greenhouse_sim.weather.columns import SI
from greenhouse_sim.weather.rows import Rows

FORMATS = {"humidity": "%.3f", "cloud": "%.2f", "snow": "%.3f", "pressure": "%.0f"}
OTHERWISE = "%.2f"


def plain_text(rows: Rows) -> str:
    """The text of a plain CSV with what the rows hold, hour-starting standard time."""
    remarks = {
        "site": rows.site,
        "latitude": f"{rows.latitude:g}",
        "longitude": f"{rows.longitude:g}",
        "elevation": f"{rows.elevation_m:.0f}",
        "utc_offset": f"{rows.utc_offset_h:g}",
        "stamps": "hour-starting",
        "source": rows.source,
    }
    head = [f"# {key}: {' '.join(value.split())}" for key, value in remarks.items()]
    head += [f"# note: {' '.join(note.split())}" for note in rows.notes]
    kept = {name: (key, unit) for name, (key, unit, _) in SI.items() if key in rows.columns}
    head.append(",".join(["time", *(f"{name} [{unit}]" for name, (_, unit) in kept.items())]))
    cells = [np.char.replace(np.datetime_as_string(rows.stamps, "m"), "T", " ")]
    for name, (key, _) in kept.items():
        form = FORMATS.get(name, OTHERWISE)
        cells.append(np.array(["" if np.isnan(v) else form % (v + 0.0) for v in rows.columns[key]]))
    return "\n".join([*head, *(",".join(row) for row in zip(*cells, strict=True))]) + "\n"


def write_plain(rows: Rows, path: Path) -> None:
    """Write a plain CSV, whole or not at all.

    Raises
    ------
    WeatherError
        The disk refuses.
    """
    text = plain_text(rows)
    try:
        with written_whole(path) as part:
            part.write_text(text, encoding="utf-8", newline="\n")
    except OSError as problem:
        raise disk_refuses(path, problem, "name a file elsewhere with --out") from problem
