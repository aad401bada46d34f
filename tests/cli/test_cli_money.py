"""`costs`, `improve` and `worth` as a user types them."""

from __future__ import annotations

import csv
import json
from pathlib import Path

import pytest

from asked import Ask

HEATERS = ["outdoor boiler", "pellet furnace", "propane heater"]
HAS_MUCH = """tightness = "tight"
perimeter_insulation = "R10 2 ft"
night_curtain = { cover = "thermal curtain" }"""


@pytest.fixture
def priced(farm: Path) -> Path:
    text = farm.read_text(encoding="utf-8")
    text += '\n[money]\ncrop_value = "0.25 /ft^2/week"\nwage = "12 /hour"\n'
    farm.write_text(text, encoding="utf-8")
    return farm


def fits(text: str) -> bool:
    return all(len(line) <= 100 for line in text.splitlines())


def test_costs_answers_first_and_ends_with_cautions(ask: Ask, farm: Path) -> None:
    answer = ask("costs", farm, "--heater", "outdoor boiler", "--heater", "propane heater")
    assert answer.status == 0
    assert answer.out.startswith("Cheapest that does its work: ")
    assert "What heaters cost, dollars, held against outdoor boiler" in answer.out
    assert "No price stands in the scenario" in answer.out
    assert "Carbon monoxide" in answer.out
    assert "…" not in answer.out
    assert fits(answer.out)


def test_costs_with_every_line_traceable(ask: Ask, priced: Path, tmp_path: Path) -> None:
    out = tmp_path / "out"
    heaters = [word for name in HEATERS for word in ("--heater", name)]
    answer = ask("costs", priced, *heaters, "--json", "--out", out)
    assert answer.status == 0
    found = json.loads(answer.out)
    assert [cost["heater"] for cost in found["costs"]] == HEATERS
    for cost in found["costs"]:
        lines = [one for one in found["lines"] if one["heater"] == cost["heater"]]
        assert cost["yearly"] == pytest.approx(sum(one["yearly"] for one in lines))
        assert all(one["source"] for one in lines)
    with (out / "cost_lines.csv").open(encoding="utf-8") as stream:
        rows = list(csv.DictReader(stream))
    assert len(rows) == len(found["lines"])
    assert (out / "costs.png").stat().st_size > 10_000


def test_a_baseline_that_is_not_compared(ask: Ask, farm: Path) -> None:
    text = farm.read_text(encoding="utf-8") + '\n[money]\nbaseline = "pellet stove"\n'
    farm.write_text(text, encoding="utf-8")
    answer = ask("costs", farm, "--heater", "outdoor boiler")
    assert answer.status == 2
    assert answer.out == ""
    assert 'add --heater "pellet stove"' in answer.err


def test_seven_hundred_percent(ask: Ask, farm: Path) -> None:
    text = farm.read_text(encoding="utf-8") + '\n[money]\ninterest = "700 %"\n'
    farm.write_text(text, encoding="utf-8")
    answer = ask("costs", farm)
    assert answer.status == 2
    assert "[money] interest" in answer.err and "0.05" in answer.err


def test_no_prices_at_all(ask: Ask, farm: Path) -> None:
    text = farm.read_text(encoding="utf-8") + '\n[money]\nprices = "own"\n'
    farm.write_text(text, encoding="utf-8")
    answer = ask("costs", farm, "--heater", "outdoor boiler", "--heater", "propane heater")
    assert answer.status == 0
    assert answer.out.startswith("No heater's yearly cost is known")
    assert "this much is decided" in " ".join(answer.out.split())


def test_improve_says_what_first(ask: Ask, farm: Path, tmp_path: Path) -> None:
    out = tmp_path / "out"
    sample = "tamarack_flats_typical.csv"
    answer = ask("improve", farm, "--weather", sample, "--out", out)
    assert answer.status == 0
    assert answer.out.startswith("First ")
    assert "Each improvement alone" in answer.out
    assert "In the best order" in answer.out
    assert fits(answer.out)
    names = {"improvements.csv", "order.csv", "packages.csv", "improvements.png"}
    assert names <= {file.name for file in out.iterdir()}


def test_improve_shows_the_nearest_where_no_package_will_do(ask: Ask, farm: Path) -> None:
    """On a farm that has much already: 2 films × barrels × 6 measures, each taken or not."""
    text = farm.read_text(encoding="utf-8").replace('tightness = "good"', HAS_MUCH)
    farm.write_text(text.replace("moisture = 0.20", "moisture = 0.15"), encoding="utf-8")
    sample = "tamarack_flats_typical.csv"
    answer = ask(
        "improve", farm, "--weather", sample, "--cold-hours", "0", "--budget", "1", "--json"
    )
    assert answer.status == 0
    found = json.loads(answer.out)["search"]
    assert found["met"] is False
    assert found["package"]["measures"] or found["package"]["first_cost"] == 0.0
    assert 0 < found["packages_run"] <= found["packages_possible"] == 2**6 * 3


def test_worth_by_setpoint_and_week(ask: Ask, priced: Path, tmp_path: Path) -> None:
    out = tmp_path / "out"
    answer = ask("worth", priced, "--weather", "tamarack_flats_typical.csv", "--out", out)
    assert answer.status == 0
    assert answer.out.startswith("At $0.25 a square foot and week most is left")
    assert "Week by week" in answer.out
    assert fits(answer.out)
    assert {file.name for file in out.iterdir()} == {"setpoints.csv", "weeks.csv", "weeks.png"}


def test_worth_as_json_alone(ask: Ask, farm: Path) -> None:
    answer = ask("worth", farm, "--weather", "tamarack_flats_typical.csv", "--json")
    found = json.loads(answer.out)
    assert found["best"] is None
    assert found["break_even_value_per_ft2_week"] is None or (
        found["break_even_value_per_ft2_week"] > 0.0
    )
    assert [row["name"] for row in found["setpoints"]][:2] == ["no heat", "guard"]
