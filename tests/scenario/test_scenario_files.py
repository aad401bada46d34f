"""Files that are no scenario: one message each, and nothing left behind."""

from __future__ import annotations

import re
import subprocess
import sys
from pathlib import Path

import pytest

from greenhouse_sim.errors import ScenarioError
from greenhouse_sim.scenario import (
    demo_path,
    new_scenario_text,
    questions,
    read_scenario,
    write_new,
)
from greenhouse_sim.scenario.read import scenario_from_text


def refusal(path: Path | str) -> str:
    with pytest.raises(ScenarioError) as caught:
        read_scenario(path)
    return str(caught.value)


def test_missing_file_and_folder(tmp_path: Path) -> None:
    assert "no such file" in refusal(tmp_path / "none.toml")
    assert "is a folder" in refusal(tmp_path)
    assert "cannot be read" in refusal("farm\0.toml")
    assert "not an ordinary file" in refusal("/dev/null")


@pytest.mark.parametrize(
    ("data", "words"),
    [
        (b"", "is empty"),
        (b"  \n\n", "is empty"),
        ("[site]\nname = 'Ä'".encode("utf-16"), "UTF-16"),
        ("[site]\nname = 'Ä'".encode("utf-16-le"), "UTF-16"),
        ("[site]\nname = 'Ä'".encode("latin-1"), "line 2: a character is not UTF-8"),
        (b"[site]\nname = Flats\n", "line 2, column 8: not valid TOML"),
        (b"[site\n", "not valid TOML"),
        (b'[site]\nname = "Flats', "line 2: not valid TOML"),
        (b"a = " + b"[" * 50_000, "nested too deep"),
        (b"a = " + b"9" * 9_000, "not valid TOML"),
        (b"just words", "not valid TOML"),
    ],
)
def test_what_is_no_toml(tmp_path: Path, data: bytes, words: str) -> None:
    file = tmp_path / "farm.toml"
    file.write_bytes(data)
    message = refusal(file)
    assert message.startswith(str(file))
    assert words in message


def test_a_gigabyte_is_refused_unread(tmp_path: Path) -> None:
    file = tmp_path / "huge.toml"
    with file.open("wb") as sparse:
        sparse.truncate(1_000_000_000)
    assert "1000 MB" in refusal(file)


def test_a_byte_order_mark_and_other_line_ends_are_fine(tmp_path: Path, example_text: str) -> None:
    file = tmp_path / "farm.toml"
    file.write_bytes(b"\xef\xbb\xbf" + example_text.replace("\n", "\r\n").encode())
    assert read_scenario(file).site.name == "Tamarack Flats"


def test_the_demo_farm_reads() -> None:
    demo = read_scenario(demo_path())
    assert len(demo.site.weather) == 3
    assert demo.heater.kind == "outdoor boiler"
    assert demo.path == str(demo_path())


def test_a_new_scenario_reads_back_with_its_answers(tmp_path: Path) -> None:
    file = tmp_path / "farm.toml"
    write_new(file, new_scenario_text())
    assert read_scenario(file).site.weather == ("tamarack_flats_typical.csv",)
    assert [path.name for path in tmp_path.iterdir()] == ["farm.toml"]
    answers = {"name": 'The "Hollow" \\ Ä', "weather": "a.epw, b.epw", "shape": "dome",
               "setpoint_night": "60 degF", "ridge": "12 ft", "gets_up_below": "never"}  # fmt: skip
    dome = tmp_path / "dome.toml"
    write_new(dome, new_scenario_text(answers))
    read = read_scenario(dome)
    assert read.site.name == 'The "Hollow" \\ Ä'
    assert read.site.weather == ("a.epw", "b.epw")
    assert read.greenhouse.length is None
    assert read.crop.setpoint_day == read.crop.setpoint_night


def test_what_is_offered_in_comments_works_too() -> None:
    offered = re.sub(r"(?m)^# (\[|\w+ = )", r"\1", new_scenario_text())
    farm = scenario_from_text(offered, "farm.toml")
    assert farm.greenhouse.north_wall is not None
    assert farm.greenhouse.night_curtain is not None
    assert farm.greenhouse.mass[0].count == 12
    assert farm.backup is not None
    assert farm.fuel.price is not None
    assert farm.routine.away
    assert farm.routine.work is not None


def test_every_choice_makes_a_scenario() -> None:
    for question in questions():
        assert not question.choices or question.default in question.choices
        for choice in question.choices:
            assert choice in new_scenario_text({question.key: choice})


def test_new_refuses_to_write_over_and_bad_answers(tmp_path: Path) -> None:
    file = tmp_path / "farm.toml"
    file.write_text("mine")
    with pytest.raises(ScenarioError, match="is there already"):
        write_new(file, "theirs")
    assert file.read_text() == "mine"
    with pytest.raises(ScenarioError, match="cannot be written"):
        write_new(tmp_path / "no" / "farm.toml", "x")
    with pytest.raises(ScenarioError, match="did you mean"):
        new_scenario_text({"heatr": "ideal"})
    with pytest.raises(ScenarioError, match="heater"):
        new_scenario_text({"heater": "bonfire"})
    with pytest.raises(ScenarioError, match="setpoint_night"):
        new_scenario_text({"setpoint_night": "42"})


def test_an_ordinary_scenario_needs_no_units_library() -> None:
    program = (
        "import sys; from greenhouse_sim.scenario import read_scenario, demo_path;"
        "read_scenario(demo_path());"
        "print(sorted({'pint', 'pandas', 'numba', 'scipy', 'numpy'} & set(sys.modules)))"
    )
    root = Path(__file__).parents[2]
    ran = subprocess.run([sys.executable, "-c", program], cwd=root, capture_output=True, check=True)
    assert ran.stdout.decode().strip() == "[]"
