"""``weather fetch`` against a made-up service on this computer, its faults included."""

from __future__ import annotations

import errno
import warnings
from collections.abc import Iterator
from datetime import date
from pathlib import Path

import numpy as np
import pandas as pd
import pytest

from asked import Answer, Ask
from greenhouse_sim.weather import nasa_power, pvgis, read_weather, transport, winters
from made_up_service import MadeUpService, made_up_service, mean_sun, temperature
from made_up_service import answer as prepare

PLACE = ("--latitude", "46.87654", "--longitude", "-96.78901")
SENT = {"46.877", "-96.789"}


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


@pytest.fixture(autouse=True)
def own_cache(tmp_path: Path, monkeypatch: pytest.MonkeyPatch, waits: list[float]) -> Path:
    monkeypatch.chdir(tmp_path)
    monkeypatch.setenv("XDG_CACHE_HOME", str(tmp_path / "cache"))
    return tmp_path / "cache"


def fetch(
    ask: Ask, service: MadeUpService, name: str = "nasa-power", years: str = "2019",
    silence_s: float = 20.0,
) -> Answer:  # fmt: skip
    address = service.address + ("/nasa" if name == "nasa-power" else "")
    span = ("--years", years) if years else ()
    return ask("weather", "fetch", *PLACE, *span, "--service", name, "--address", address,
               "--out", "got.csv", "--timeout", silence_s)  # fmt: skip


def test_years_become_a_file_that_is_read(ask: Ask, service: MadeUpService) -> None:
    answer = fetch(ask, service, years="2018-2020")
    assert answer.status == 0, answer.err
    assert service.years == ["2018", "2019", "2020"]
    for words in ("26,304 hours", "Langley Research Center (LaRC) Prediction", "hourly v2.10.0",
                  "Licence", "got.csv"):  # fmt: skip
        assert words in answer.out
    record = read_weather("got.csv")
    assert record.hours == 26304
    assert (record.utc_offset_h, record.elevation_m) == (-6.0, 272.0)
    utc = record.times() + np.timedelta64(6, "h")
    assert np.abs(record.t_out_C - temperature(utc.astype("datetime64[h]"))).max() < 0.01
    assert record.pressure_Pa[0] == 98500.0
    assert record.ir_down_W[0] == 250.0
    assert [winter.name for winter in winters(record)] == ["2018-19", "2019-20"]


def test_nothing_but_place_and_years_is_sent(ask: Ask, service: MadeUpService) -> None:
    assert fetch(ask, service).status == 0
    ((path, query),) = service.asked
    assert path == "/nasa"
    assert {query["latitude"], query["longitude"]} == SENT
    assert set(query) == {"latitude", "longitude", "start", "end", "community", "parameters",
                          "format", "header", "time-standard"}  # fmt: skip
    (headers,) = service.headers
    assert headers["User-Agent"] == "greenhouse-sim"
    assert not {"Cookie", "Authorization", "From", "Referer"} & set(headers)


@pytest.mark.parametrize("name", ["nasa-power", "pvgis", "pvgis-typical"])
def test_pvlib_asks_the_same_and_reads_the_same(service: MadeUpService, name: str) -> None:
    """The outside check: pvlib's own functions against the same server."""
    from pvlib import iotools

    base = service.address + "/"
    with warnings.catch_warnings(action="ignore"):
        if name == "nasa-power":
            theirs, _ = iotools.get_nasa_power(
                46.9, -96.8, "2019-01-01", "2019-12-31", list(nasa_power.COLUMNS),
                url=base + "nasa",
            )  # fmt: skip
        elif name == "pvgis":
            theirs, _ = iotools.get_pvgis_hourly(46.9, -96.8, 2019, 2019, url=base)
        else:
            theirs, _ = iotools.get_pvgis_tmy(46.9, -96.8, url=base, coerce_year=None)
    path, query = service.asked[0]
    ours = {
        "nasa-power": nasa_power.params(46.9, -96.8, 2019),
        "pvgis": pvgis.params(46.9, -96.8, 2019),
        "pvgis-typical": pvgis.typical_params(46.9, -96.8),
    }[name]
    assert {key: str(value) for key, value in ours.items()} == query
    text = transport.ask(service.address + path, ours, transport.Patience(), print)
    read = {"nasa-power": nasa_power.read_answer, "pvgis": pvgis.read_answer,
            "pvgis-typical": pvgis.read_typical}[name](text)  # fmt: skip
    assert np.array_equal(read.columns["t_out_C"], theirs["temp_air"])
    assert np.array_equal(read.columns["wind_m_s"], theirs["wind_speed"])
    if "pressure" in theirs:
        assert np.allclose(read.columns["pressure_Pa"], theirs["pressure"])


