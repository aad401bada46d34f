"""``greenhouse-sim weather fetch``: hourly years of a place from a public service."""

from __future__ import annotations

import re
from pathlib import Path
from typing import Annotated

import typer

from greenhouse_sim.cli.door import told_plainly
from greenhouse_sim.cli.say import Progress

ADDRESS = "GREENHOUSE_SIM_WEATHER_ADDRESS"
MOST_YEARS = 60


class Years(Progress):
    """A bar that counts years."""

    def _start(self) -> None:
        super()._start()
        self._bar.update(self._job, description="Years")


def fetch_command(
    latitude: Annotated[
        float, typer.Option("--latitude", metavar="DEGREES", help="North positive.")
    ],
    longitude: Annotated[
        float, typer.Option("--longitude", metavar="DEGREES", help="East positive: -96.8 is west.")
    ],
    years: Annotated[
        str | None,
        typer.Option("--years", metavar="FROM-TO", help="Such as 2005-2020.", show_default=False),
    ] = None,
    service: Annotated[
        str, typer.Option("--service", help="nasa-power, pvgis or pvgis-typical.")
    ] = "nasa-power",
    utc_offset: Annotated[
        int | None,
        typer.Option(
            "--utc-offset", metavar="HOURS", show_default=False,
            help="Local standard time less universal time; by the longitude if left out.",
        ),
    ] = None,
    out: Annotated[
        Path | None,
        typer.Option("--out", metavar="FILE", help="The CSV to write.", show_default=False),
    ] = None,
    timeout: Annotated[
        float, typer.Option("--timeout", metavar="SECONDS", min=0.05, help="Longest silence.")
    ] = 60.0,
    address: Annotated[
        str | None,
        typer.Option(
            "--address", metavar="URL", envvar=ADDRESS, show_default=False,
            help="Base address of a mirror of the service.",
        ),
    ] = None,
) -> None:  # fmt: skip
    """Fetch hourly years of a place. Nothing but the coordinates and years is sent."""
    with told_plainly():
        from greenhouse_sim.errors import WeatherError
        from greenhouse_sim.weather.fetch import Wanted, check_wanted, fetch
        from greenhouse_sim.weather.service import service_named
        from greenhouse_sim.weather.transport import Patience
        from greenhouse_sim.weather.write import write_plain

        source = service_named(service)
        offset = float(round(longitude / 15.0) if utc_offset is None else utc_offset)
        span = _years(years)
        wanted = Wanted(source, latitude, longitude, span, offset, _address(address))
        check_wanted(wanted)
        target = out or Path(_name(wanted.service.name, latitude, longitude, span))
        if target.exists():
            raise WeatherError(
                f"{target}: is there already; name another file with --out, or remove it first"
            )
        with Years(max(len(span), 1)) as bar:
            bar.tell(f"Asking {source.name}: {source.words}.")
            rows = fetch(wanted, Patience(silence_s=timeout), bar.tell, bar.advance)
        write_plain(rows, target)
        typer.echo(f"Wrote {target}: {len(rows.stamps):,} hours, {rows.source}")
        typer.echo(f"Licence: {source.licence}")
        if utc_offset is None:
            typer.echo(f"Clock: {offset:+g} h from universal time, by the longitude (--utc-offset)")
        typer.echo(f'In the scenario: weather = ["{target.name}"]')


def _years(text: str | None) -> tuple[int, ...]:
    """``2005-2020`` or ``2019`` as years."""
    from greenhouse_sim.errors import WeatherError

    if text is None:
        return ()
    match = re.fullmatch(r"\s*(\d{4})\s*(?:-\s*(\d{4})\s*)?", text)
    first, last = (int(match[1]), int(match[2] or match[1])) if match else (1, 0)
    if not first <= last < first + MOST_YEARS:
        raise WeatherError(
            f"--years {text[:30]!r}: write the first and last year, such as 2005-2020 "
            f"(at most {MOST_YEARS})"
        )
    return tuple(range(first, last + 1))


def _address(text: str | None) -> str:
    from greenhouse_sim.errors import WeatherError

    if text and not re.match(r"https?://[^\s/]+", text):
        raise WeatherError(f"--address {text[:60]!r}: write one such as https://host/path")
    return text or ""


def _name(service: str, latitude: float, longitude: float, years: tuple[int, ...]) -> str:
    span = f"_{years[0]}-{years[-1]}" if years else ""
    return f"{service}_{latitude:g}_{longitude:g}{span}.csv"
