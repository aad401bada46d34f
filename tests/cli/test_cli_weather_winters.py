"""The command that makes winters, as a user types it."""

from __future__ import annotations

import json
from pathlib import Path

import pytest
import typer

from asked import Answer
from greenhouse_sim.cli.command_weather_normals import register
from greenhouse_sim.scenario import demo_path
from greenhouse_sim.scenario.read import read_scenario
from greenhouse_sim.season.run import read_winters
from greenhouse_sim.weather.find import samples_dir
from normals_at_hand import TAMARACK, changed


@pytest.fixture
def table(tmp_path: Path) -> Path:
    """The invented place's normals, two winters."""
    path = tmp_path / "normals.toml"
    path.write_text(TAMARACK + "[winters]\ncount = 2\n", encoding="utf-8")
    return path


def ask(capsys: pytest.CaptureFixture[str], *words: object) -> Answer:
    """Run the command in a group of its own."""
    group = typer.Typer(pretty_exceptions_enable=False, rich_markup_mode=None)
    group.callback()(lambda: None)
    register(group)
    with pytest.raises(SystemExit) as end:
        group(["winters", *map(str, words)], prog_name="greenhouse-sim weather")
    said = capsys.readouterr()
    return Answer(int(end.value.code or 0), said.out, said.err)


def test_winters_are_shown_and_written(
    table: Path, tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    answer = ask(capsys, table, "--out", tmp_path / "made", "--units", "si")
    assert answer.status == 0
    assert "2 winters made from monthly normals" in answer.out
    assert "°C" in answer.out and "°F" not in answer.out
    assert all(len(line.rstrip()) <= 100 for line in answer.out.splitlines())
    assert "hours of sunshine" in answer.err
    names = sorted(path.name for path in (tmp_path / "made").iterdir())
    assert names == ["tamarack_flats_2001-02.csv", "tamarack_flats_2002-03.csv"]


def test_json_and_nothing_else(table: Path, capsys: pytest.CaptureFixture[str]) -> None:
    answer = ask(capsys, table, "--json", "--count", 3, "--seed", 7)
    found = json.loads(answer.out)
    assert [one["winter"] for one in found["winters"]] == ["2001-02", "2002-03", "2003-04"]
    assert len(found["months"]) == 12
    assert found["months"][0]["mean_max_C"] < 0.0


def test_normals_from_a_record(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    record = samples_dir() / "tamarack_flats_typical.epw"
    out = tmp_path / "made"
    answer = ask(capsys, "--fit", record, "--count", 1, "--out", out)
    assert answer.status == 0
    assert "how much winters differ cannot be known" in answer.err
    again = ask(capsys, out / "normals.toml", "--json")
    assert json.loads(again.out)["site"]


@pytest.mark.parametrize(
    ("words", "said"),
    [
        ([], "name either a table of normals or"),
        (["normals.toml", "--count", "0"], "--count 0"),
        (["normals.toml", "--seed", "-1"], "--seed -1"),
        (["nowhere.toml"], "no such weather file"),
    ],
)
def test_bad_requests(
    words: list[str], said: str, table: Path, capsys: pytest.CaptureFixture[str],
    monkeypatch: pytest.MonkeyPatch,
) -> None:  # fmt: skip
    monkeypatch.chdir(table.parent)
    answer = ask(capsys, *words)
    assert answer.status == 2
    assert said in answer.err
    assert answer.out == ""


def test_bad_normals_end_with_one_message(
    tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    path = tmp_path / "normals.toml"
    path.write_text(changed("[-1, 4", "[-1, 24"), encoding="utf-8")
    answer = ask(capsys, path, "--out", tmp_path / "made")
    assert answer.status == 2
    assert "mean_min of February" in answer.err
    assert not (tmp_path / "made").exists()


def test_a_scenario_names_the_table(table: Path) -> None:
    text = demo_path().read_text(encoding="utf-8")
    head, rest = text.split("weather = [", 1)
    farm = table.parent / "farm.toml"
    farm.write_text(f'{head}weather = ["normals.toml"]{rest.split("]", 1)[1]}', encoding="utf-8")
    winters = read_winters(read_scenario(farm))
    assert [one.name for one in winters] == ["2001-02", "2002-03"]