@pytest.mark.parametrize("name", ["nasa-power", "pvgis", "pvgis-typical"])
def test_the_sun_of_whole_hours_comes_out(ask: Ask, service: MadeUpService, name: str) -> None:
    """Also where the service tells it for one minute: against the same sky minute by minute.

    Taken as it is told, eleven past, the sun of an hour would be off by 27 W/m² RMS.
    """
    years = "" if name == "pvgis-typical" else "2019"
    assert fetch(ask, service, name=name, years=years).status == 0
    record = read_weather("got.csv")
    utc = record.times() + np.timedelta64(6, "h")
    true = mean_sun(utc, 46.877, -96.789)[0]
    off = record.ghi_W - true
    day = slice(24, -24)  # the year's ends have no neighbour
    assert record.ghi_W[day].sum() == pytest.approx(true[day].sum(), rel=0.005)
    assert np.sqrt(np.mean(off[day][true[day] > 0.0] ** 2)) < 8.0


def test_a_row_of_a_real_typical_year() -> None:
    """2 January 2018, 11:00, at 45° N 8° E, as pvlib keeps it (tmy_45.000_8.000_2005_2023.json):

    the global sun of the row is its direct and diffuse sun at 0.1761 h past the hour.
    """
    from pvlib import solarposition

    moment = pd.DatetimeIndex(["2018-01-02T11:00"], tz="UTC") + pd.Timedelta(hours=0.1761)
    sine = np.sin(np.radians(solarposition.get_solarposition(moment, 45.0, 8.0)["elevation"]))
    assert 841.73 * sine.item() + 65.0 == pytest.approx(379.0, abs=1.0)


@pytest.mark.parametrize("moment_h", [10 / 60, 11 / 60, 0.5, 55 / 60])
def test_the_middle_of_hours_on_a_line(moment_h: float) -> None:
    """What rises evenly is found exactly, whichever minute it was told for."""
    told = 100.0 + 30.0 * (np.arange(9) + moment_h)
    middle = pvgis.to_middle(told, moment_h)
    assert middle[1:-1] == pytest.approx(100.0 + 30.0 * (np.arange(9)[1:-1] + 0.5))


def test_pvgis_hourly_and_typical(ask: Ask, service: MadeUpService) -> None:
    assert fetch(ask, service, name="pvgis").status == 0
    record = read_weather("got.csv")
    assert record.hours == 8760
    assert "MADE-UP-SUN" in record.source
    assert any("dew point" in note for note in record.notes)
    Path("got.csv").unlink()
    answer = fetch(ask, service, name="pvgis-typical", years="")
    assert answer.status == 0, answer.err
    typical = read_weather("got.csv")
    assert str(typical.times()[0]) == "2001-01-01T00:00:00"
    assert typical.t_out_C[0] == pytest.approx(temperature(np.array(["2019-01-01T06"],
                                               dtype="datetime64[h]"))[0])  # fmt: skip
    (winter,) = winters(typical)
    assert winter.hours == 5088


def test_it_goes_on_where_it_broke_off(ask: Ask, service: MadeUpService) -> None:
    service.faults = ["", *["500"] * 5]
    answer = fetch(ask, service, years="2018-2020")
    assert answer.status == 2
    assert answer.err.count("greenhouse-sim: ") == 1
    assert "2019" in answer.err
    assert "5 tries" in answer.err
    assert "kept" in answer.err
    assert not Path("got.csv").exists()
    assert fetch(ask, service, years="2018-2020").status == 0
    assert service.years == ["2018", *["2019"] * 6, "2020"]


@pytest.mark.parametrize(
    ("fault", "words"),
    [
        ("silence", "did not answer for 0.6 s"),
        ("cut", "cut off in the middle"),
        ("500", "has trouble (status 500): Internal error"),
        ("529", "has trouble (status 529): Site is overloaded"),
        ("html", "a web page in place of data"),
        ("429", "is asked too often (status 429)"),
    ],
)
def test_what_may_pass_is_tried_again(
    ask: Ask, service: MadeUpService, waits: list[float], fault: str, words: str
) -> None:
    service.faults = [fault, fault, ""]
    silence_s = 0.6 if fault == "silence" else 20.0
    if fault == "silence":  # made beforehand: the answer itself must not take long
        query = {**nasa_power.params(46.877, -96.789, 2019)}
        prepare("/nasa", tuple(sorted((k, str(v)) for k, v in query.items())), "")
    answer = fetch(ask, service, silence_s=silence_s)
    assert answer.status == 0, answer.err
    assert words in answer.err
    assert len(service.asked) == 3
    assert waits == ([7.0, 7.0] if fault == "429" else [2.0, 4.0])


@pytest.mark.parametrize(
    ("fault", "words", "remedy"),
    [
        ("sea", "Location over the sea", "coordinates on land"),
        ("lacking", "between 2005 and 2023", "Change place or years"),
        ("422", "supply a valid end date", "another service"),
        ("429 long", "come back in 1440 minutes", "later"),
        ("half", "has only 43", "leave that year out"),
        ("other shape", "another shape than it documents", "another service"),
    ],
)
@pytest.mark.parametrize("name", ["nasa-power", "pvgis"])
def test_what_will_not_pass_is_told_once(
    ask: Ask, service: MadeUpService, own_cache: Path, name: str, fault: str, words: str,
    remedy: str,
) -> None:  # fmt: skip
    service.faults = [fault]
    answer = fetch(ask, service, name=name)
    assert answer.status == 2
    assert words in answer.err
    assert remedy in answer.err
    assert "Traceback" not in answer.err
    assert len(service.asked) == 1
    assert not Path("got.csv").exists()
    assert not list(own_cache.rglob("*.gz"))


