"""Fetch the hourly years of a place from a public service, one year at a time.

Each answer is kept with its checksum, so a fetch that broke off goes on where it was.
"""

from __future__ import annotations

import contextlib
import hashlib
from collections.abc import Callable
from datetime import date
from typing import NamedTuple

import numpy as np

from greenhouse_sim.errors import WeatherError
from greenhouse_sim.weather import nasa_power, pvgis
from greenhouse_sim.weather.answers import answer_path, find_answer, keep_answer
from greenhouse_sim.weather.epw import TYPICAL_YEAR
from greenhouse_sim.weather.rows import Rows, one_year
from greenhouse_sim.weather.service import Service
from greenhouse_sim.weather.transport import Patience, Tell, UnansweredError, ask
from greenhouse_sim.weather.year import Hours, hours_of_year

Array = np.ndarray
DIGITS = 3
"""Decimals of a degree that are sent: 100 m, finer than any of these data."""
MOST_MISSING_H = 24
"""Hours that a year may lack and still be kept (judgement); gaps are told when it is read."""
TYPICAL = "pvgis-typical"


class Wanted(NamedTuple):
    """What to fetch."""

    service: Service
    latitude: float
    longitude: float
    years: tuple[int, ...]
    """Empty for a typical year."""
    utc_offset_h: float
    address: str = ""
    """Another base address than the service's own."""


def check_wanted(wanted: Wanted) -> None:
    """Refuse what no service can answer, before anything is sent.

    Raises
    ------
    WeatherError
        Coordinates off the Earth, years out of the service's range or not yet over.
    """
    for name, value, most in (
        ("latitude", wanted.latitude, 90.0),
        ("longitude", wanted.longitude, 180.0),
    ):
        if not -most <= value <= most:
            raise WeatherError(
                f"--{name} {value:g}: lies off the Earth; write degrees from {-most:g} to {most:g}"
                ", north and east positive"
            )
    service = wanted.service
    if service.first_year is None:
        if wanted.years:
            raise WeatherError(f"{service.name} gives one typical year; leave --years out")
        return
    last = service.last_year or date.today().year - 1
    span = f"{service.first_year} to {last}" + (" (so far)" if service.last_year is None else "")
    if not wanted.years:
        raise WeatherError(
            f"--years is missing; {service.name} has {span}: write --years {span[:4]}-{last}"
        )
    lacking = [
        year for year in wanted.years if year < service.first_year or year >= date.today().year
    ]
    if lacking:
        raise WeatherError(
            f"--years: {service.name} has no {lacking[0]}; it has whole years from {span}"
        )


def fetch(wanted: Wanted, patience: Patience, tell: Tell, advance: Callable[[int], None]) -> Rows:
    """Rows of all years wanted, in local standard time.

    Parameters
    ----------
    wanted
        Service, place and years, checked by `check_wanted`.
    patience
        How long to wait and how often to ask.
    tell
        Told in words what is happening.
    advance
        Called with 1 after each year.

    Raises
    ------
    WeatherError
        A year cannot be had: one message with what to do; years before it are kept.
    """
    if wanted.service.name == TYPICAL:
        found = [_year(wanted, 0, patience, tell)]
        advance(1)
    else:
        found = []
        for year in wanted.years:
            found.append(_year(wanted, year, patience, tell))
            advance(1)
    stamps = np.concatenate([hours.stamps for hours in found])
    columns = {
        key: np.concatenate([hours.columns[key] for hours in found]) for key in found[0].columns
    }
    columns = {key: values for key, values in columns.items() if not np.isnan(values).all()}
    return _local(wanted, stamps, columns, found[-1])


def _year(wanted: Wanted, year: int, patience: Patience, tell: Tell) -> Hours:
    place = f"{wanted.latitude:.{DIGITS}f}_{wanted.longitude:.{DIGITS}f}"
    folder = wanted.service.name
    if wanted.address:
        folder += "-" + hashlib.blake2b(wanted.address.encode(), digest_size=4).hexdigest()
    path = answer_path(folder, f"{place}_{year or 'typical'}")
    kept, damaged = find_answer(path)
    if damaged:
        tell(f"{path}: damaged on the disk, fetched again")
    if kept is not None:
        with contextlib.suppress(WeatherError):  # kept by another version: fetch it again
            return _read(wanted, year, kept)
    text = _asked(wanted, year, patience, tell)
    hours = _read(wanted, year, text)
    keep_answer(path, text)
    return hours


