"""The command ``fit`` from the outside."""

from __future__ import annotations

import json
from datetime import timedelta
from pathlib import Path

import numpy as np
import pytest

from asked import Ask
from greenhouse_sim.scenario import read_scenario
from made_up_logs import farm as logged_farm
from made_up_logs import made, record

FARM = """
[site]
weather = ["tamarack_flats_typical.csv"]
[greenhouse]   # as measured
width = "30 ft"
length = "72 ft"
sidewall = "5 ft"
ridge = "13 ft"
[heater]
kind = "wood stove, large"
"""


@pytest.fixture
def logged(tmp_path: Path) -> tuple[Path, Path, dict[str, float]]:
    """A farm, a log of it (its readings at half past, so that they are the hours' means), truth."""
    log, truth = made(31, logged_farm(), record())
    rows = [
        f"{log.start + timedelta(hours=h, minutes=30):%m/%d/%Y %H:%M},{value * 1.8 + 32.0:.1f}"
        for h, value in enumerate(log.indoor_C)
        if not np.isnan(value)
    ]
    (tmp_path / "farm.toml").write_text(FARM)
    (tmp_path / "log.csv").write_text("\n".join(["Date Time,Temp (°F)", *rows]), encoding="utf-8")
    return tmp_path / "farm.toml", tmp_path / "log.csv", truth


def test_a_log_is_fitted(ask: Ask, logged: tuple[Path, Path, dict[str, float]]) -> None:
    farm, log, truth = logged
    out, new = farm.parent / "out", farm.parent / "new.toml"
    answer = ask("fit", farm, "--log", log, "--unheated", "--out", out, "--write", new)
    assert answer.status == 0, answer.err
    assert max(len(line.rstrip()) for line in answer.out.splitlines()) <= 100
    told = " ".join(answer.out.split())
    for words in ("root mean square", "Btu/h °F", "95 % interval", "by hour of the day",
                  "hours", "fitted = { loss ="):  # fmt: skip
        assert words in told, words
    assert {path.name for path in out.iterdir()} == {
        "fit.csv", "fit_hours.csv", "fit.png", "fit_by_hour.png", "fit_factors.png",
    }  # fmt: skip
    assert "# as measured" in new.read_text()
    fitted = read_scenario(new).greenhouse.fitted
    assert fitted is not None
    assert fitted.loss == pytest.approx(truth["loss"], rel=0.2)


def test_json(ask: Ask, logged: tuple[Path, Path, dict[str, float]]) -> None:
    farm, log, truth = logged
    found = json.loads(ask("fit", farm, "--log", log, "--unheated", "--json").out)["fit"]
    by_name = {row["name"]: row for row in found["estimates"]}
    assert set(by_name) == {"loss", "leak", "capacity", "soil", "sun"}
    assert by_name["loss"]["low"] <= truth["loss"] <= by_name["loss"]["high"]
    assert len(found["by_hour_after_K"]) == 24


@pytest.mark.parametrize(
    ("words", "told"),
    [
        ((), "does not tell what heat there was"),
        (("--unheated", "--weather", "selkie_sound_mild.csv", "--log", "none.csv"), "no such log"),
        (("--journal", "none.db"), "no journal yet"),
    ],
)
def test_what_is_refused(
    ask: Ask, logged: tuple[Path, Path, dict[str, float]], words: tuple[str, ...], told: str
) -> None:
    farm, log, _ = logged
    answer = ask("fit", farm, "--log", log, *words)
    assert answer.status == 2
    assert told in answer.err
    assert "Traceback" not in answer.err
