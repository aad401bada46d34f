"""A forecast from a public service, against a made-up one on this computer with its faults."""

from __future__ import annotations

import json
from collections.abc import Iterator
from datetime import datetime, timedelta
from pathlib import Path

import numpy as np
import pytest

from greenhouse_sim.errors import WeatherError
from greenhouse_sim.weather import forecast, transport
from greenhouse_sim.weather.forecast import Coming, Place, fetch_forecast, hourly
from greenhouse_sim.weather.forecast_met_norway import Instants, read_answer
from greenhouse_sim.weather.forecast_service import forecast_services
from greenhouse_sim.weather.transport import Patience
from made_up_forecast import NOW, UPDATED, stamps_from, temperature
from made_up_service import MadeUpService, made_up_service

HERE = Place(46.87654, -96.78901, 270.4, -6.0)
OLDEST_H = 24.0
SERVICE = forecast_services()["met-norway"]


@pytest.fixture
def service() -> Iterator[MadeUpService]:
    with made_up_service() as running:
        yield running


@pytest.fixture
def waits(monkeypatch: pytest.MonkeyPatch) -> list[float]:
    """The waits between tries, not waited."""
    waited: list[float] = []
    monkeypatch.setattr(transport, "sleep", waited.append)
    return waited


@pytest.fixture
def clock(monkeypatch: pytest.MonkeyPatch) -> list[datetime]:
    """The present, universal time; a test may set another."""
    present = [NOW]
    monkeypatch.setattr(forecast, "universal_now", lambda: present[0])
    return present


@pytest.fixture(autouse=True)
def own_cache(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch, waits: list[float], clock: list[datetime]
) -> Path:
    monkeypatch.setenv("XDG_CACHE_HOME", str(tmp_path / "cache"))
    return tmp_path / "cache"


class Asked:
    """Ask the made-up service, and keep what was said."""

    def __init__(self) -> None:
        self.said: list[str] = []
        self.contact = ""

    def __call__(self, address: str, silence_s: float = 20.0) -> Coming:
        self.said = []
        patience = Patience(silence_s=silence_s, tries=3)
        return fetch_forecast(
            SERVICE, HERE, OLDEST_H, patience, self.said.append, address, self.contact
        )

    @property
    def words(self) -> str:
        return " / ".join(self.said)


@pytest.fixture
def ask() -> Asked:
    return Asked()


def test_hours_are_means_between_instants_in_local_time(service: MadeUpService, ask: Asked) -> None:
    found = ask(service.address + "/compact")
    assert found.start == datetime(2027, 1, 12, 17)  # the hour before the first, 18:00 local
    assert found.issued == UPDATED - timedelta(hours=6)
    ends = temperature(stamps_from(NOW, 60, 0))
    assert found.columns["t_out_C"][1:60] == pytest.approx(0.5 * (ends[:-1] + ends[1:]))
    assert found.columns["t_out_C"][0] == ends[0]
    assert len(found.columns["t_out_C"]) == 60  # the steps six hours apart are left out
    assert found.columns["wind_m_s"][5] == pytest.approx(3.2)
    assert found.columns["cloud"][5] == pytest.approx(0.25)
    assert found.columns["humidity"][5] == pytest.approx(0.8)
    assert set(found.columns) == {"t_out_C", "wind_m_s", "cloud", "humidity"}


def test_a_clock_half_an_hour_off_joins_the_instants() -> None:
    stamps = np.datetime64("2027-01-13T00", "h") + np.arange(24)
    given = Instants(UPDATED, stamps.astype("datetime64[s]"), {"t_out_C": np.arange(24.0)})
    found = hourly(given, HERE._replace(utc_offset_h=5.5))
    assert found.start == datetime(2027, 1, 13, 4)
    # 05:00 to 06:00 local is half an hour before the first instant and half an hour after it
    assert found.columns["t_out_C"][1] == pytest.approx(0.25)
    assert found.columns["t_out_C"][2] == pytest.approx(1.0)


