"""The ledgers of many seasons in columns: what each fuel is told in, and who is refused."""

from __future__ import annotations

from datetime import datetime
from types import SimpleNamespace

import numpy as np
import pytest

from greenhouse_sim.errors import BalanceError
from greenhouse_sim.heater.fuel import fuel_for
from greenhouse_sim.season import tally as at
from greenhouse_sim.season.ledger import Identity, make_ledger
from greenhouse_sim.season.ledger_columns import Ended, make_ledgers
from greenhouse_sim.units import KWH_J

FUELS = ("red oak", "pellets", "electricity", "compost mix", "none")
WINTER = SimpleNamespace(start=datetime(2021, 10, 1), hours=5088)


def ended(fuel: str, **tally: float) -> Ended:
    """A heater that turned all of its fuel into heat, which the greenhouse lost."""
    total = np.zeros(at.SIZE)
    total[[at.FUEL_J, at.HEAT_J, at.ENVELOPE_J]] = 5000.0 * KWH_J
    total[at.FUEL_KG], total[at.DECAYED_KG], total[at.ELECTRIC_J] = 1000.0, 300.0, 7.0 * KWH_J
    total[at.FIRST_DAMAGE_HOUR], total[at.LOWEST_HOUR], total[at.LOADS] = -1.0, 50.0, 12.0
    for name, value in tally.items():
        total[getattr(at, name)] = value
    who = Identity(f"burns {fuel}", 1, "2021-22", "Nowhere", fuel_for(fuel))
    return Ended(who, WINTER, total, 4800.0, (None, None))


def test_each_fuel_is_told_in_its_own_way() -> None:
    """Wood in cords and as fired, compost by what decayed, electricity by its heat besides."""
    found = make_ledgers([ended(fuel) for fuel in FUELS])
    assert found["fuel_kg"].tolist() == [1000.0, 1000.0, 0.0, 300.0, 0.0]
    assert found["electricity_kWh"].tolist() == [7.0, 7.0, 5007.0, 7.0, 7.0]
    # a cord of red oak at 20 % water: 128 ft³ with 80 ft³ of wood
    assert found["cords"][0] == pytest.approx(1000.0 / fuel_for("red oak").cord_kg)
    assert np.isnan(found["cords"][1:]).all()
    assert np.isnan(found["hours_near_saturation"]).all()


def test_columns_hold_what_each_ledger_holds() -> None:
    """Every key in its order, whole numbers and what is not there among them."""
    seasons = [ended("red oak", FIRST_DAMAGE_HOUR=30.0), ended("none", FUEL_J=0.0, FLUE_J=-1.8e10)]
    found = make_ledgers(seasons)
    for place, one in enumerate(seasons):
        month_kg = np.zeros(at.MONTHS)
        ledger = make_ledger(one.who, WINTER, one.total, month_kg, one.need_kWh)
        assert [*found, "fuel_by_month"] == list(ledger)
        for key, column in found.items():
            if isinstance(column, dict):
                assert ledger[key] == {part: of_all[place] for part, of_all in column.items()}
            else:
                value = column[place]
                assert ledger[key] == (None if value != value else value), key
    assert found["first_below_damage_at"] == ["2021-10-02T06:00", None]
    assert np.isnan(found["delivered_share_of_fuel"][1])


@pytest.mark.parametrize("wrong", [{"ENVELOPE_J": 1.0}, {"FLUE_J": 1e9}, {"VISITS": np.inf}])
def test_one_that_does_not_close_is_refused_by_name(wrong: dict[str, float]) -> None:
    seasons = [ended("red oak"), ended("pellets", **wrong), ended("none")]
    with pytest.raises(BalanceError, match=r"burns pellets, 2021-22: energy does not close"):
        make_ledgers(seasons)
