"""The one line a grower would say."""

from __future__ import annotations

from collections.abc import Callable

import pytest

from greenhouse_sim.report.line import one_line
from greenhouse_sim.report.words import Units
from greenhouse_sim.season.run import Season

US, SI = Units(True), Units(False)


def test_wood_line_word_for_word(season_of: Callable[..., Season]) -> None:
    season = season_of(fuel_kg=10_000.0)
    cords = season.ledger["cords"]
    assert one_line([season.ledger], US) == (
        f"{cords:.1f} cords ({3 * cords:.0f} face cords, 11 tons), "
        "38 times up at night on 25 nights, 14 h below setpoint, "
        "coldest 31 °F at 05:00 on 14 January, 92 h of work"
    )


def test_si_line(season_of: Callable[..., Season]) -> None:
    line = one_line([season_of().ledger], SI)
    assert "m³ stacked" in line
    assert "coldest -1 °C" in line
    assert "°F" not in line
    assert "cord" not in line


def test_several_winters_tell_the_middle_and_the_range(season_of: Callable[..., Season]) -> None:
    rows = [season_of(winter=f"w{n}", ups=n, fuel_kg=1000.0 * n).ledger for n in (8, 10, 12)]
    line = one_line(rows, US)
    middle = rows[1]["cords"]
    assert line.startswith(f"{middle:.1f} cords (")
    assert "over 3 winters" in line
    assert "10 times up at night (8 to 12) on 10 nights" in line


@pytest.mark.parametrize(
    ("heater", "fuel", "said"),
    [
        ("pellet stove", "pellets", "tons of pellets"),
        ("propane heater", "propane", "gal of propane"),
        ("compost pile, large", "compost mix", "of heat from compost"),
        ("electric heater", "electricity", "30,000 kWh of electricity"),
        ("ideal", "none", "of heat as needed"),
    ],
)
def test_each_fuel_in_its_own_measure(
    season_of: Callable[..., Season], heater: str, fuel: str, said: str
) -> None:
    assert said in one_line([season_of(heater=heater, fuel=fuel).ledger], US)


def test_a_hurt_crop_and_a_back_up_are_said(season_of: Callable[..., Season]) -> None:
    row = dict(season_of(damage_h=12, ups=0).ledger) | {"backup_fuel_kWh": 2280.0}
    line = one_line([row], US, "propane heater")
    assert "crop damaged (12 h too cold)" in line
    assert "gal of back-up propane" in line
    assert "no nights woken" in line