def test_nothing_but_the_place_is_sent(service: MadeUpService, ask: Asked) -> None:
    ask(service.address + "/compact")
    ((path, query),) = service.asked
    assert (path, query) == ("/compact", {"lat": "46.877", "lon": "-96.789", "altitude": "270"})
    (headers,) = service.headers
    assert headers["User-Agent"] == "greenhouse-sim"
    assert not {"Cookie", "Authorization", "From", "Referer"} & set(headers)


def test_a_contact_stands_behind_the_programs_name(service: MadeUpService, ask: Asked) -> None:
    """As the service's terms show it: name of the program, then an address (see its row)."""
    ask.contact = "you@example.org"
    ask(service.address + "/compact")
    (headers,) = service.headers
    assert headers["User-Agent"] == "greenhouse-sim you@example.org"
    assert "you@example.org" not in repr(service.asked)


@pytest.mark.parametrize("fault", ["403", "429 long"])
def test_who_is_blocked_without_a_contact_is_told_to_give_one(
    service: MadeUpService, ask: Asked, fault: str
) -> None:
    service.faults = [fault]
    with pytest.raises(WeatherError, match=r"Name yourself with --contact you@example.org"):
        ask(service.address + "/compact")
    service.faults = [fault]
    ask.contact = "you@example.org"
    with pytest.raises(WeatherError) as told:
        ask(service.address + "/compact")
    assert "--contact" not in str(told.value)


@pytest.mark.parametrize("fault", ["429", "500", "html", "cut", "silence"])
def test_a_fault_that_passes_is_asked_past(
    service: MadeUpService, ask: Asked, waits: list[float], fault: str
) -> None:
    service.faults = [fault]
    found = ask(service.address + "/compact", silence_s=0.4 if fault == "silence" else 20.0)
    assert len(found.columns["t_out_C"]) == 60
    assert len(service.asked) == 2
    assert waits == [7.0 if fault == "429" else 2.0]
    assert "asking again" in ask.words


@pytest.mark.parametrize(
    ("fault", "words"),
    [("429", "is asked too often"), ("500", "has trouble"), ("html", "log-in page"),
     ("cut", "cut off"), ("silence", "did not answer")],
)  # fmt: skip
def test_a_fault_that_stays_is_told_with_a_remedy(
    service: MadeUpService, ask: Asked, fault: str, words: str
) -> None:
    service.faults = [fault] * 3
    with pytest.raises(WeatherError, match=words) as told:
        ask(service.address + "/compact", silence_s=0.3 if fault == "silence" else 20.0)
    assert "name it with --forecast" in str(told.value)
    assert len(service.asked) == 3


def test_a_refusal_is_told_at_once(service: MadeUpService, ask: Asked) -> None:
    service.faults = ["422"]
    with pytest.raises(WeatherError, match=r"refuses .status 422.*Check the place"):
        ask(service.address + "/compact")
    assert len(service.asked) == 1


def test_offline_is_told(ask: Asked) -> None:
    with pytest.raises(WeatherError, match=r"is this computer online.*name it with --forecast"):
        ask("http://127.0.0.1:9/compact")


@pytest.mark.parametrize(
    ("path", "fault", "words"),
    [("/compact", "half", "only 6 hours"), ("/compact", "other shape", "another shape"),
     ("/units", "", "fahrenheit"), ("/stale", "", "30 h ago, and no newer one")],
)  # fmt: skip
def test_an_answer_that_is_no_use_is_refused_and_not_kept(
    service: MadeUpService, ask: Asked, own_cache: Path, path: str, fault: str, words: str
) -> None:
    service.faults = [fault] if fault else []
    with pytest.raises(WeatherError, match=words) as told:
        ask(service.address + path)
    assert "name it with --forecast" in str(told.value)
    assert not list(own_cache.rglob("*.gz"))


