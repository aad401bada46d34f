"""The commands from the outside: what is printed where, and the exit status."""

from __future__ import annotations

import json
import os
from pathlib import Path

import pytest

from asked import Answer, Ask

MILD = "tamarack_flats_mild.csv"


def check_refused(answer: Answer, *words: str) -> None:
    """One message on standard error, status 2, no traceback, nothing on standard output."""
    assert answer.status == 2
    assert answer.out == ""
    assert "Traceback" not in answer.err
    for word in words:
        assert word in answer.err


def test_run_says_the_line_first_and_the_cautions_last(ask: Ask, farm: Path) -> None:
    answer = ask("run", farm, "--weather", MILD)
    assert answer.status == 0
    lines = answer.out.splitlines()
    assert lines[0].startswith("outdoor boiler: ")
    assert "cords (" in lines[0]
    assert max(len(line.rstrip()) for line in lines) <= 100
    assert "Hours below setpoint, by cause" in answer.out
    assert "Carbon monoxide" in answer.out
    assert "made-up (synthetic) weather" in answer.err


def test_run_in_si(ask: Ask, farm: Path) -> None:
    answer = ask("run", farm, "--weather", MILD, "--units", "si")
    assert answer.status == 0
    assert "m³ stacked" in answer.out.splitlines()[0]
    assert "°F" not in answer.out


def test_compare_json_has_the_keys_of_the_contract(ask: Ask, farm: Path) -> None:
    answer = ask(
        "compare", farm, "--heater", "pellet stove", "--heater", "Wood Stove, Large",
        "--weather", MILD, "tamarack_flats_severe.csv", "--json",
    )  # fmt: skip
    assert answer.status == 0
    result = json.loads(answer.out)
    assert set(result) == {"schema", "seasons", "summary"}
    assert [row["heater"] for row in result["summary"]] == ["pellet stove", "wood stove, large"]
    assert [row["winters"] for row in result["summary"]] == [2, 2]
    keys = (
        "heater winter site hours cords fuel_kg fuel_energy_kWh loads fires_lit night_wakeups "
        "nights_with_wakeup hours_below_setpoint degree_hours_below_setpoint cold_hours_by_cause "
        "hours_below_damage lowest_air_C lowest_air_at heat_need_kWh heat_delivered_kWh backup_kWh "
        "electricity_kWh solar_kWh envelope_loss_kWh infiltration_loss_kWh ground_loss_kWh "
        "vent_loss_kWh latent_loss_kWh storage_change_kWh balance_error labour_hours labour "
        "fuel_by_month"
    )
    for row in result["seasons"]:
        assert set(keys.split()) <= set(row)
    assert set(result["summary"][0]["fuel_kg"]) == {"median", "low", "high"}


def test_compare_writes_its_files(ask: Ask, farm: Path, tmp_path: Path) -> None:
    out = tmp_path / "results" / "here"
    answer = ask(
        "compare", farm, "--heater", "propane heater", "--weather", MILD, "--out", out
    )  # fmt: skip
    assert answer.status == 0
    names = {path.name for path in out.iterdir()}
    assert {"seasons.csv", "summary.csv", "comparison.png"} <= names
    assert "temperatures-outdoor-boiler-tamarack-flats-mild.png" in names
    assert not [name for name in names if name.startswith(".")]


def test_explain_fits_the_page(ask: Ask, farm: Path) -> None:
    answer = ask("explain", farm)
    assert answer.status == 0
    assert max(len(line.rstrip()) for line in answer.out.splitlines()) <= 100
    assert "damage_below" in answer.out


def test_new_writes_a_scenario_once(ask: Ask, tmp_path: Path) -> None:
    path = tmp_path / "mine.toml"
    assert ask("new", path, "--yes").status == 0
    assert ask("explain", path).status == 0
    before = path.read_text(encoding="utf-8")
    check_refused(ask("new", path, "--yes"), "mine.toml", "is there already")
    assert path.read_text(encoding="utf-8") == before


def test_new_asks_again_for_a_name_it_does_not_know(tmp_path: Path) -> None:
    from typer.testing import CliRunner

    from greenhouse_sim.cli import app

    path = tmp_path / "asked.toml"
    given = ["Far Field", "", "hop", "?", "gable", *[""] * 12]
    done = CliRunner().invoke(app, ["new", str(path)], input="\n".join(given) + "\n")
    assert done.exit_code == 0, done.output
    assert 'did you mean "hoop"' in done.output
    assert 'shape = "gable"' in path.read_text(encoding="utf-8")


def test_unknown_heater_gives_the_nearest(ask: Ask, farm: Path) -> None:
    check_refused(ask("compare", farm, "--heater", "pelet stove"), "--heater", '"pellet stove"')


@pytest.mark.parametrize("command", ["run", "explain", "compare"])
@pytest.mark.parametrize("what", ["missing", "folder", "empty", "binary", "broken"])
def test_a_bad_file_is_told_plainly(ask: Ask, tmp_path: Path, command: str, what: str) -> None:
    path = tmp_path / "bad.toml"
    if what == "folder":
        path.mkdir()
    elif what != "missing":
        body = {"empty": b"", "binary": bytes(range(256)), "broken": b"[site\nname = 1"}
        path.write_bytes(body[what])
    check_refused(ask(command, path), "bad.toml")


def test_bad_weather_is_told_plainly(ask: Ask, farm: Path) -> None:
    check_refused(ask("run", farm, "--weather", "tamarack_flat_mild.csv"), MILD)


@pytest.mark.parametrize(
    "arguments", [["--units", "imperial"], ["--wether", "x"], ["--weather"], ["extra", "words"]]
)
def test_bad_usage(ask: Ask, farm: Path, arguments: list[str]) -> None:
    check_refused(ask("run", farm, *arguments))


def test_a_folder_that_cannot_be_written_is_refused_before_any_work(
    ask: Ask, farm: Path, tmp_path: Path
) -> None:
    (tmp_path / "file").write_text("", encoding="utf-8")
    check_refused(ask("run", farm, "--out", tmp_path / "file"), "--out", "is a file")
    check_refused(ask("run", farm, "--out", tmp_path / "file" / "below"), "--out", "is a file")
    if os.geteuid() != 0:
        locked = tmp_path / "locked"
        locked.mkdir(mode=0o500)
        check_refused(ask("run", farm, "--out", locked), "--out", "cannot be written")


@pytest.mark.parametrize(
    ("problem", "status"),
    [(KeyboardInterrupt(), 130), (PermissionError(13, "Permission denied", "x"), 2)],
)
def test_an_interrupt_is_quiet_and_leaves_nothing(
    ask: Ask, farm: Path, tmp_path: Path, monkeypatch: pytest.MonkeyPatch,
    problem: BaseException, status: int,
) -> None:  # fmt: skip
    def stop(*_: object, **__: object) -> None:
        raise problem

    monkeypatch.setattr("greenhouse_sim.plans.compare.compare", stop)
    out = tmp_path / "out"
    answer = ask("run", farm, "--weather", MILD, "--out", out)
    assert answer.status == status
    assert "Traceback" not in answer.err
    assert not out.exists()


def test_version(ask: Ask) -> None:
    from greenhouse_sim import __version__

    assert ask("--version").out == f"greenhouse-sim {__version__}\n"