def _asked(wanted: Wanted, year: int, patience: Patience, tell: Tell) -> str:
    latitude, longitude = round(wanted.latitude, DIGITS), round(wanted.longitude, DIGITS)
    base = wanted.address or wanted.service.address
    if wanted.service.name == "nasa-power":
        address, params = base, nasa_power.params(latitude, longitude, year)
    elif wanted.service.name == TYPICAL:
        address, params = _joined(base, pvgis.TYPICAL), pvgis.typical_params(latitude, longitude)
    else:
        address, params = _joined(base, pvgis.HOURLY), pvgis.params(latitude, longitude, year)
    name = _name(wanted, year)
    try:
        return ask(address, params, patience, lambda line: tell(f"{name} {line}"))
    except UnansweredError as problem:
        raise WeatherError(f"{name} {problem}. {_remedy(str(problem))}") from problem


def _joined(base: str, end: str) -> str:
    return f"{base.rstrip('/')}/{end}"


def _name(wanted: Wanted, year: int) -> str:
    return (
        f"{wanted.service.name}, {year or 'typical year'}:" if year else f"{wanted.service.name}:"
    )


def _remedy(problem: str) -> str:
    sea = "sea" in problem.lower()
    if sea:
        return "Give coordinates on land, near the greenhouse"
    if "refuses" in problem:
        return "Change place or years as it says, or ask another service (--service)"
    return "Years fetched so far are kept: give the same command again later"


def _read(wanted: Wanted, year: int, text: str) -> Hours:
    """The hours of an answer, refused where they are not the year's."""
    name = _name(wanted, year)
    try:
        if wanted.service.name == "nasa-power":
            hours = nasa_power.read_answer(text)
        elif wanted.service.name == TYPICAL:
            hours = pvgis.read_typical(text)
        else:
            hours = pvgis.read_answer(text)
    except (KeyError, ValueError, TypeError, IndexError, AttributeError) as problem:
        raise WeatherError(
            f"{name} answered in another shape than it documents ({type(problem).__name__}: "
            f"{' '.join(str(problem).split())[:80]}); ask another service (--service)"
        ) from problem
    wanted_h = hours_of_year(year) if year else 8760
    sun = "ghi_W" if "ghi_W" in hours.columns else "dhi_W"
    good = ~np.isnan(hours.columns["t_out_C"]) & ~np.isnan(hours.columns[sun])
    if year:
        good &= hours.stamps.astype("datetime64[Y]").astype(int) + 1970 == year
    if good.sum() < wanted_h - MOST_MISSING_H:
        raise WeatherError(
            f"{name} has only {int(good.sum())} of {wanted_h} hours; the service may not have the "
            "whole year yet: leave that year out"
        )
    return hours


def _local(wanted: Wanted, stamps: Array, columns: dict[str, Array], last: Hours) -> Rows:
    """Universal time into local standard time; a typical year is turned round in itself."""
    shift = np.timedelta64(round(wanted.utc_offset_h * 3600), "s")
    notes = []
    if wanted.service.name == TYPICAL:
        local = one_year(stamps, TYPICAL_YEAR) + shift
        begin = np.datetime64(f"{TYPICAL_YEAR}-01-01", "s").astype(int)
        seconds = (local.astype(int) - begin) % (8760 * 3600)
        order = np.argsort(seconds)
        stamps = (begin + seconds[order]).astype("datetime64[s]")
        columns = {key: values[order] for key, values in columns.items()}
        notes.append(f"typical year: all hours stamped as {TYPICAL_YEAR}")
    else:
        stamps = stamps + shift
    return Rows(
        path=f"answer of {wanted.service.name}",
        name=wanted.service.name,
        site=f"{wanted.latitude:.{DIGITS}f}, {wanted.longitude:.{DIGITS}f}",
        latitude=wanted.latitude,
        longitude=wanted.longitude,
        elevation_m=last.elevation_m,
        utc_offset_h=wanted.utc_offset_h,
        stamps=stamps,
        columns=columns,
        labels={},
        file_row=np.arange(len(stamps)),
        notes=notes,
        source=f"{last.source}. {wanted.service.attribution}",
    )
