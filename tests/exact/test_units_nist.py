"""What units mean: factors of NIST Special Publication 811 (2008), appendix B.8.

The factors are printed there to seven figures (exact ones in bold); they stand here from memory.
"""

from __future__ import annotations

import math

import pytest

from greenhouse_sim import units
from greenhouse_sim.errors import ScenarioError

NIST_SP_811 = [
    ("1 ft", "m", 3.048e-01),
    ("1 inch", "m", 2.54e-02),
    ("1 yd", "m", 9.144e-01),
    ("1 mile", "m", 1.609344e03),
    ("1 ft^2", "m^2", 9.290304e-02),
    ("1 ft^3", "m^3", 2.831685e-02),
    ("1 yd^3", "m^3", 7.645549e-01),
    ("1 gal", "m^3", 3.785412e-03),
    ("1 cord", "m^3", 3.624556),
    ("1 stere", "m^3", 1.0),
    ("1 lb", "kg", 4.535924e-01),
    ("1 ton", "kg", 9.071847e02),
    ("1 tonne", "kg", 1000.0),
    ("1 Btu", "J", 1.055056e03),
    ("1 kWh", "J", 3.6e06),
    ("1 cal", "J", 4.184),
    ("1 Btu/hr", "W", 2.930711e-01),
    ("1 hp", "W", 7.456999e02),
    ("1 Btu/hr/ft^2/degF", "W/m^2/K", 5.678263),
    ("1 ft^2*degF*hr/Btu", "m^2*K/W", 1.761102e-01),
    ("1 Btu/hr/ft/degF", "W/m/K", 1.730735),
    ("1 Btu/lb", "J/kg", 2.326e03),
    ("1 Btu/lb/degF", "J/kg/K", 4.1868e03),
    ("1 Btu/ft^2", "J/m^2", 1.135653e04),
    ("1 Btu/degF", "J/K", 1.899101e03),
    ("1 lb/ft^3", "kg/m^3", 1.601846e01),
    ("1 cfm", "m^3/s", 4.719474e-04),
    ("1 gpm", "m^3/s", 6.309020e-05),
    ("1 mph", "m/s", 4.4704e-01),
    ("1 psi", "Pa", 6.894757e03),
]


@pytest.mark.parametrize(("written", "si", "factor"), NIST_SP_811)
def test_factor_is_that_of_the_table(written: str, si: str, factor: float) -> None:
    assert units.to_si(written, si, "here") == pytest.approx(factor, rel=5e-7)


@pytest.mark.parametrize(
    ("written", "celsius"),
    [("32 degF", 0.0), ("212 °F", 100.0), ("-40 F", -40.0), ("273.15 K", 0.0), ("7 degC", 7.0)],
)
def test_temperature_scales_meet_at_their_fixed_points(written: str, celsius: float) -> None:
    assert units.to_si(written, "degC", "here") == pytest.approx(celsius, abs=1e-9)


def test_a_difference_is_no_temperature() -> None:
    assert units.to_si("9 degF", "K", "here") == pytest.approx(5.0)


@pytest.mark.parametrize(("written", "wanted"), units.EVERYDAY)
def test_everyday_units_are_those_of_the_library(written: str, wanted: str) -> None:
    factor, offset = units.EVERYDAY[written, wanted]
    for number in (-40.0, 0.0, 1.0, 123.456):
        library = units._by_library("", number, written, wanted, "")
        assert number * factor + offset == pytest.approx(library, rel=1e-12, abs=1e-11)
        assert units.from_si(library, wanted, written) == pytest.approx(number, abs=1e-9)


def test_constants_agree_with_the_units() -> None:
    assert units.to_si("1 cord", "m^3", "") == pytest.approx(units.CORD_M3, rel=1e-14)
    assert units.to_si("1 bag", "kg", "") == pytest.approx(units.PELLET_BAG_KG, rel=1e-14)
    assert units.to_si("1 Btu", "J", "") == pytest.approx(units.BTU_J, rel=1e-14)
    assert units.to_si("1 ton", "kg", "") == pytest.approx(units.SHORT_TON_KG, rel=1e-14)
    assert pytest.approx(128.0 * 0.3048**3, rel=1e-15) == units.CORD_M3
    assert units.fahrenheit(100.0) == 212.0
    assert units.cords(2.0 * units.CORD_M3) == 2.0


@pytest.mark.parametrize(
    "same", ["20 ft²·°F·h/Btu", "20 ft^2*degF*hr/Btu", "20 ft2 * F * hr / BTU"]
)
def test_signs_and_words_mean_the_same(same: str) -> None:
    assert units.to_si(same, "m^2*K/W", "here") == pytest.approx(3.522204, rel=1e-6)


@pytest.mark.parametrize(
    "wrong",
    ["30", "thirty feet", "30 kg", "30 fet", "", "ft", "30 ft 6 in", "1e999 m", "30 m^99",
     "3 m^(9)", "3 9**9**9 m", "nan m", "30 m" * 40, "3 m/0", "30 m + 2 m", "\x00",
     "3 __import__('os')"],
)  # fmt: skip
def test_what_is_no_length_is_refused_with_a_remedy(wrong: str) -> None:
    with pytest.raises(ScenarioError) as caught:
        units.to_si(wrong, "m", "farm.toml: [greenhouse] width", "30 ft")
    message = str(caught.value)
    assert message.startswith("farm.toml: [greenhouse] width: ")
    assert '"30 ft"' in message
    assert len(message) < 250


def test_every_unit_of_the_list_is_known_to_the_library() -> None:
    lines = (
        units.Path(units.__file__).with_name("units.txt").read_text(encoding="utf-8").splitlines()
    )
    names = [line.split("=")[0].strip() for line in lines if "=" in line and line[0] != "#"]
    names = [name for name in names if not name.endswith("-")]
    assert len(names) > 40
    for name in names:
        size = units.registry().Quantity(1.0, name).to_base_units().magnitude
        assert math.isfinite(size) or name == "dollar"