def test_within_the_hour_it_is_not_asked_again(
    service: MadeUpService, ask: Asked, clock: list[datetime]
) -> None:
    first = ask(service.address + "/compact")
    clock[0] = NOW + timedelta(minutes=59)
    again = ask(service.address + "/compact")
    assert len(service.asked) == 1
    assert "fetched at 18:20 is used again" in ask.words
    assert np.array_equal(first.columns["t_out_C"], again.columns["t_out_C"])
    clock[0] = NOW + timedelta(minutes=61)
    ask(service.address + "/compact")
    assert len(service.asked) == 2


@pytest.mark.parametrize("fault", ["500", "html", "half", "other shape"])
def test_what_was_kept_serves_when_the_service_does_not(
    service: MadeUpService, ask: Asked, clock: list[datetime], fault: str
) -> None:
    ask(service.address + "/compact")
    clock[0] = NOW + timedelta(hours=4)
    service.faults = [fault] * 3
    found = ask(service.address + "/compact")
    assert found.issued == UPDATED - timedelta(hours=6)
    assert "fetched at 18:20 is used instead" in ask.words


def test_what_was_kept_for_a_day_serves_no_more(
    service: MadeUpService, ask: Asked, clock: list[datetime]
) -> None:
    ask(service.address + "/compact")
    clock[0] = UPDATED + timedelta(hours=25)
    service.faults = ["500"] * 3
    with pytest.raises(WeatherError, match="has trouble"):
        ask(service.address + "/compact")


def test_a_damaged_answer_is_fetched_again(
    service: MadeUpService, ask: Asked, own_cache: Path
) -> None:
    ask(service.address + "/compact")
    (file,) = own_cache.rglob("*.gz")
    file.write_bytes(file.read_bytes()[:-20])
    ask(service.address + "/compact")
    assert len(service.asked) == 2
    assert "damaged on the disk, fetched again" in ask.words


def test_without_a_cache_it_still_works(
    service: MadeUpService, ask: Asked, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    (tmp_path / "file").write_text("")
    monkeypatch.setenv("XDG_CACHE_HOME", str(tmp_path / "file"))
    assert len(ask(service.address + "/compact").columns["t_out_C"]) == 60


def test_a_full_disk_costs_the_copy_and_not_the_answer(
    service: MadeUpService, ask: Asked, monkeypatch: pytest.MonkeyPatch
) -> None:
    def full(path: object, text: str) -> None:
        raise WeatherError("no space")

    monkeypatch.setattr(forecast, "keep_answer", full)
    assert len(ask(service.address + "/compact").columns["t_out_C"]) == 60
    assert "free some room" in ask.words


def test_the_documented_excerpt_is_read() -> None:
    """Names, nesting, units and the form of a time as the format's documentation shows them."""
    step = {
        "time": "2020-06-10T13:00:00Z",
        "data": {"instant": {"details": {"air_temperature": 20.7, "dew_point_temperature": 9.5,
                                         "relative_humidity": 48.6, "cloud_area_fraction": 58.0,
                                         "wind_speed": 2.5, "air_pressure_at_sea_level": 1020.5}}},
    }  # fmt: skip
    after = {**step, "time": "2020-06-10T14:00:00Z"}
    units = {"air_temperature": "celsius", "dew_point_temperature": "celsius", "wind_speed": "m/s",
             "relative_humidity": "%", "cloud_area_fraction": "%"}  # fmt: skip
    told = {"type": "Feature", "properties": {
        "meta": {"updated_at": "2020-06-10T13:04:26Z", "units": units},
        "timeseries": [step, after]}}  # fmt: skip
    found = read_answer(json.dumps(told))
    assert found.issued == datetime(2020, 6, 10, 13, 4, 26)
    assert found.stamps[0] == np.datetime64("2020-06-10T13:00:00")
    first = {key: values[0] for key, values in found.columns.items()}
    assert first == pytest.approx(
        {"t_out_C": 20.7, "t_dew_C": 9.5, "humidity": 0.486, "cloud": 0.58, "wind_m_s": 2.5}
    )


def test_every_service_names_whom_to_thank() -> None:
    for one in forecast_services().values():
        assert one.address.startswith("https://")
        assert one.attribution and one.licence
