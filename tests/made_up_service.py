"""A small server on this computer that answers as the public weather services document it.

All of its weather is made up. Faults can be put in front of an answer. The shapes are those of
real answers: of PVGIS as pvlib keeps them for its tests (tmy_45.000_8.000_2005_2023.json, version
5.3, and pvgis_hourly_Timeseries_45.000_8.000_CM_10kWp_CIS_5_2a_2013_2014.json), of NASA POWER as
its hourly page and pvlib's reader describe them (missing values are header.fill_value, -999).
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
import pandas as pd

SILENCE_S = 1.2
FILL = -999.0
PICTURE_MIN = 11
"""Minute of the hour in which the satellite looks; 0.1761 h in the answer that pvlib keeps."""
HTML = b"<!DOCTYPE html><html><body>Welcome to the guest network</body></html>"


UNITS = {"T2M": "C", "T2MDEW": "C", "PS": "kPa", "WS10M": "m/s"}


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


def sun_at(stamps: np.ndarray, latitude: float, longitude: float) -> tuple[np.ndarray, ...]:
    """Direct and diffuse sun, W/m², of a hazy sky at moments, and the sine of its height."""
    from pvlib import solarposition

    moments = pd.DatetimeIndex(stamps, tz="UTC")
    height = solarposition.get_solarposition(moments, latitude, longitude)["elevation"].to_numpy()
    sine = np.sin(np.radians(np.maximum(height, 0.0)))
    return 700.0 * sine**0.4, 120.0 * sine**0.6, sine


def mean_sun(stamps: np.ndarray, latitude: float, longitude: float) -> tuple[np.ndarray, ...]:
    """Global, direct and diffuse sun of whole hours, W/m²."""
    parts = []
    for minute in range(5, 60, 10):
        moment = stamps.astype("datetime64[s]") + np.timedelta64(minute * 60, "s")
        direct, diffuse, sine = sun_at(moment, latitude, longitude)
        parts.append((direct * sine + diffuse, direct, diffuse))
    return tuple(np.mean(one, axis=0) for one in zip(*parts, strict=True))


def nasa(query: dict[str, str], half: bool) -> dict[str, Any]:
    """An answer in the format of the POWER project's hourly point."""
    stamps = hours_of(int(query["start"][:4]))
    names = query["parameters"].split(",")
    sun = mean_sun(stamps, float(query["latitude"]), float(query["longitude"]))
    known = {
        "ALLSKY_SFC_SW_DWN": sun[0], "ALLSKY_SFC_SW_DNI": sun[1], "ALLSKY_SFC_SW_DIFF": sun[2],
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
        "header": {
            "title": "NASA/POWER Source Native Resolution Hourly Data",
            "api": {"version": "v2.10.0", "name": "POWER Hourly API"},
            "sources": ["SYN1DEG", "MERRA2"], "fill_value": FILL, "time_standard": "UTC",
            "start": query["start"], "end": query["end"],
        },
        "messages": [],
        "parameters": {
            name: {"units": UNITS.get(name, "Wh/m^2"), "longname": name} for name in names
        },
        "times": {"data": 0.1, "process": 0.1},
    }  # fmt: skip


def _meta(query: dict[str, str]) -> dict[str, Any]:
    return {
        "location": {
            "latitude": float(query["lat"]), "longitude": float(query["lon"]), "elevation": 312.0,
        },
        "meteo_data": {
            "radiation_db": "MADE-UP-SUN", "meteo_db": "MADE-UP-AIR", "year_min": 2005,
            "year_max": 2023, "use_horizon": True, "horizon_db": "DEM-calculated",
        },
    }  # fmt: skip


def _picture(stamps: np.ndarray, query: dict[str, str]) -> tuple[np.ndarray, ...]:
    """Sun in the minute of each hour in which the satellite looks."""
    moment = stamps.astype("datetime64[s]") + np.timedelta64(PICTURE_MIN * 60, "s")
    return sun_at(moment, float(query["lat"]), float(query["lon"]))


def pvgis_hourly(query: dict[str, str], half: bool) -> dict[str, Any]:
    """An answer in the format of PVGIS's hourly series: stamps say the minute of the picture."""
    stamps = hours_of(int(query["startyear"]))
    stamps = stamps[: len(stamps) // 2] if half else stamps
    sun = np.round(np.transpose(_picture(stamps, query)), 4)
    rows = [
        {"time": f"{str(s)[:10].replace('-', '')}:{str(s)[11:13]}{PICTURE_MIN:02d}",
         "Gb(i)": round(direct * sine, 2), "Gd(i)": diffuse, "Gr(i)": 0.0,
         "H_sun": float(np.degrees(np.arcsin(sine))), "T2m": float(t), "WS10m": 3.1, "Int": 0.0}
        for s, t, (direct, diffuse, sine) in zip(
            stamps, temperature(stamps), sun.tolist(), strict=True
        )
    ]  # fmt: skip
    return {"inputs": _meta(query), "outputs": {"hourly": rows}, "meta": {"inputs": {}}}


def pvgis_typical(query: dict[str, str], half: bool) -> dict[str, Any]:
    """An answer in the format of PVGIS's typical year, its months out of several years."""
    stamps = hours_of(2019)[: 4000 if half else 8760]
    years = {month: 2006 + month % 5 for month in range(1, 13)}
    rows = []
    sun = np.transpose(_picture(stamps, query)).tolist()
    for s, t, (direct, diffuse, sine) in zip(stamps, temperature(stamps), sun, strict=True):
        text = str(s)
        year = years[int(text[5:7])]
        rows.append(
            {"time(UTC)": f"{year}{text[5:7]}{text[8:10]}:{text[11:13]}00", "T2m": float(t),
             "RH": 80.0, "G(h)": round(direct * sine + diffuse), "Gb(n)": round(direct, 2),
             "Gd(h)": round(diffuse), "IR(h)": 250.0, "WS10m": 3.0, "WD10m": 180.0,
             "SP": 98700.0}
        )  # fmt: skip
    chosen = [{"month": month, "year": year} for month, year in years.items()]
    outputs = {"months_selected": chosen, "tmy_hourly": rows}
    inputs = _meta(query)
    inputs["location"]["irradiance_time_offset"] = round(PICTURE_MIN / 60.0, 4)
    return {"inputs": inputs, "outputs": outputs, "meta": {"inputs": {}}}


ANSWERS = {"/nasa": nasa, "/seriescalc": pvgis_hourly, "/tmy": pvgis_typical}
REFUSALS = {
    "sea": (400, {"message": "Location over the sea. Please, select another location",
                  "status": 400}),
    "lacking": (400, {"message": "startyear: Incorrect value. Please, enter an integer between "
                                 "2005 and 2023.", "status": 400}),
    "422": (422, {"header": "made up", "messages": ["Please supply a valid end date."]}),
    "403": (403, {"message": "identify yourself"}),
    "529": (529, {"message": "Site is overloaded"}),
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