def test_offline_is_told(ask: Ask, service: MadeUpService, waits: list[float]) -> None:
    answer = ask("weather", "fetch", *PLACE, "--years", "2019", "--address", "http://127.0.0.1:9/x")
    assert answer.status == 2
    assert "cannot be reached; is this computer online?" in answer.err
    assert waits == [2.0, 4.0, 8.0, 16.0]
    assert answer.out == ""


@pytest.mark.parametrize("harm", [b"", b"garbage", None])
def test_a_damaged_answer_is_fetched_again(
    ask: Ask, service: MadeUpService, own_cache: Path, harm: bytes | None
) -> None:
    assert fetch(ask, service).status == 0
    (kept,) = own_cache.rglob("*.json.gz")
    whole = kept.read_bytes()
    kept.write_bytes(whole[:5000] + b"x" + whole[5001:] if harm is None else harm)
    Path("got.csv").unlink()
    answer = fetch(ask, service)
    assert answer.status == 0
    assert "damaged on the disk, fetched again" in answer.err
    assert len(service.asked) == 2
    assert kept.read_bytes() == whole


def test_a_full_disk_is_one_message(
    ask: Ask, service: MadeUpService, own_cache: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    def full(self: Path, data: bytes) -> int:
        raise OSError(errno.ENOSPC, "No space left on device", str(self))

    monkeypatch.setattr(Path, "write_bytes", full)
    answer = fetch(ask, service)
    assert answer.status == 2
    assert "No space left on device" in answer.err
    assert "free some room" in answer.err
    assert not list(own_cache.rglob("*json*"))


def test_a_full_disk_under_the_file_is_one_message(
    ask: Ask, service: MadeUpService, own_cache: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    def full(self: Path, *_: object, **__: object) -> int:
        raise OSError(errno.ENOSPC, "No space left on device", str(self))

    monkeypatch.setattr(Path, "write_text", full)
    answer = fetch(ask, service)
    assert answer.status == 2
    assert "got.csv: cannot be written (No space left on device)" in answer.err
    assert "name a file elsewhere with --out" in answer.err
    assert not list(Path().glob("*got*"))
    assert list(own_cache.rglob("*.gz"))


def test_without_a_cache_it_still_works(
    ask: Ask, service: MadeUpService, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    (tmp_path / "file").write_text("")
    monkeypatch.setenv("XDG_CACHE_HOME", str(tmp_path / "file"))
    assert fetch(ask, service).status == 0


@pytest.mark.parametrize(
    ("arguments", "words"),
    [
        (("--latitude", "146", "--longitude", "10", "--years", "2019"), "off the Earth"),
        (("--latitude", "nan", "--longitude", "10", "--years", "2019"), "off the Earth"),
        ((*PLACE, "--years", "1990"), "has no 1990; it has whole years from 2001"),
        ((*PLACE, "--years", f"{date.today().year}"), "has no"),
        ((*PLACE, "--years", "2020-2018"), "first and last year"),
        ((*PLACE, "--years", "soon"), "first and last year"),
        (PLACE, "--years is missing"),
        ((*PLACE, "--years", "2019", "--service", "pvgis-typical"), "leave --years out"),
        ((*PLACE, "--years", "2019", "--service", "nasapower"), "write nasa-power"),
        ((*PLACE, "--years", "2019", "--address", "ftp://x"), "https://"),
    ],
)
def test_bad_wishes_send_nothing(ask: Ask, arguments: tuple[str, ...], words: str) -> None:
    answer = ask("weather", "fetch", *arguments)
    assert answer.status == 2
    assert words in answer.err
    assert answer.out == ""


def test_a_file_is_not_written_over(ask: Ask, service: MadeUpService) -> None:
    Path("got.csv").write_text("mine")
    answer = fetch(ask, service)
    assert answer.status == 2
    assert "is there already" in answer.err
    assert not service.asked
    assert Path("got.csv").read_text() == "mine"


def test_the_address_may_come_from_the_environment(
    ask: Ask, service: MadeUpService, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setenv("GREENHOUSE_SIM_WEATHER_ADDRESS", service.address + "/nasa")
    answer = ask("weather", "fetch", *PLACE, "--years", "2019")
    assert answer.status == 0, answer.err
    assert len(service.asked) == 1
    assert Path("nasa-power_46.8765_-96.789_2019-2019.csv").exists()


def test_a_fetched_file_runs_in_a_scenario(ask: Ask, service: MadeUpService, farm: Path) -> None:
    assert fetch(ask, service, years="2018-2019").status == 0
    answer = ask("run", farm, "--weather", "got.csv", "--json")
    assert answer.status == 0, answer.err
    assert '"winter": "got"' in answer.out
