"""Present values, annuities and paybacks against a financial library and textbook tables."""

from __future__ import annotations

import math

import pytest

from greenhouse_sim.plans.invest import (
    annuity_factor,
    discounted_payback,
    flows,
    payback,
    present_value,
    yearly,
)

UNIFORM_SERIES = [(0.03, 20, 14.877), (0.05, 10, 7.7217), (0.08, 10, 6.7101), (0.10, 10, 6.1446)]
"""Present worth of a uniform series, (P/A, i, n): compound interest tables that stand in any text
of engineering economy (from memory); the first also as UPV in NIST Handbook 135."""


@pytest.mark.parametrize(("rate", "years", "factor"), UNIFORM_SERIES)
def test_factors_of_the_tables(rate: float, years: int, factor: float) -> None:
    assert annuity_factor(rate, years) == pytest.approx(factor, abs=6e-4)


@pytest.mark.parametrize(("rate", "years", "share"), [(0.08, 10, 0.1490), (0.10, 5, 0.2638)])
def test_capital_recovery_of_the_tables(rate: float, years: int, share: float) -> None:
    """(A/P, i, n) of the same tables."""
    assert yearly(1.0, rate, years) == pytest.approx(share, abs=6e-5)


def test_a_worked_example_of_managerial_finance() -> None:
    """The rate at which -100, 39, 59, 55, 20 come to nothing is 28.1 % (Gitman, *Principles of
    Managerial Finance*, Brief, 3rd ed. 2003, p. 346, as the documentation of NumPy 1.16 quotes it,
    which prints -0.00848)."""
    assert present_value(0.281, [-100, 39, 59, 55, 20]) == pytest.approx(-0.0084785916, abs=1e-9)


def test_a_project_of_forty_thousand() -> None:
    """40,000 now for 5,000, 8,000, 12,000 and 30,000 at 8 % is worth 3,065.22
    (numpy-financial's documentation of npv)."""
    found = present_value(0.08, [-40_000, 5_000, 8_000, 12_000, 30_000])
    assert found == pytest.approx(3065.22267, abs=1e-4)


@pytest.mark.parametrize("rate", [0.0, 0.01, 0.05, 0.12, 0.5])
@pytest.mark.parametrize("years", [1, 7, 20])
def test_as_the_financial_library_has_it(rate: float, years: int) -> None:
    finance = pytest.importorskip("numpy_financial")
    assert yearly(1000.0, rate, years) == pytest.approx(-finance.pmt(rate, years, 1000.0))
    spent = flows([(900.0, 4.0), (100.0, 30.0)], 50.0, years)
    assert present_value(rate, spent) == pytest.approx(finance.npv(rate, spent))


@pytest.mark.parametrize("rate", [0.01, 0.05, 0.12])
def test_discounted_payback_as_the_library_has_it(rate: float) -> None:
    """`nper` solves the same equation."""
    finance = pytest.importorskip("numpy_financial")
    assert discounted_payback(1000.0, 200.0, rate) == pytest.approx(
        float(finance.nper(rate, 200.0, -1000.0))
    )


def test_paybacks_that_never_come_or_are_there_at_once() -> None:
    assert payback(1000.0, 250.0) == 4.0
    assert discounted_payback(1000.0, 250.0, 0.0) == 4.0
    assert payback(1000.0, 0.0) is None
    assert payback(1000.0, -5.0) is None
    assert payback(0.0, 3.0) == 0.0
    assert payback(-10.0, -3.0) is None
    assert discounted_payback(1000.0, 50.0, 0.05) is None
    assert discounted_payback(1000.0, 49.0, 0.05) is None


def test_discounted_payback_is_when_the_worth_turns() -> None:
    years = discounted_payback(1000.0, 200.0, 0.05)
    assert years is not None
    assert 200.0 * annuity_factor(0.05, years) == pytest.approx(1000.0)
    assert years > 5.0


def test_things_are_bought_again_and_the_rest_of_their_life_is_left() -> None:
    """10 years of a thing of 4 years' life: bought three times; two of four years are left."""
    assert flows([(100.0, 4.0)], 7.0, 10) == [
        -100.0, -7.0, -7.0, -7.0, -107.0, -7.0, -7.0, -7.0, -107.0, -7.0, -7.0 + 50.0,
    ]  # fmt: skip


def test_a_whole_number_of_lives_comes_to_the_annuity() -> None:
    """Over two whole lives the flows are worth what the yearly cost is."""
    rate, life = 0.06, 5
    worth = present_value(rate, flows([(800.0, life)], 0.0, 2 * life))
    same = -yearly(800.0, rate, life) * annuity_factor(rate, 2 * life)
    assert worth == pytest.approx(same)
    assert math.isfinite(worth)
