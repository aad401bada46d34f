"""Tables as CSV files."""

from __future__ import annotations

import csv
from collections.abc import Iterable, Mapping, Sequence
from pathlib import Path
from typing import TYPE_CHECKING, Any

from greenhouse_sim.files import written_whole
from greenhouse_sim.report.fuel_words import amount, measure
from greenhouse_sim.report.glossary import glossary
from greenhouse_sim.report.json_text import plain
from greenhouse_sim.report.words import Units, slug

if TYPE_CHECKING:
    from greenhouse_sim.plans.compare import Comparison
    from greenhouse_sim.season.run import Season

Cells = Iterable[Any]
SPLIT = {"cold_hours_by_cause": "cold_hours", "labour": "labour"}
"""Keys of the ledger that hold a mapping, and how their columns begin."""


def write_tables(result: Comparison, units: Units, out: Path) -> list[Path]:
    """Write ``seasons.csv``, ``summary.csv``, ``fuel_by_month.csv`` and ``glossary.csv``.

    The first two have the keys and units of the JSON; the glossary says what they mean.

    Returns
    -------
    list of Path
        The files written.
    """
    seasons = [flat(season.ledger) for season in result.seasons]
    summary = [_flat_summary(row) for row in result.summary]
    words = [entry._asdict() for entry in glossary().values()]
    return [
        _write(out / "seasons.csv", seasons[0].keys(), (row.values() for row in seasons)),
        _write(out / "summary.csv", summary[0].keys(), (row.values() for row in summary)),
        _write(
            out / "fuel_by_month.csv",
            ("heater", "winter", "month", "fuel", "fuel_kg", "amount", "unit"),
            _months(result, units),
        ),
        _write(out / "glossary.csv", words[0].keys(), (row.values() for row in words)),
    ]


def flat(row: Mapping[str, Any]) -> dict[str, Any]:
    """A ledger as one line of a table; fuel by month has a table of its own."""
    line: dict[str, Any] = {}
    for key, value in plain(row).items():
        if key in SPLIT:
            line |= {f"{SPLIT[key]}_{slug(part).replace('-', '_')}": h for part, h in value.items()}
        elif key != "fuel_by_month":
            line[key] = value
    return line


def _flat_summary(row: Mapping[str, Any]) -> dict[str, Any]:
    line: dict[str, Any] = {}
    for key, value in plain(row).items():
        if isinstance(value, Mapping):
            line |= {f"{key}_{part}": number for part, number in value.items()}
        else:
            line[key] = value
    return line


def _months(result: Comparison, units: Units) -> Iterable[Cells]:
    for season in result.seasons:
        row = season.ledger
        unit = measure(row, units)
        for month, kg in row["fuel_by_month"].items():
            if amount(row, units) > 0.0 and row["fuel_kg"] > 0.0:
                used = round(unit.of(kg), 4)
                yield (
                    row["heater"],
                    row["winter"],
                    month,
                    row["fuel"],
                    round(kg, 2),
                    used,
                    unit.unit,
                )


def write_traces(result: Comparison, units: Units, out: Path) -> list[Path]:
    """Write each season hour by hour, in the reader's units, ``trace-<heater>-<winter>.csv``."""
    return [
        write_trace(season, units, out / f"trace-{slug(season.heater)}-{winter}.csv")
        for heater in result.heaters
        for season, winter in zip(result.of(heater), file_parts(result.of(heater)), strict=True)
        if season.traced
    ]


def write_trace(season: Season, units: Units, path: Path) -> Path:
    """Write one season hour by hour; units stand in the heads of the columns."""
    import numpy as np

    trace = season.trace
    degree = "degF" if units.us else "degC"
    power = "Btu/h" if units.us else "W"
    mass = "lb" if units.us else "kg"
    watts = 1000.0 * units.power(1.0) if units.us else 1.0

    def temperature(name: str) -> Any:
        return np.round(units.degrees(trace[name].to_numpy()), 2)

    def heat(name: str) -> Any:
        return np.round(trace[name].to_numpy() * watts, 0).astype(int)

    def weight(name: str) -> Any:
        return np.round(units.pounds(trace[name].to_numpy()), 2)

    columns: dict[str, Any] = {
        "hour beginning, local standard time": trace.index.strftime("%Y-%m-%d %H:%M"),
        f"outside [{degree}]": temperature("out_C"),
        f"setpoint [{degree}]": temperature("setpoint_C"),
        f"inside [{degree}]": temperature("air_C"),
        f"at the plants [{degree}]": temperature("crop_C"),
        f"soil [{degree}]": temperature("soil_C"),
        f"heater store [{degree}]": temperature("store_C"),
        f"heater [{power}]": heat("heater_W"),
        f"back-up [{power}]": heat("backup_W"),
        f"vented [{power}]": heat("vent_W"),
        f"fuel burnt [{mass}]": weight("fuel_kg"),
        f"fuel loaded [{mass}]": weight("loaded_kg"),
        f"fuel in the heater [{mass}]": weight("fuel_left_kg"),
        "visits [count]": trace["visit"].to_numpy().astype(int),
        "times woken [count]": trace["woken"].to_numpy().astype(int),
        "cause of cold": trace["cause"],
    }
    return _write(path, columns.keys(), zip(*columns.values(), strict=True))


def _write(path: Path, head: Cells, rows: Iterable[Cells]) -> Path:
    with (
        written_whole(path) as temporary,
        temporary.open("w", newline="", encoding="utf-8") as file,
    ):
        table = csv.writer(file, lineterminator="\n")
        table.writerow(list(head))
        table.writerows([_cell(value) for value in row] for row in rows)
    return path


def _cell(value: Any) -> Any:
    return "" if value is None else value


def file_parts(seasons: Sequence[Season]) -> list[str]:
    """A safe and unique part of a file name for each winter."""
    names = [slug(season.winter) for season in seasons]
    return [
        name if names.count(name) == 1 else f"{name}-{number}"
        for number, name in enumerate(names, start=1)
    ]
