"""Sharing a difference among causes, and reading a winter out of a journal: by hand."""

from __future__ import annotations

from datetime import date, datetime
from itertools import permutations
from pathlib import Path

import numpy as np
import pytest

import greenhouse_sim as gs
from greenhouse_sim.heater.fuel import fuel_for
from greenhouse_sim.journal.entry import CARRIED, LOAD, READING, VISIT, Entry
from greenhouse_sim.plans.review_causes import bridge, subsets
from greenhouse_sim.plans.review_habit import apart_h
from greenhouse_sim.plans.review_journal import Span, amount, noted, unnoted
from greenhouse_sim.plans.review_was import wood_as_it_was
from review_at_hand import stove_farm

SPAN = Span(date(2025, 12, 1), date(2026, 2, 15))


def test_two_causes_by_hand() -> None:
    """a adds 10 alone and 20 after b: 15 in the mean; b adds 20 and 30: 25; together 40."""
    values = {
        frozenset(): 100.0, frozenset("a"): 110.0, frozenset("b"): 120.0, frozenset("ab"): 140.0,
    }  # fmt: skip
    found = bridge(("a", "b"), values, 150.0)
    assert [(one.mean, one.low, one.high) for one in found.causes] == [(15, 10, 20), (25, 20, 30)]
    assert (found.plan, found.as_it_was, found.rest, found.difference) == (100, 140, 10, 50)


def test_the_glove_game() -> None:
    """A left glove (a) and two right ones (b, c), a pair is worth 1: 2/3, 1/6, 1/6 (textbook)."""
    values = {some: float("a" in some and len(some) > 1) for some in subsets("abc")}
    found = bridge(("a", "b", "c"), values, 1.0)
    assert [one.mean for one in found.causes] == pytest.approx([2 / 3, 1 / 6, 1 / 6])


def test_the_mean_over_orders_is_the_mean_over_orders() -> None:
    """Against every order of four causes walked one by one."""
    names = ("a", "b", "c", "d")
    draw = np.random.default_rng(3)
    values = {some: float(draw.normal()) for some in subsets(names)}
    added: dict[str, list[float]] = {name: [] for name in names}
    for order in permutations(names):
        for place, name in enumerate(order):
            before = frozenset(order[:place])
            added[name].append(values[before | {name}] - values[before])
    found = bridge(names, values, 0.0)
    for one in found.causes:
        assert one.mean == pytest.approx(np.mean(added[one.name]))
        assert (one.low, one.high) == (min(added[one.name]), max(added[one.name]))
    assert found.plan + sum(one.mean for one in found.causes) == pytest.approx(found.as_it_was)


def test_how_far_apart_hours_lie() -> None:
    """All loads two hours later: 2 h. Half of them six hours later: 3 h."""
    six, eight, noon = np.eye(24)[6], np.eye(24)[8], np.eye(24)[12]
    assert apart_h(six, eight) == pytest.approx(2.0)
    assert apart_h(six, (six + noon) / 2.0) == pytest.approx(3.0)
    # half past eleven in the evening and half past midnight are an hour apart, not a day
    assert apart_h(np.eye(24)[23], np.eye(24)[0]) == pytest.approx(1.0)


def test_amounts_by_weight_and_by_the_stack() -> None:
    """A cord of dry wood noted as a stack stays a cord of wet wood; as a weight it is less."""
    dry, wet = fuel_for("red oak", 0.20), fuel_for("red oak", 0.36)
    assert dry.cord_kg is not None
    load = Entry(datetime(2025, 12, 5, 8), LOAD, kg=dry.cord_kg)
    # dry matter is 0.80 of the weight as planned and 0.64 as it was
    assert amount(load, (dry, wet), None) == pytest.approx(0.64 / 0.80)
    assert amount(load, (dry, wet), "stack") == pytest.approx(1.0)
    full = load._replace(note="full, late")
    assert amount(full, (dry, wet), None) == pytest.approx(1.0)
    assert amount(full, (dry, wet), "weight") == pytest.approx(0.8)


def test_a_winter_by_month(tmp_path: Path) -> None:
    plan = gs.read_scenario(stove_farm(tmp_path, count=1))
    fuel = fuel_for("red oak", 0.20)
    cord = fuel.cord_kg or 0.0
    entries = [
        Entry(datetime(2025, 11, 30, 22), LOAD, kg=999.0),  # before the season
        Entry(datetime(2025, 12, 31, 23), LOAD, kg=0.2 * cord),
        Entry(datetime(2026, 1, 1, 3), LOAD, kg=0.1 * cord, woken=True, minutes=90.0),
        Entry(datetime(2026, 1, 2, 3), VISIT, woken=True),
        Entry(datetime(2026, 1, 2, 4), VISIT, woken=True),
        Entry(datetime(2026, 1, 2, 7), READING, indoor_C=-2.0),
        Entry(datetime(2026, 1, 3, 7), READING, indoor_C=3.0),
    ]
    book = noted(plan, entries, SPAN, (fuel, fuel), None)
    assert book.span.months == ("2025-12", "2026-01", "2026-02")
    assert book.months.fuel == pytest.approx([0.2, 0.1, 0.0])
    assert list(book.months.loads) == [1, 1, 0]
    assert list(book.months.visits) == [1, 3, 0]
    # New Year's night belongs to December; two rises in one night are one night up
    assert list(book.months.nights_up) == [1, 1, 0]
    assert book.months.coldest_C[1] == -2.0
    assert np.isnan(book.months.coldest_C[0])
    # 90 minutes noted in January, two looks with a rise each by the tables, and the carrying
    assert book.months.hours[1] > 1.5
    assert book.basis == LOAD
    more = [*entries, Entry(datetime(2025, 12, 2, 10), CARRIED, kg=0.5 * cord)]
    assert noted(plan, more, SPAN, (fuel, fuel), None).basis == CARRIED


def test_days_without_an_entry() -> None:
    entries = [Entry(datetime(2025, 12, day, 8), VISIT) for day in (1, 2, 8, 9)]
    found = unnoted(SPAN, entries, 4)
    assert [(one.first, one.last) for one in found] == [
        (date(2025, 12, 3), date(2025, 12, 7)), (date(2025, 12, 10), date(2026, 2, 15)),
    ]  # fmt: skip
    assert found[0].days == 5


@pytest.mark.parametrize(
    ("note", "moisture"),
    [
        ("moisture 28 %", 0.28),
        ("Water: 31%", 0.31),
        ("wet, 30 % moisture at the split face", 0.30),
        # a hand meter: 25 % of the dry weight is 20 % of the whole
        ("moisture 25 % dry", 0.20),
        ("28 lb of it", None),
    ],
)
def test_moisture_out_of_notes(tmp_path: Path, note: str, moisture: float | None) -> None:
    plan = gs.read_scenario(stove_farm(tmp_path)).with_(**{"fuel.moisture": 0.15})
    wood = wood_as_it_was(plan, [Entry(datetime(2025, 12, 5), LOAD, kg=9.0, note=note)], None, None)
    assert wood.fuel.moisture == pytest.approx(0.15 if moisture is None else moisture)
    assert (wood.source is None) == (moisture is None)


def test_a_wood_out_of_notes(tmp_path: Path) -> None:
    plan = gs.read_scenario(stove_farm(tmp_path))
    load = Entry(datetime(2025, 12, 5), LOAD, kg=9.0, note="paper birch from the yard")
    assert wood_as_it_was(plan, [load], None, None).changes == {"fuel.species": "paper birch"}
    other = load._replace(note="white oak")
    assert wood_as_it_was(plan, [load, other], None, None).source is None
