"""What improvements save, against measured trials, in the typical sample winter."""

from __future__ import annotations

import pytest

from greenhouse_sim.plans.measures import measures, together
from greenhouse_sim.plans.tried import Tried
from greenhouse_sim.season.run import read_winters, run_seasons
from winters_at_hand import demo

WARM = {"day": "60 degF", "night": "55 degF"}
WINTER = ["tamarack_flats_typical.csv"]


@pytest.fixture(scope="module")
def saved() -> dict[tuple[str, str], float]:
    """(cover, measure) to the share of the heat need that it saves alone, a warm crop."""
    found = {}
    for cover in ("single poly", "double poly inflated"):
        farm = demo(
            greenhouse__cover=cover, crop__setpoint=WARM, site__weather=WINTER,
            heater="propane heater",
        )  # fmt: skip
        fit, _ = measures(farm)
        tried = Tried(farm, read_winters(farm))
        shiny = {"cover": "aluminised curtain", "closed": "dark"}
        farms = [farm, *(together(farm, (one,)) for one in fit)]
        farms.append(farm.with_(**{"greenhouse.night_curtain": shiny}))
        needs = [rows[0]["heat_need_kWh"] for rows in tried.run(farms)]
        names = ["as it is", *(one.name for one in fit), "aluminised curtain"]
        for name, need in zip(names, needs, strict=True):
            found[cover, name] = 1.0 - need / needs[0]
    return found


def test_a_second_film_saves_a_third_or_more(saved: dict[tuple[str, str], float]) -> None:
    """34 % (Rasheed), 35 % (eXtension), 30 to 40 % (Rafferty), about half (Virginia 430-101).
    Ours 43 %: within what is published, above the usual "about a third"."""
    assert 0.30 < saved["single poly", "second film"] < 0.50


@pytest.mark.parametrize("cover", ["single poly", "double poly inflated"])
def test_infrared_film_saves_ten_to_twenty_percent(
    saved: dict[tuple[str, str], float], cover: str
) -> None:
    """15 to 20 % (Wisconsin Extension), 10 to 20 % (Bartok), 12 % in the mean of 100 audits."""
    assert 0.10 < saved[cover, "infrared film"] < 0.20


def test_curtains_over_double_film(saved: dict[tuple[str, str], float]) -> None:
    """Three winters in Vermont 25 to 31 %, the kind of curtain not said (report LNE10-299).

    An aluminised curtain comes to it, a plain one falls short by 7 points: see
    `test_season_trials`."""
    assert 0.22 < saved["double poly inflated", "aluminised curtain"] < 0.33
    assert saved["double poly inflated", "night curtain"] == pytest.approx(0.176, abs=0.03)


def test_a_sheet_saves_less_over_two_films_than_over_one(
    saved: dict[tuple[str, str], float],
) -> None:
    for name in ("night curtain", "inner film"):
        assert saved["double poly inflated", name] < saved["single poly", name]


def test_seven_degrees_more_as_in_the_hudson_valley() -> None:
    """42 × 196 ft under double film, November to March: 979 gal of propane at 33 °F, 2.1 to 3.1
    times as much at 40 °F (Cornell Cooperative Extension, eastern New York; "2.1 times as much to
    add the extra 7 degrees"). That valley lies between our mild inland winter and our ocean one:
    so must gallons and ratio."""
    gallons = {}
    for winter in ("tamarack_flats_mild.csv", "selkie_sound_severe.csv"):
        for setpoint in ("33 degF", "40 degF"):
            farm = demo(
                greenhouse__width="42 ft", greenhouse__length="196 ft", greenhouse__ridge="17 ft",
                crop__setpoint=setpoint, site__weather=[winter],
                site__season={"start": "11-01", "end": "03-31"},
                heater={"kind": "propane heater", "count": 4},
            )  # fmt: skip
            row = run_seasons(farm, ["propane heater"])[0].ledger
            gallons[winter[:7], setpoint] = row["fuel_energy_kWh"] * 3412.0 / 91_500.0
    cold, warm = ((gallons[place, "33 degF"]) for place in ("tamarac", "selkie_"))
    assert warm < 979 < cold
    inland = gallons["tamarac", "40 degF"] / cold
    ocean = gallons["selkie_", "40 degF"] / warm
    assert inland < 2.1 and ocean > 3.1
