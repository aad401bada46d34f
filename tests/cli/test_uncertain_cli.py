"""``--uncertain`` as a user types it."""

from __future__ import annotations

import json
from pathlib import Path

import pytest

from asked import Ask
from greenhouse_sim.cli.arguments import DEFAULTED, spread_out
from greenhouse_sim.plans.uncertain import DRAWS


def test_number_may_be_left_out() -> None:
    assert DEFAULTED["--uncertain"] == str(DRAWS)
    assert spread_out(["run", "--uncertain", "a.toml"]) == ["run", "--uncertain", "64", "a.toml"]
    assert spread_out(["run", "a.toml", "--uncertain", "32"])[-1] == "32"
    assert spread_out(["run", "a.toml", "--uncertain"])[-2:] == ["--uncertain", "64"]


def test_run_tells_the_spread_and_what_to_measure(ask: Ask, farm: Path, tmp_path: Path) -> None:
    out = tmp_path / "out"
    said = ask("run", farm, "--uncertain", "16", "--out", out)
    assert said.status == 0, said.err
    assert "32 draws" in said.out
    assert "as written, 3 winters" in said.out
    assert "so measure it first" in said.out
    assert "Hardest of 3 winters: most fuel in tamarack flats severe" in said.out
    assert "3 winters are too few to speak of one winter in ten" in said.out
    assert max(map(len, said.out.splitlines())) <= 100
    draws = (out / "draws-outdoor-boiler.csv").read_text(encoding="utf-8").splitlines()
    assert len(draws) == 33
    assert draws[0].startswith("greenhouse.tightness,greenhouse.cover,")
    assert (out / "unknowns-outdoor-boiler.png").stat().st_size > 10_000


def test_json_has_ranges_sources_and_indices(ask: Ask, farm: Path) -> None:
    said = ask("compare", farm, "--heater", "outdoor boiler", "--heater", "pellet stove",
               "--uncertain", "16", "--json")  # fmt: skip
    assert said.status == 0, said.err
    answer = json.loads(said.out)
    assert len(answer["seasons"]) == 6
    boiler, pellets = answer["uncertain"]["heaters"]
    assert boiler["draws"] == 32
    assert pellets["ranking"] == {}
    leak = next(one for one in boiler["unknowns"] if one["key"] == "greenhouse.tightness")
    assert leak["low"] == pytest.approx(0.4 / 0.6)
    assert leak["source"] == "tables/tightness.csv"
    assert {row["key"] for row in boiler["ranking"]["fuel"]} == {
        one["key"] for one in boiler["unknowns"]
    }
    spread = boiler["results"]["cords"]
    assert spread["low"] < spread["median"] < spread["high"]


def test_too_few_draws_are_refused(ask: Ask, farm: Path) -> None:
    said = ask("run", farm, "--uncertain", "3")
    assert said.status == 2
    assert "--uncertain 3: write a number of draws from 16" in said.err
    assert "Traceback" not in said.err
