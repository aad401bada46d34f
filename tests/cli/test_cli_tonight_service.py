"""``tonight --forecast met-norway`` against a made-up service on this computer."""

from __future__ import annotations

import json
from collections.abc import Iterator
from datetime import timedelta
from pathlib import Path

import pytest

from asked import Answer, Ask
from greenhouse_sim.weather import forecast, transport
from made_up_forecast import NOW
from made_up_service import MadeUpService, made_up_service

AT = "2027-01-12 18:20"


@pytest.fixture
def service() -> Iterator[MadeUpService]:
    with made_up_service() as running:
        yield running


@pytest.fixture(autouse=True)
def own_corner(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    """A clock that stands, waits that do not, and answers kept for this test alone."""
    monkeypatch.setattr(forecast, "universal_now", lambda: NOW)
    monkeypatch.setattr(transport, "sleep", lambda _: None)
    monkeypatch.delenv("GREENHOUSE_SIM_CONTACT", raising=False)
    monkeypatch.setattr(forecast, "answer_path", lambda folder, key: tmp_path / f"{key}.gz")


def tonight(ask: Ask, farm: Path, address: str, *more: object) -> Answer:
    return ask("tonight", farm, "--forecast", "met-norway", "--address", address, "--now",
               "48 degF", "--at", AT, *more)  # fmt: skip


def test_tonight_by_a_service(ask: Ask, farm: Path, service: MadeUpService) -> None:
    answer = tonight(ask, farm, service.address + "/compact")
    assert answer.status == 0, answer.err
    said = " ".join(answer.out.split())
    for words in (
        "Forecast met-norway, issued 12 January 16:10", "Based on data from MET Norway",
        "Licence: NLOD 2.0 and CC BY 4.0", "outside down to -4 °F",
    ):  # fmt: skip
        assert words in said, words
    assert (
        "46.900, -97.100, 300 m (a national" in answer.err and "nothing else is sent" in answer.err
    )
    assert max(len(line.rstrip()) for line in answer.out.splitlines()) <= 100


def test_json_names_the_source_and_the_night(ask: Ask, farm: Path, service: MadeUpService) -> None:
    answer = tonight(ask, farm, service.address + "/compact", "--json")
    found = json.loads(answer.out)["tonight"]
    assert found["issued"] == "2027-01-12 16:10"
    assert "MET Norway" in found["forecast_source"]
    # the made-up night is coldest, -20 °C, at 12 o'clock universal time: here 6 in the morning,
    # and half a kelvin above that in the mean of the hour before
    assert found["lowest_outside_C"] == pytest.approx(-19.86, abs=0.05)


def test_the_card_names_the_source(
    ask: Ask, farm: Path, service: MadeUpService, tmp_path: Path
) -> None:
    out = tmp_path / "out"
    assert tonight(ask, farm, service.address + "/compact", "--out", out).status == 0
    assert "MET Norway" in (out / "tonight.html").read_text(encoding="utf-8")


def test_offline_has_one_message_with_a_remedy(ask: Ask, farm: Path) -> None:
    answer = tonight(ask, farm, "http://127.0.0.1:9/compact")
    assert answer.status == 2
    assert answer.out == ""
    assert "is this computer online?" in answer.err
    assert "name it with --forecast" in answer.err
    assert "Traceback" not in answer.err


def test_a_stale_forecast_is_refused(ask: Ask, farm: Path, service: MadeUpService) -> None:
    answer = tonight(ask, farm, service.address + "/stale")
    assert answer.status == 2
    assert "30 h ago, and no newer one" in answer.err


def test_a_service_knows_no_other_day(ask: Ask, farm: Path, service: MadeUpService) -> None:
    answer = tonight(ask, farm, service.address + "/compact", "--at", "2027-01-11 18:00")
    assert answer.status == 2
    assert "covers 2027-01-12 17:00" in answer.err


def test_a_file_of_the_same_name_goes_first(
    ask: Ask, farm: Path, service: MadeUpService, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.chdir(tmp_path)
    (tmp_path / "met-norway").write_text("not a forecast", encoding="utf-8")
    answer = tonight(ask, farm, service.address + "/compact")
    assert answer.status == 2
    assert not service.asked


def test_a_name_that_is_neither_is_told_with_both(ask: Ask, farm: Path) -> None:
    answer = ask("tonight", farm, "--forecast", "weather", "--now", "48 degF", "--at", AT)
    assert answer.status == 2
    assert "neither a file nor a service; name a CSV, or write met-norway" in answer.err


def test_without_a_contact_none_is_sent_and_that_is_said(
    ask: Ask, farm: Path, service: MadeUpService
) -> None:
    answer = tonight(ask, farm, service.address + "/compact")
    assert answer.status == 0
    assert [one["User-Agent"] for one in service.headers] == ["greenhouse-sim"]
    assert "note: met-norway asks for an e-mail address or web page" in answer.err
    assert "GREENHOUSE_SIM_CONTACT" in answer.err


@pytest.mark.parametrize("by", ["option", "environment"])
def test_a_contact_goes_with_the_request(
    ask: Ask, farm: Path, service: MadeUpService, monkeypatch: pytest.MonkeyPatch, by: str
) -> None:
    more = ["--contact", "you@example.org"] if by == "option" else []
    if by == "environment":
        monkeypatch.setenv("GREENHOUSE_SIM_CONTACT", "you@example.org")
    answer = tonight(ask, farm, service.address + "/compact", *more)
    assert answer.status == 0, answer.err
    assert [one["User-Agent"] for one in service.headers] == ["greenhouse-sim you@example.org"]
    assert "your contact you@example.org goes with it, nothing else is sent" in answer.err
    assert "note: met-norway" not in answer.err


@pytest.mark.parametrize(
    "contact",
    ["nobody", "a b@example.org", "x@y.org\r\nCookie: 1", "ø@y.org", "a" * 300 + "@y.org"],
)
def test_a_contact_that_is_none_is_refused(
    ask: Ask, farm: Path, service: MadeUpService, contact: str
) -> None:
    answer = tonight(ask, farm, service.address + "/compact", "--contact", contact)
    assert answer.status == 2
    assert "write an e-mail address or a web page, such as you@example.org" in answer.err
    assert not service.asked


@pytest.mark.parametrize(
    "contact", ["example.org/farm", "https://example.org", "a.b+c@x-y.example.org"]
)
def test_pages_and_addresses_are_taken(
    ask: Ask, farm: Path, service: MadeUpService, contact: str
) -> None:
    assert tonight(ask, farm, service.address + "/compact", "--contact", contact).status == 0
    assert service.headers[0]["User-Agent"] == f"greenhouse-sim {contact}"


def test_an_address_that_is_none_is_refused(ask: Ask, farm: Path) -> None:
    answer = tonight(ask, farm, "ftp://x")
    assert answer.status == 2
    assert "https://host/path" in answer.err


def test_an_older_forecast_has_a_wider_range(
    ask: Ask, farm: Path, service: MadeUpService, monkeypatch: pytest.MonkeyPatch
) -> None:
    """Kept for twelve hours and used offline, it is told as surely as it is."""
    address = service.address + "/compact"
    fresh = json.loads(tonight(ask, farm, address, "--json").out)["tonight"]
    monkeypatch.setattr(forecast, "universal_now", lambda: NOW + timedelta(hours=4))
    service.faults = ["500"] * 9
    later = ask("tonight", farm, "--forecast", "met-norway", "--address", address, "--now",
                "48 degF", "--at", "2027-01-12 22:20", "--json")  # fmt: skip
    assert "is used instead" in later.err
    old = json.loads(later.out)["tonight"]
    assert old["issued"] == fresh["issued"]
    assert old["hours"][-1]["out_low_C"] == pytest.approx(fresh["hours"][-1]["out_low_C"])
