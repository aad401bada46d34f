"""Write the bundled sample winters: ``python -m greenhouse_sim.weather.samples OUTDIR``.

All of it is invented, and every file says so in its header.
"""

from __future__ import annotations

import sys
from pathlib import Path
from typing import Any

import numpy as np

from greenhouse_sim.weather.climates import FIRST_YEAR, PLACES, Climate, Winter
from greenhouse_sim.weather.generator import BEGIN, HOURS, invent_year

Array = np.ndarray
FIRST = np.datetime64(f"{FIRST_YEAR}-09-16", "s")
STOP = np.datetime64(f"{FIRST_YEAR + 1}-05-16", "s")
EPW_OF = ("tamarack_flats", "typical")
HEADER = (
    "time,t_air [degC],t_dew [degC],wind [m/s],"
    "ghi [W/m2],dni [W/m2],dhi [W/m2],cloud [0-1],pressure [Pa]"
)
ORDER = ("t_out_C", "t_dew_C", "wind_m_s", "ghi_W", "dni_W", "dhi_W", "cloud", "pressure_Pa")
FORMATS = ("%.1f", "%.1f", "%.1f", "%.0f", "%.0f", "%.0f", "%.2g", "%.0f")


def sample_csv(climate: Climate, winter: Winter, year: dict[str, Array]) -> str:
    """Text of a sample winter as plain CSV, 16 September to 15 May."""
    first = int((FIRST - BEGIN) / np.timedelta64(1, "h"))
    last = int((STOP - BEGIN) / np.timedelta64(1, "h"))
    stamps = np.datetime_as_string(FIRST + np.arange(last - first) * np.timedelta64(1, "h"), "m")
    remarks = [
        f"# site: {climate.site}",
        f"# standing: synthetic, an invented {winter.kind} winter of an invented place",
        f"# latitude: {climate.latitude}",
        f"# longitude: {climate.longitude}",
        f"# elevation: {climate.elevation_m:.0f}",
        f"# utc_offset: {climate.utc_offset_h:.0f}",
        "# stamps: hour-starting",
        f"# source: python -m greenhouse_sim.weather.samples, random numbers from {winter.number}",
    ]
    columns = [
        [text % value for value in year[key][first:last] + 0.0]
        for key, text in zip(ORDER, FORMATS, strict=True)
    ]
    body = [",".join(cells).replace("T", " ", 1) for cells in zip(stamps, *columns, strict=True)]
    return "\n".join([*remarks, HEADER, *body]) + "\n"


def sample_epw(climate: Climate, winter: Winter, year: dict[str, Array]) -> str:
    """Text of a sample winter as an EPW calendar year.

    Its October to December are the autumn, its January to April the months
    that follow, so that the season joined across New Year is the same winter.
    """
    stamps = BEGIN + np.arange(HOURS) * np.timedelta64(3600, "s")
    january = int(np.argmax(stamps >= np.datetime64(f"{FIRST_YEAR + 1}-01-01", "s")))
    order = np.roll(np.arange(HOURS), -january)
    name = climate.site.replace(" (invented)", " SYNTHETIC")
    lines = [
        f"LOCATION,{name},-,-,invented {winter.kind} winter,000000,{climate.latitude},"
        f"{climate.longitude},{climate.utc_offset_h:.1f},{climate.elevation_m:.1f}",
        "DESIGN CONDITIONS,0",
        "TYPICAL/EXTREME PERIODS,0",
        "GROUND TEMPERATURES,0",
        "HOLIDAYS/DAYLIGHT SAVINGS,No,0,0,0",
        f"COMMENTS 1,synthetic: an invented {winter.kind} winter of an invented place",
        "COMMENTS 2,python -m greenhouse_sim.weather.samples",
        "DATA PERIODS,1,1,Data,Wednesday, 1/ 1,12/31",
    ]
    for hour in order:
        lines.append(_epw_row(stamps[hour], {key: float(v[hour]) for key, v in year.items()}))
    return "\n".join(lines) + "\n"


def _epw_row(stamp: np.datetime64, v: dict[str, float]) -> str:
    when: Any = stamp.item()
    tenths = round(10.0 * v["cloud"])
    humidity = 100.0 * _vapour(v["t_dew_C"]) / _vapour(v["t_out_C"])
    return (
        f"{FIRST_YEAR},{when.month},{when.day},{when.hour + 1},60,*,"
        f"{v['t_out_C'] + 0.0:.1f},{v['t_dew_C'] + 0.0:.1f},{humidity:.0f},{v['pressure_Pa']:.0f},"
        f"9999,9999,9999,{v['ghi_W']:.0f},{v['dni_W']:.0f},{v['dhi_W']:.0f},"
        f"999999,999999,999999,9999,999,{v['wind_m_s']:.1f},{tenths},{tenths},"
        "9999,99999,9,,999,.999,999,99,,,"
    )


def _vapour(t_C: float) -> float:
    """Vapour pressure over liquid water, relative to that at 0 °C (Magnus formula)."""
    from greenhouse_sim.weather.limits import number

    return float(np.exp(number("magnus_a") * t_C / (number("magnus_b") + t_C)))


def write_samples(folder: Path, places: tuple[str, ...] = tuple(PLACES)) -> list[Path]:
    """Write the sample winters into a folder and return their paths, in order."""
    folder.mkdir(parents=True, exist_ok=True)
    written = []
    for place in places:
        climate, kinds = PLACES[place]
        for winter in kinds:
            year = invent_year(climate, winter)
            texts = {f"{place}_{winter.kind}.csv": sample_csv(climate, winter, year)}
            if (place, winter.kind) == EPW_OF:
                texts[f"{place}_{winter.kind}.epw"] = sample_epw(climate, winter, year)
            for name, text in texts.items():
                (folder / name).write_text(text, encoding="utf-8", newline="\n")
                written.append(folder / name)
    return written


if __name__ == "__main__":
    if len(sys.argv) != 2:
        sys.exit("write: python -m greenhouse_sim.weather.samples OUTDIR")
    for path in write_samples(Path(sys.argv[1])):
        print(f"{path}  {path.stat().st_size / 1e3:.0f} kB")
