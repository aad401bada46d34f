"""The command ``away`` from the outside."""

from __future__ import annotations

import json
from pathlib import Path

import pytest

from asked import Ask
from greenhouse_sim.weather import find_weather

MILD, SEVERE = "tamarack_flats_mild.csv", "tamarack_flats_severe.csv"
TRIP = ("--from", "2027-01-05 17:00", "--to", "2027-01-07 18:00")


def other(farm: Path, old: str, new: str) -> Path:
    """The farm with a line changed."""
    text = farm.read_text(encoding="utf-8")
    assert old in text
    farm.write_text(text.replace(old, new), encoding="utf-8")
    return farm


def test_it_says_how_long_first_and_the_cautions_last(ask: Ask, farm: Path) -> None:
    answer = ask("away", farm, *TRIP)
    assert answer.status == 0
    lines = answer.out.splitlines()
    assert lines[0].startswith("outdoor boiler, no back-up: nobody comes")
    assert max(len(line.rstrip()) for line in lines) <= 100
    said = " ".join(answer.out.split())
    for words in (
        "the crop is hurt in", "night by night", "week with", "What help is worth",
        "Fuel that the propane heater takes", "A low alarm", "with the vents left shut",
        "3 winters are too few", "appliance's listing",
        "Carbon monoxide", "drain them",
    ):  # fmt: skip
        assert words in said


def test_one_winter_has_no_shares(ask: Ask, farm: Path) -> None:
    answer = ask("away", farm, "--weather", MILD, "--units", "si", *TRIP)
    assert answer.status == 0
    assert "no share of winters" in answer.out
    assert "in the one winter" in answer.out
    assert "9 in 10" not in answer.out
    assert "°C" in answer.out
    assert "°F" not in answer.out


def test_json_and_files(ask: Ask, farm: Path, tmp_path: Path) -> None:
    other(farm, "[fuel]", '[backup]\nkind = "propane heater"\nstarts_below = "34 degF"\n\n[fuel]')
    out = tmp_path / "out"
    answer = ask("away", farm, "--weather", MILD, SEVERE, *TRIP, "--tank", "20 gal", "--json",
                 "--out", out)  # fmt: skip
    assert answer.status == 0
    found = json.loads(answer.out)
    assert set(found) == {"schema", "away"}
    away = found["away"]
    assert away["own"] == "backup"
    assert len(away["hours"]["nobody"]["hurt"]) == 2
    assert len(away["hours"]["nobody"]["hurt"][0]) == len(away["evenings"])
    assert len(away["safe_share"]) == 14
    assert len(away["trips"][0]["winters"]) == 2
    names = {path.name for path in out.iterdir()}
    assert names == {
        "away_evenings.csv", "away_weeks.csv", "away_chance.csv", "away_trips.csv", "sitter.md",
        "away-calendar.png", "away-chance.png", "coast-down.png",
    }  # fmt: skip
    assert (out / "coast-down.png").read_bytes().startswith(b"\x89PNG")


def test_the_page_for_whoever_sits_in(ask: Ask, farm: Path) -> None:
    answer = ask("away", farm, "--page", "--helper", "16:00")
    assert answer.status == 0
    assert answer.out.startswith("# Looking after the greenhouse: Tamarack Flats")
    for words in ("at 16:00", "| January |", "Low alarm, under 36 °F", "Carbon monoxide",
                  "Power cut", "lb |"):  # fmt: skip
        assert words in answer.out


def test_a_trip_of_the_routine_and_a_forecast(ask: Ask, farm: Path, tmp_path: Path) -> None:
    """The forecast is a short CSV: a few days of the severe winter."""
    other(farm, 'gets_up_below = "36 degF"', 'away = [["2027-01-05 17:00", "2027-01-07 18:00"]]')
    lines = find_weather(SEVERE, tmp_path).read_text(encoding="utf-8").splitlines()
    head = next(n for n, line in enumerate(lines) if line.startswith("time"))
    first = next(n for n, line in enumerate(lines) if "-01-04 00:00" in line)
    year = lines[first][:4]
    coming = [line.replace(year, "2027", 1) for line in lines[first : first + 24 * 5]]
    forecast = tmp_path / "coming.csv"
    forecast.write_text("\n".join([*lines[: head + 1], *coming]) + "\n", encoding="utf-8")
    answer = ask("away", farm, "--weather", MILD, "--forecast", forecast)
    assert answer.status == 0, answer.err
    assert "in the forecast coming" in " ".join(answer.out.split())


@pytest.mark.parametrize(
    ("words", "said"),
    [
        (("--from", "2027-06-05", "--to", "2027-06-07"), "not inside the season"),
        (("--from", "2027-01-07", "--to", "2027-01-05"), "not after it starts"),
        (("--from", "2027-01-07"), "belong together"),
        (("--forecast", SEVERE), "--forecast needs a trip"),
        ((*TRIP, "--forecast", SEVERE), "not the trip"),
        (("--alarm", "60 degF"), "--alarm"),
        (("--alarm", "36"), "--alarm"),
        (("--high-alarm", "40 degF"), "--high-alarm"),
        (("--helper", "noon"), "--helper"),
        (("--tank", "5 ft"), "--tank"),
        (("--page", "--json"), "--json and --page"),
    ],
)
def test_bad_input_is_told_in_one_message(
    ask: Ask, farm: Path, words: tuple[str, ...], said: str
) -> None:
    answer = ask("away", farm, "--weather", MILD, *words)
    assert answer.status == 2
    assert answer.out == ""
    assert said in answer.err
    assert "Traceback" not in answer.err


def test_ideal_is_refused(ask: Ask, farm: Path) -> None:
    other(farm, 'kind = "outdoor boiler"', 'kind = "ideal"')
    answer = ask("away", farm)
    assert answer.status == 2
    assert "ideal gives as much heat as is needed" in answer.err
