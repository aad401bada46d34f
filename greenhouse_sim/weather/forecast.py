"""Fetch the forecast of a place from a public service.

pvlib's readers of forecasts (`pvlib.iotools`, version 0.16) all ask services that want an account
and a key. So the documented answer of an open one is read here, through the program's transport.

The last answer is kept with its checksum. It is used again within the hour, since services ask
not to be asked more often, and for longer where the service cannot be reached.
"""

from __future__ import annotations

import hashlib
import json
from datetime import UTC, datetime, timedelta
from typing import NamedTuple

import numpy as np

from greenhouse_sim.errors import WeatherError
from greenhouse_sim.weather.answers import answer_path, find_answer, keep_answer
from greenhouse_sim.weather.forecast_met_norway import Instants, params, read_answer
from greenhouse_sim.weather.forecast_service import ForecastService
from greenhouse_sim.weather.transport import Patience, Tell, UnansweredError, ask

Array = np.ndarray
HOUR = timedelta(hours=1)
DIGITS = 3
"""Decimals of a degree that are sent: 100 m; the service refuses more than four."""
FRESH = HOUR
"""So long an answer is used again without asking (judgement: its terms ask for no more)."""
MOST_APART_H = 3
"""Steps further apart than this are left out, with all after them."""
NAMELESS = (403, 429)
"""Statuses with which a service that asks for a contact answers those who give none."""
LEAST_H = 18
"""A forecast of fewer hours does not hold a night (judgement)."""
MOST_C = 60.0
"""Air hotter or colder than this is no forecast of this Earth's farms."""


class Place(NamedTuple):
    """Where the greenhouse stands, and its clock."""

    latitude: float
    longitude: float
    elevation_m: float
    utc_offset_h: float


class Coming(NamedTuple):
    """What is expected outside: contiguous hours, local standard time, SI."""

    start: datetime
    issued: datetime
    columns: dict[str, Array]
    """Keys of `Weather`'s arrays, and perhaps ``humidity``; hourly means."""


def universal_now() -> datetime:
    """The present, universal time without a zone (tests put a clock of their own here)."""
    return datetime.now(UTC).replace(tzinfo=None)


def fetch_forecast(
    service: ForecastService, place: Place, oldest_h: float, patience: Patience, tell: Tell,
    address: str = "", contact: str = "",
) -> Coming:  # fmt: skip
    """The forecast of a place from now on.

    Parameters
    ----------
    service
        Which one to ask.
    place
        Where; nothing else is sent but the contact.
    oldest_h
        Hours since it was issued after which a forecast is of no use.
    patience
        How long to wait and how often to ask.
    tell
        Told in words what is happening.
    address
        Another base address than the service's own.
    contact
        Who asks, sent with the request: an e-mail address or a web page; nobody without it.

    Raises
    ------
    WeatherError
        There is none to be had, not even an older one that was kept: one message with what to do.
    """
    key = f"{place.latitude:.{DIGITS}f}_{place.longitude:.{DIGITS}f}_{place.elevation_m:.0f}"
    folder = f"forecast-{service.name}"
    if address:
        folder += "-" + hashlib.blake2b(address.encode(), digest_size=4).hexdigest()
    path = answer_path(folder, key)
    text, damaged = find_answer(path)
    if damaged:
        tell(f"{path}: damaged on the disk, fetched again")
    kept = None if text is None else _kept(text, place, oldest_h)
    if kept is not None and universal_now() - kept[0] < FRESH:
        tell(f"{service.name}: the forecast fetched at {_clock(kept[0], place)} is used again")
        return kept[1]
    try:
        text = _asked(service, place, patience, tell, address, contact)
        found = _read(text, service.name, place)
        _check(found, service.name, place, oldest_h)
    except WeatherError as problem:
        if kept is None:
            raise
        tell(f"{problem}")
        tell(f"{service.name}: the forecast fetched at {_clock(kept[0], place)} is used instead")
        return kept[1]
    wrapped = {"fetched": universal_now().isoformat(timespec="seconds"), "answer": text}
    try:
        keep_answer(path, json.dumps(wrapped))
    except WeatherError:  # a full disk: tonight is answered all the same
        tell(f"{path}: cannot be written, so this forecast is not kept; free some room there")
    return found


