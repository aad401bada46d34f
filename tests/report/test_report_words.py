"""Numbers in words: digits, units, dates."""

from __future__ import annotations

import pytest

from greenhouse_sim.report.fuel_words import backup_text, gallons, pellets_text, wood_text
from greenhouse_sim.report.words import Units, counted, day_and_hour, few, slug, whole

US, SI = Units(True), Units(False)


@pytest.mark.parametrize(
    ("value", "text"),
    [(7.43, "7.4"), (9.96, "10"), (24.6, "25"), (0.01, "0"), (-7.43, "-7.4"), (31_240.0, "31,200")],
)
def test_few_digits(value: float, text: str) -> None:
    assert few(value) == text


@pytest.mark.parametrize(
    ("value", "text"), [(38.4, "38"), (412.0, "412"), (2544.0, "2540"), (12_345.0, "12,300")]
)
def test_whole_numbers_keep_three_digits(value: float, text: str) -> None:
    assert whole(value) == text


def test_one_night_and_several() -> None:
    assert counted(1.0, "night") == "1 night"
    assert counted(61.0, "night") == "61 nights"


def test_temperatures_heat_and_power_in_both_units() -> None:
    assert US.temperature(0.0) == "32 °F"
    assert US.temperature(-17.9) == "0 °F"  # never "-0"
    assert SI.temperature(-0.2) == "0 °C"
    # NIST SP 811: 1 kWh = 3412.14 Btu, 1 W = 3.41214 Btu/h
    assert US.heat(1000.0) == pytest.approx(3.41214, rel=1e-5)
    assert US.power(1000.0) == pytest.approx(3.41214, rel=1e-5)
    assert SI.power(1500.0) == 1.5


def test_wood_in_cords_face_cords_and_tons() -> None:
    # by definition: a 16-inch face cord is a third of a cord; a short ton is 907.18474 kg
    assert wood_text(7.4, 4.9 * 907.18474, US) == "7.4 cords (22 face cords, 4.9 tons)"
    assert wood_text(1.0, 1000.0, SI) == "3.6 m³ stacked (1.0 t)"


def test_pellets_in_tons_and_bags() -> None:
    # by definition: 50 bags of 40 lb are a short ton
    assert pellets_text(6.2 * 907.18474, US) == "6.2 tons of pellets (310 bags)"
    assert pellets_text(6200.0, SI) == "6.2 t of pellets"


def test_propane_by_the_gallon() -> None:
    # US Energy Information Administration: 91,502 Btu (gross) in a gallon
    kWh = 85 * 91_502 / 3412.14
    assert backup_text({"backup_fuel_kWh": kWh}, "propane heater", US) in {
        "85 gal of back-up propane", "84 gal of back-up propane", "86 gal of back-up propane",
    }  # fmt: skip
    # common practice, no source: 4.2 lb in a gallon
    assert gallons(4.2 * 0.45359237) == pytest.approx(1.0, rel=0.02)


def test_dates_and_file_names() -> None:
    assert day_and_hour("2026-01-04T05:00") == "05:00 on 4 January"
    assert slug("wood stove, large / ../x") == "wood-stove-large-x"
    assert slug("/../") == "unnamed"
