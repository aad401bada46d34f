"""What ``tonight`` is given: the hour, the journal, and a forecast from a file or a service."""

from __future__ import annotations

import contextlib
import gc
from collections.abc import Iterator
from datetime import datetime, timedelta
from pathlib import Path
from typing import TYPE_CHECKING, NamedTuple

import typer

if TYPE_CHECKING:
    from greenhouse_sim.heater.numbers import Heater
    from greenhouse_sim.plans.tonight_forecast import Forecast
    from greenhouse_sim.plans.tonight_journal import Noted
    from greenhouse_sim.scenario import Scenario
    from greenhouse_sim.weather import Weather

CONTACT = "GREENHOUSE_SIM_CONTACT"
TRIES = 3
"""A grower waits by the door: a service is asked less often than for a year of hours."""


@contextlib.contextmanager
def without_collecting() -> Iterator[None]:
    """Garbage is left lying for the second that tonight takes: looking for it among what is loaded
    takes a twentieth of that, and finds nothing."""
    was = gc.isenabled()
    gc.disable()
    try:
        yield
    finally:
        if was:
            gc.enable()


class Service(NamedTuple):
    """How a service is to be asked."""

    timeout_s: float
    address: str | None
    contact: str | None = None
    """Who asks, told to the service."""


def present_moment(text: str | None, place: Weather) -> datetime:
    """The present in the farm's standard time, to the minute."""
    from datetime import UTC

    from greenhouse_sim.journal.texts import moment

    if text is not None:
        return moment(text, "--at")
    here = datetime.now(UTC).replace(tzinfo=None) + timedelta(hours=place.utc_offset_h)
    return here.replace(second=0, microsecond=0)


def nearest_hour(moment: datetime) -> datetime:
    """The full hour that a moment is taken for."""
    return (moment + timedelta(minutes=30)).replace(minute=0, second=0, microsecond=0)


def journal_of(named: Path | None, scenario: Scenario) -> Path | None:
    """The journal that is to be read: the one named, or the one beside the scenario if any."""
    from greenhouse_sim.journal.store import journal_path

    if named is not None:
        return named
    beside = journal_path(scenario.path)
    return beside if beside.exists() else None


def what_was_noted(
    book: Path, scenario: Scenario, heater: Heater, moment: datetime, *, needed: bool, clock: bool
) -> Noted | None:
    """What a journal says of the present; None where it says nothing.

    With ``clock`` the present is the computer's own, and entries that are later than it are told.

    Raises
    ------
    JournalError
        It cannot be read and is ``needed``; where it is not, that is said and no more.
    """
    from greenhouse_sim.errors import JournalError
    from greenhouse_sim.journal.store import Journal
    from greenhouse_sim.plans.tonight_journal import noted

    try:
        with Journal(book, make=False) as opened:
            entries = opened.entries()
    except JournalError as problem:
        if needed:
            raise
        typer.echo(f"note: the journal is not used: {problem}", err=True)
        return None
    later = [one for one in entries if one.at > moment]
    if clock and later:
        typer.echo(
            f"note: {book} has entries later than now, {moment:%Y-%m-%d %H:%M} by the clock of the "
            f"weather file (the next is of {later[0].at:%Y-%m-%d %H:%M}); they are not used. Write "
            "--at if this computer keeps another clock than the farm's", err=True,
        )  # fmt: skip
    return noted(entries, scenario, heater, moment)


def expected(text: str, record: Weather, how: Service) -> Forecast:
    """The forecast of a file, or of a service that is named in its place.

    Raises
    ------
    WeatherError
        There is neither, or it is of no use.
    """
    from greenhouse_sim.errors import WeatherError
    from greenhouse_sim.plans.tonight_forecast import read_forecast
    from greenhouse_sim.units import quoted

    if Path(text).exists():
        return read_forecast(Path(text), record)
    from greenhouse_sim.weather.forecast_service import forecast_services

    if text in forecast_services():
        return _asked(text, record, how)
    if not Path(text).suffix:
        raise WeatherError(
            f"--forecast: {quoted(text)} is neither a file nor a service; name a CSV, or write "
            f"{' or '.join(forecast_services())}"
        )
    return read_forecast(Path(text), record)


def _asked(name: str, record: Weather, how: Service) -> Forecast:
    """What a service answers, with what is said on the way."""
    from greenhouse_sim.plans.tonight_error import number
    from greenhouse_sim.plans.tonight_forecast import of_service
    from greenhouse_sim.weather.forecast import Place, fetch_forecast
    from greenhouse_sim.weather.forecast_service import forecast_services
    from greenhouse_sim.weather.transport import Patience

    service = forecast_services()[name]
    address, contact = _address(how.address), _contact(how.contact)
    place = Place(record.latitude, record.longitude, record.elevation_m, record.utc_offset_h)
    typer.echo(
        f"Asking {name} for {place.latitude:.3f}, {place.longitude:.3f}, {place.elevation_m:.0f} m "
        f"({service.words}); "
        + (f"your contact {contact} goes with it, " if contact else "") + "nothing else is sent.",
        err=True,
    )  # fmt: skip
    if service.identity and not contact:
        typer.echo(
            f"note: {name} {service.identity}; write --contact you@example.org, or keep yours in "
            f"the environment as {CONTACT}", err=True,
        )  # fmt: skip
    found = fetch_forecast(
        service, place, number("oldest"), Patience(silence_s=how.timeout_s, tries=TRIES),
        lambda line: typer.echo(line, err=True), address, contact,
    )  # fmt: skip
    return of_service(found, service)


def _address(text: str | None) -> str:
    import re

    from greenhouse_sim.errors import WeatherError
    from greenhouse_sim.units import quoted

    if text and not re.match(r"https?://[^\s/]+", text):
        raise WeatherError(f"--address: {quoted(text)}: write one such as https://host/path")
    return text or ""


def _contact(text: str | None) -> str:
    """A contact as it may stand in a request's header: an e-mail address or a web page.

    Raises
    ------
    WeatherError
        It is neither.
    """
    import re

    from greenhouse_sim.errors import WeatherError
    from greenhouse_sim.units import quoted

    told = (text or "").strip()
    sign = r"[!-~]"  # printable, no blank
    form = rf"(?=.{{1,200}}\Z)({sign}+@{sign}+\.{sign}+|(https?://)?[\w-]+(\.[\w-]+)+(/{sign}*)?)"
    if told and not (told.isascii() and re.fullmatch(form, told)):
        raise WeatherError(
            f"--contact: {quoted(told)}: write an e-mail address or a web page, such as "
            f"you@example.org (it may come from {CONTACT} in the environment)"
        )
    return told
