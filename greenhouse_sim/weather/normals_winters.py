"""Make many winters from a table of monthly normals.

Each made winter is the middle of a year from midsummer to midsummer with a stream of random
numbers of its own: the tenth winter is the same whether ten or a hundred are made, in
whatever order and on however many cores. The years follow one another in one record, as if the
place had been measured that long, so that everything that cuts winters from a record
cuts these too.
"""

from __future__ import annotations

from collections.abc import Callable
from pathlib import Path

import numpy as np

from greenhouse_sim.weather.complete import standard_pressure, to_weather
from greenhouse_sim.weather.limits import limits
from greenhouse_sim.weather.normals import Normals
from greenhouse_sim.weather.normals_climate import Year, first_day, year_of
from greenhouse_sim.weather.normals_days import (
    clear_days,
    dew_point,
    draw,
    sky_of,
    temperature,
    wind,
)
from greenhouse_sim.weather.normals_file import read_normals
from greenhouse_sim.weather.normals_settle import apply, settle
from greenhouse_sim.weather.plain import Place
from greenhouse_sim.weather.rows import Rows
from greenhouse_sim.weather.sun import erbs_split
from greenhouse_sim.weather.weather import Weather

Array = np.ndarray
SOURCE = (
    "made from monthly normals: daily departures with memory and a season-long part (Richardson "
    "1981; Hansen and Mavromatis 2001), daily course after Parton and Logan 1981"
)


def made_weather(normals: Normals, advance: Callable[[int], None] | None = None) -> Weather:
    """All winters of a table as one record of consecutive years.

    Parameters
    ----------
    advance
        Called with the number of winters that have just been made.

    Raises
    ------
    WeatherError
        Normals that cannot be.
    """
    return to_weather(made_rows(normals, advance))


def read_made(text: str, path: Path, place: Place) -> Rows:
    """The winters of a normals file, as a reader of weather files gives them."""
    return made_rows(read_normals(text, path, place))


def made_rows(normals: Normals, advance: Callable[[int], None] | None = None) -> Rows:
    """As `made_weather`, before the checks that all weather goes through."""
    kinds, notes = _kinds(normals)
    parts: list[dict[str, Array]] = []
    for i in range(normals.count):
        stream = np.random.SeedSequence(normals.seed, spawn_key=(i,))
        hours = 24 * int((first_day(normals, i + 1) - first_day(normals, i)).astype(int))
        made = _one(kinds[hours], np.random.default_rng(stream))
        parts.append({key: values[:hours] for key, values in made.items()})
        if advance is not None:
            advance(1)
    columns = {key: np.concatenate([part[key] for part in parts]) for key in parts[0]}
    first = first_day(normals, 0).astype("datetime64[s]")
    stamps = first + np.arange(len(columns["t_out_C"])) * np.timedelta64(3600, "s")
    columns["dni_W"], columns["dhi_W"] = erbs_split(columns["ghi_W"], columns.pop("zenith"), stamps)
    columns["pressure_Pa"] = np.full(len(stamps), standard_pressure(normals.elevation_m))
    return Rows(
        path=normals.name,
        name=Path(normals.name).stem,
        site=normals.site,
        latitude=normals.latitude,
        longitude=normals.longitude,
        elevation_m=normals.elevation_m,
        utc_offset_h=normals.utc_offset_h,
        stamps=stamps,
        columns=columns,
        labels={},
        file_row=np.arange(1, len(stamps) + 1),
        notes=[_counted(normals), *normals.notes, *notes],
        source=SOURCE,
        synthetic=True,
    )


def _counted(normals: Normals) -> str:
    many = "winter" if normals.count == 1 else "winters"
    return f"{normals.count} {many} made from monthly normals, seed {normals.seed}"


def _kinds(normals: Normals) -> tuple[dict[int, Year], list[str]]:
    """A year with and one without a 29 February, by their hours; the corrections are shared."""
    years: dict[int, Year] = {}
    found, notes = None, []
    for i in range(4):
        hours = 24 * int((first_day(normals, i + 1) - first_day(normals, i)).astype(int))
        if hours in years or i >= normals.count:
            continue
        year, said = year_of(normals, i)
        if found is None:
            notes, found = said, settle(normals, year)
        years[hours] = apply(found, year)
    return years, notes


def _one(year: Year, chance: np.random.Generator) -> dict[str, Array]:
    """Hourly columns of one year; ``zenith`` is for the split of the sun."""
    drawn = draw(year, chance)
    clear = clear_days(year, drawn)
    t_out = temperature(year, drawn, clear)
    ghi, cloud = sky_of(year, clear, drawn)
    most = limits()["wind_m_s"].high
    return {
        "t_out_C": t_out,
        "t_dew_C": np.maximum(dew_point(year, drawn, t_out), limits()["t_dew_C"].low),
        "wind_m_s": np.minimum(wind(year, drawn), 0.5 * most),
        "ghi_W": ghi,
        "cloud": cloud,
        "zenith": year.sky.zenith,
    }
