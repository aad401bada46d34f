"""A small server on this computer that answers as the public weather services document it.

All of its weather is made up. Faults can be put in front of an answer.
"""

from __future__ import annotations

import contextlib
import functools
import json
import threading
import time
from collections.abc import Iterator
from http.server import BaseHTTPRequestHandler, ThreadingHTTPServer
from typing import Any
from urllib.parse import parse_qs, urlsplit

import numpy as np

SILENCE_S = 1.2
FILL = -999.0
HTML = b"<!DOCTYPE html><html><body>Welcome to the guest network</body></html>"


class MadeUpService:
    """What was asked, and which faults come before the answers."""

    def __init__(self) -> None:
        self.asked: list[tuple[str, dict[str, str]]] = []
        self.headers: list[dict[str, str]] = []
        self.faults: list[str] = []
        self.address = ""

    @property
    def years(self) -> list[str]:
        """Years asked for, in order."""
        return [query.get("startyear", query.get("start", "")[:4]) for _, query in self.asked]


def hours_of(year: int) -> np.ndarray:
    """Hours of a year, universal time."""
    first, last = np.datetime64(f"{year}-01-01T00", "h"), np.datetime64(f"{year + 1}-01-01T00", "h")
    return np.arange(first, last)


def temperature(stamps: np.ndarray) -> np.ndarray:
    """A cold winter, a warm summer, and a number that tells the hour of the day."""
    day = (stamps - stamps.astype("datetime64[Y]")).astype("timedelta64[h]").astype(int) / 24.0
    clock = (stamps - stamps.astype("datetime64[D]")).astype(int)
    return np.round(8.0 - 14.0 * np.cos(2.0 * np.pi * (day - 20.0) / 365.25) + clock / 10.0, 2)


