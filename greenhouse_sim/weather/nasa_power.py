"""NASA POWER: what to ask for a year of hours, and how to read the answer.

The parameters are those of `pvlib.iotools.get_nasa_power`, and so is the reading.
"""

from __future__ import annotations

import json
from typing import Any

import numpy as np

from greenhouse_sim.weather.year import Hours

COLUMNS = {
    "T2M": ("t_out_C", 1.0),
    "T2MDEW": ("t_dew_C", 1.0),
    "PS": ("pressure_Pa", 1000.0),
    "WS10M": ("wind_m_s", 1.0),
    "ALLSKY_SFC_SW_DWN": ("ghi_W", 1.0),
    "ALLSKY_SFC_SW_DNI": ("dni_W", 1.0),
    "ALLSKY_SFC_SW_DIFF": ("dhi_W", 1.0),
    "ALLSKY_SFC_LW_DWN": ("ir_down_W", 1.0),
}
"""The service's parameter: our key, factor to SI (pressure in kPa; Wh/m² in an hour are W/m²)."""


def params(latitude: float, longitude: float, year: int) -> dict[str, Any]:
    """What is sent: place, year, and the names of the quantities."""
    return {
        "latitude": latitude,
        "longitude": longitude,
        "start": f"{year}0101",
        "end": f"{year}1231",
        "community": "re",
        "parameters": ",".join(COLUMNS),
        "format": "json",
        "header": True,
        "time-standard": "utc",
    }


def read_answer(text: str) -> Hours:
    """Hours of an answer: stamps begin the hour, universal time.

    Raises
    ------
    KeyError, ValueError, TypeError
        The answer has another shape than the service documents.
    """
    answer = json.loads(text)
    tables = answer["properties"]["parameter"]
    fill = float(answer["header"]["fill_value"])
    clocks = sorted(tables["T2M"])
    stamps = np.array(
        [f"{c[:4]}-{c[4:6]}-{c[6:8]}T{c[8:10]}" for c in clocks], dtype="datetime64[s]"
    )
    columns = {}
    for name, (key, factor) in COLUMNS.items():
        table = tables.get(name, {})
        values = np.array([float(table.get(clock, fill)) for clock in clocks])
        columns[key] = np.where(values == fill, np.nan, values) * factor
    height = answer["geometry"]["coordinates"][2]
    version = answer["header"].get("api", {}).get("version", "")
    source = f"NASA POWER hourly {version}".strip()
    return Hours(stamps, columns, float(height), source)
