"""Where the plants are: row covers, and damage judged by a crop of the table."""

from __future__ import annotations

from pathlib import Path

import pytest

import greenhouse_sim as gs
from greenhouse_sim.errors import ScenarioError
from greenhouse_sim.season.run import read_winters
from greenhouse_sim.tables import read_rows


@pytest.fixture(scope="module")
def january() -> gs.Scenario:
    """The demo farm in a cold month, with a stove too small for it."""
    return gs.read_scenario(gs.demo_path()).with_(
        heater="wood stove, large",
        **{"site.season": {"start": "01-05", "end": "02-05"}, "routine.gets_up_below": "never"},
    )


@pytest.fixture(scope="module")
def seasons(january: gs.Scenario) -> dict[str, gs.Season]:
    """The same month under each row cover."""
    weather = read_winters(january)[1]
    covers = ["none", "light row cover", "medium row cover", "heavy row cover", "double row cover"]
    return {
        cover: gs.simulate(january.with_(**{"greenhouse.row_cover": cover}), weather)
        for cover in covers
    }


def test_a_better_cover_keeps_the_crop_warmer(seasons: dict[str, gs.Season]) -> None:
    """Under every cover the coldest hour at the plants is milder than under the one before."""
    coldest = [season.ledger["lowest_crop_C"] for season in seasons.values()]
    assert coldest == sorted(coldest)
    assert coldest[-1] > coldest[0] + 3.0
    hours = [season.ledger["hours_below_damage"] for season in seasons.values()]
    assert hours == sorted(hours, reverse=True)


def test_without_a_cover_the_crop_has_the_houses_air(seasons: dict[str, gs.Season]) -> None:
    bare = seasons["none"]
    assert bare.ledger["lowest_crop_C"] == bare.ledger["lowest_air_C"]
    assert (bare.trace["crop_C"] == bare.trace["air_C"]).all()


@pytest.mark.parametrize(
    ("cover", "offset_F"), [("medium row cover", 4.0), ("heavy row cover", 8.0)]
)
def test_offset_at_night_is_of_the_order_that_growers_report(
    seasons: dict[str, gs.Season], cover: str, offset_F: float
) -> None:
    """About 4 °F under a medium cover, 8 °F under a heavy one (common practice, no source).

    The offset follows the soil, so the band is wide: 0.6 to 2.2 times.
    """
    trace = seasons[cover].trace
    night = trace[(trace.index.hour >= 1) & (trace.index.hour < 6)]
    offset = float((night["crop_C"] - night["air_C"]).mean()) * 1.8
    assert 0.6 * offset_F < offset < 2.2 * offset_F


def test_books_close_under_a_cover(seasons: dict[str, gs.Season]) -> None:
    assert all(season.ledger["balance_error"] < 1e-6 for season in seasons.values())


def test_first_damage_and_nights(seasons: dict[str, gs.Season]) -> None:
    bare = seasons["none"]
    hurt = bare.trace.index[bare.trace["crop_C"] < -3.3333]
    assert len(hurt) == bare.ledger["hours_below_damage"] > 0
    assert bare.ledger["first_below_damage_at"] == hurt[0].isoformat(timespec="minutes")
    assert 0 < bare.ledger["nights_below_damage"] <= 32


def test_damage_temperature_by_crop(january: gs.Scenario) -> None:
    """The crop table's spinach: 15 % leakage at −12 °C when hardened (Tamura 2002)."""
    spinach = january.with_(**{"crop.damage_below": "spinach, hardened"})
    assert spinach.crop.damage_below == -12.0
    with pytest.raises(ScenarioError, match=r"spinach"):
        january.with_(**{"crop.damage_below": "spinnach, hardened"})


def test_crop_rows_lie_in_their_bands() -> None:
    for row in read_rows("crops"):
        assert float(row["low"]) <= float(row["damage_below"]) <= float(row["high"])
    for row in read_rows("row_covers"):
        assert float(row["low"]) <= float(row["u_value"]) <= float(row["high"])


def test_an_unknown_row_cover_is_refused(tmp_path: Path) -> None:
    text = gs.demo_path().read_text(encoding="utf-8")
    file = tmp_path / "farm.toml"
    file.write_text(text.replace("[crop]", 'row_cover = "blanket"\n[crop]'), encoding="utf-8")
    with pytest.raises(ScenarioError, match="row cover"):
        gs.read_scenario(file)