def nasa(query: dict[str, str], half: bool) -> dict[str, Any]:
    """An answer in the format of the POWER project's hourly point."""
    stamps = hours_of(int(query["start"][:4]))
    names = query["parameters"].split(",")
    known = {
        "T2M": temperature(stamps), "T2MDEW": temperature(stamps) - 3.0,
        "PS": np.full(len(stamps), 98.5), "WS10M": np.full(len(stamps), 4.2),
        "ALLSKY_SFC_LW_DWN": np.full(len(stamps), 250.0),
    }  # fmt: skip
    if half:
        known["T2M"][len(stamps) // 2 :] = FILL
    clocks = [str(s).replace("-", "").replace("T", "")[:10] for s in stamps]
    table = {
        name: dict(zip(clocks, known.get(name, np.full(len(stamps), 10.0)).tolist(), strict=True))
        for name in names
    }
    place = [float(query["longitude"]), float(query["latitude"]), 271.5]
    return {
        "type": "Feature",
        "geometry": {"type": "Point", "coordinates": place},
        "properties": {"parameter": table},
        "header": {"title": "made up", "fill_value": FILL, "time_standard": "UTC"},
        "messages": [],
        "parameters": {name: {"units": "-", "longname": name} for name in names},
        "times": {"data": 0.1, "process": 0.1},
    }


def _meta(query: dict[str, str]) -> dict[str, Any]:
    return {
        "location": {
            "latitude": float(query["lat"]), "longitude": float(query["lon"]), "elevation": 312.0,
        },
        "meteo_data": {"radiation_db": "MADE-UP-SUN", "meteo_db": "MADE-UP-AIR"},
    }  # fmt: skip


def pvgis_hourly(query: dict[str, str], half: bool) -> dict[str, Any]:
    """An answer in the format of PVGIS's hourly series: stamps ten past the hour."""
    stamps = hours_of(int(query["startyear"]))
    stamps = stamps[: len(stamps) // 2] if half else stamps
    rows = [
        {"time": f"{str(s)[:10].replace('-', '')}:{str(s)[11:13]}10", "Gb(i)": 0.0, "Gd(i)": 5.0,
         "Gr(i)": 0.0, "H_sun": 0.0, "T2m": float(t), "WS10m": 3.1, "Int": 0.0}
        for s, t in zip(stamps, temperature(stamps), strict=True)
    ]  # fmt: skip
    return {"inputs": _meta(query), "outputs": {"hourly": rows}, "meta": {"inputs": {}}}


def pvgis_typical(query: dict[str, str], half: bool) -> dict[str, Any]:
    """An answer in the format of PVGIS's typical year, its months out of several years."""
    stamps = hours_of(2019)[: 4000 if half else 8760]
    years = {month: 2006 + month % 5 for month in range(1, 13)}
    rows = []
    for s, t in zip(stamps, temperature(stamps), strict=True):
        text = str(s)
        year = years[int(text[5:7])]
        rows.append(
            {"time(UTC)": f"{year}{text[5:7]}{text[8:10]}:{text[11:13]}00", "T2m": float(t),
             "RH": 80.0, "G(h)": 4.0, "Gb(n)": 0.0, "Gd(h)": 4.0, "IR(h)": 250.0, "WS10m": 3.0,
             "WD10m": 180.0, "SP": 98700.0}
        )  # fmt: skip
    chosen = [{"month": month, "year": year} for month, year in years.items()]
    outputs = {"months_selected": chosen, "tmy_hourly": rows}
    return {"inputs": _meta(query), "outputs": outputs, "meta": {"inputs": {}}}


ANSWERS = {"/nasa": nasa, "/seriescalc": pvgis_hourly, "/tmy": pvgis_typical}
REFUSALS = {
    "sea": (400, {"message": "Location over the sea. Please, select another location",
                  "status": 400}),
    "lacking": (400, {"message": "startyear: Incorrect value. Please, enter an integer between "
                                 "2005 and 2023.", "status": 400}),
    "422": (422, {"header": "made up", "messages": ["Please supply a valid end date."]}),
    "500": (500, {"message": "Internal error", "status": 500}),
    "429": (429, {"message": "Too many requests"}),
    "429 long": (429, {"message": "Too many requests"}),
}  # fmt: skip
RETRY_AFTER = {"429": "7", "429 long": "86400"}


@functools.cache
def answer(path: str, query: tuple[tuple[str, str], ...], fault: str) -> bytes:
    """The bytes of an answer, made once."""
    made = ANSWERS[path](dict(query), fault == "half")
    return json.dumps({"data": made} if fault == "other shape" else made).encode()


def _handler(service: MadeUpService) -> type[BaseHTTPRequestHandler]:
    class Handler(BaseHTTPRequestHandler):
        def do_GET(self) -> None:
            parts = urlsplit(self.path)
            query = {key: values[0] for key, values in parse_qs(parts.query).items()}
            service.asked.append((parts.path, query))
            service.headers.append(dict(self.headers))
            fault = service.faults.pop(0) if service.faults else ""
            if fault == "silence":
                time.sleep(SILENCE_S)
                return
            if fault in REFUSALS:
                status, body = REFUSALS[fault]
                self._send(status, json.dumps(body).encode(), RETRY_AFTER.get(fault))
                return
            if fault == "html":
                self._send(200, HTML, None)
                return
            whole = answer(parts.path, tuple(sorted(query.items())), fault)
            if fault == "cut":
                self.send_response(200)
                self.send_header("Content-Length", str(len(whole)))
                self.end_headers()
                self.wfile.write(whole[: len(whole) // 2])
                self.close_connection = True
                return
            self._send(200, whole, None)

        def _send(self, status: int, body: bytes, retry_after: str | None) -> None:
            self.send_response(status)
            self.send_header("Content-Length", str(len(body)))
            if retry_after:
                self.send_header("Retry-After", retry_after)
            self.end_headers()
            self.wfile.write(body)

        def log_message(self, *_: object) -> None:
            """Say nothing."""

    return Handler


@contextlib.contextmanager
def made_up_service() -> Iterator[MadeUpService]:
    """The server, running on 127.0.0.1 in a thread."""
    service = MadeUpService()
    server = ThreadingHTTPServer(("127.0.0.1", 0), _handler(service))
    server.daemon_threads = True
    service.address = f"http://127.0.0.1:{server.server_port}"
    thread = threading.Thread(target=server.serve_forever, kwargs={"poll_interval": 0.02})
    thread.start()
    try:
        yield service
    finally:
        server.shutdown()
        server.server_close()
        thread.join()