def _asked(
    service: ForecastService, place: Place, patience: Patience, tell: Tell, address: str,
    contact: str,
) -> str:  # fmt: skip
    sent = params(round(place.latitude, DIGITS), round(place.longitude, DIGITS), place.elevation_m)
    try:
        return ask(
            address or service.address, sent, patience,
            lambda line: tell(f"{service.name} {line}"), contact,
        )  # fmt: skip
    except UnansweredError as problem:
        nameless = bool(service.identity) and not contact
        raise WeatherError(
            f"{service.name} {problem}. {_remedy(str(problem), nameless)}"
        ) from problem


def _remedy(problem: str, nameless: bool = False) -> str:
    by_hand = "write tonight's forecast into a CSV and name it with --forecast"
    if nameless and any(f"status {status}" in problem for status in NAMELESS):
        return f"Name yourself with --contact you@example.org, which it asks for, or {by_hand}"
    if "refuses" in problem:
        return f"Check the place ([site] latitude, longitude), or {by_hand}"
    return f"Try again later, or {by_hand}"


def _read(text: str, name: str, place: Place) -> Coming:
    try:
        return hourly(read_answer(text), place)
    except (KeyError, ValueError, TypeError, IndexError, AttributeError) as problem:
        raise WeatherError(
            f"{name} answered in another shape than it documents ({type(problem).__name__}: "
            f"{' '.join(str(problem).split())[:80]}). {_remedy('')}"
        ) from problem


def hourly(given: Instants, place: Place) -> Coming:
    """The mean of every hour in local standard time, its instants joined by straight lines.

    The hour before the first instant is taken like it: services begin at the full hour that is
    past or the one that comes.

    Raises
    ------
    ValueError
        Too few hours, or temperatures that cannot be.
    """
    local = given.stamps + np.timedelta64(round(place.utc_offset_h * 3600.0), "s")
    hours = (local - local[0]) / np.timedelta64(3600, "s")
    wide = np.flatnonzero(np.diff(hours) > MOST_APART_H)
    stop = int(wide[0]) + 1 if len(wide) else len(hours)
    begun = local[0].astype("datetime64[h]")
    late = float((local[0] - begun) / np.timedelta64(3600, "s"))
    edges = np.arange(-1.0, np.floor(hours[stop - 1] + late) + 0.5) - late
    if len(edges) - 1 < LEAST_H:
        raise ValueError(f"only {len(edges) - 1} hours")
    columns = {}
    for key, values in given.columns.items():
        if np.isnan(values[:stop]).any():
            continue
        ends = np.interp(edges, hours[:stop], values[:stop])
        columns[key] = 0.5 * (ends[:-1] + ends[1:])
    if np.abs(columns["t_out_C"]).max() > MOST_C:
        raise ValueError(f"air of {columns['t_out_C'][np.abs(columns['t_out_C']).argmax()]:.0f} °C")
    for key in ("humidity", "cloud"):
        if key in columns:
            columns[key] = np.clip(columns[key], 0.0, 1.0)
    start = (begun - np.timedelta64(1, "h")).astype("datetime64[s]").item()
    return Coming(start, given.issued + place.utc_offset_h * HOUR, columns)


def _check(found: Coming, name: str, place: Place, oldest_h: float) -> None:
    """Refuse a forecast that the service itself has not brought up to date."""
    now = universal_now() + place.utc_offset_h * HOUR
    old_h = (now - found.issued) / HOUR
    if old_h > oldest_h:
        raise WeatherError(
            f"{name} gives a forecast that was issued {found.issued:%Y-%m-%d %H:%M}, {old_h:.0f} h "
            f"ago, and no newer one. {_remedy('')}"
        )


def _kept(text: str, place: Place, oldest_h: float) -> tuple[datetime, Coming] | None:
    """When the kept answer was fetched (universal time), and what it says; None if of no use."""
    try:
        held = json.loads(text)
        fetched = datetime.fromisoformat(held["fetched"])
        found = hourly(read_answer(held["answer"]), place)
        _check(found, "", place, oldest_h)
    except (KeyError, ValueError, TypeError, IndexError, AttributeError, WeatherError):
        return None
    return (fetched, found) if fetched <= universal_now() else None


def _clock(moment: datetime, place: Place) -> str:
    return f"{moment + place.utc_offset_h * HOUR:%H:%M}"
