"""Variance-based indices: a function whose indices are known, and another library's estimator."""

from __future__ import annotations

import math

import numpy as np
import pytest
from scipy import stats
from scipy.stats import qmc

from greenhouse_sim.plans.rank import effect, indices, shares

A, B = 7.0, 0.1
DRAWS = 4096


def ishigami(x: np.ndarray) -> np.ndarray:
    """sin x1 + a·sin² x2 + b·x3⁴·sin x1 with x in −π to π, shape (draws, 3)."""
    first, second, third = x.T
    return np.sin(first) + A * np.sin(second) ** 2 + B * third**4 * np.sin(first)


def exact() -> tuple[list[float], list[float]]:
    """Its first-order and total indices.

    Ishigami and Homma (1990); formulas as in Saltelli, Chan and Scott, *Sensitivity Analysis*
    (2000): V = 1/2 + a²/8 + bπ⁴/5 + b²π⁸/18, V1 = (1 + bπ⁴/5)²/2, V2 = a²/8,
    V13 = b²π⁸·8/225. With a = 7, b = 0.1: S 0.314, 0.442, 0; T 0.558, 0.442, 0.244.
    """
    pi4 = math.pi**4
    whole = 0.5 + A * A / 8.0 + B * pi4 / 5.0 + B * B * pi4 * pi4 / 18.0
    one, two = 0.5 * (1.0 + B * pi4 / 5.0) ** 2, A * A / 8.0
    both = B * B * pi4 * pi4 * 8.0 / 225.0
    return [one / whole, two / whole, 0.0], [(one + both) / whole, two / whole, both / whole]


def answers(function: object, count: int, draws: int) -> tuple[np.ndarray, np.ndarray, np.ndarray]:
    """f for A, B and the mixed tables of a scrambled Sobol sequence over −π to π."""
    even = qmc.Sobol(2 * count, scramble=True, seed=3).random(draws)
    points = math.pi * (2.0 * even - 1.0)
    a, b = points[:, :count], points[:, count:]
    mixed = []
    for i in range(count):
        one = a.copy()
        one[:, i] = b[:, i]
        mixed.append(function(one))  # type: ignore[operator]
    return function(a), function(b), np.array(mixed)  # type: ignore[operator]


def test_ishigami() -> None:
    first, total = exact()
    assert first == pytest.approx([0.3139, 0.4424, 0.0], abs=1e-4)
    assert total == pytest.approx([0.5576, 0.4424, 0.2437], abs=1e-4)
    found = indices(*answers(ishigami, 3, DRAWS))
    assert found is not None
    assert found.first.value == pytest.approx(first, abs=0.02)
    assert found.total.value == pytest.approx(total, abs=0.02)
    assert found.on_top[0] > 0.99


def test_intervals_hold_the_truth_and_shrink() -> None:
    """At few draws the interval is wide and still holds the exact total."""
    _, total = exact()
    widths = []
    for draws in (64, 1024):
        found = indices(*answers(ishigami, 3, draws))
        assert found is not None
        assert np.all(found.total.low <= np.array(total) + 0.02)
        assert np.all(found.total.high >= np.array(total) - 0.02)
        widths.append(found.total.high - found.total.low)
    assert np.all(widths[1] < 0.5 * widths[0])


def test_same_as_another_library() -> None:
    """`scipy.stats.sobol_indices` on the same answers, to rounding."""
    f_a, f_b, f_ab = answers(ishigami, 3, 256)
    theirs = stats.sobol_indices(
        func={"f_A": f_a[None], "f_B": f_b[None], "f_AB": f_ab[:, None]}, n=256
    )
    first, total = shares(f_a, f_b, f_ab)
    assert first == pytest.approx(theirs.first_order, abs=1e-12)
    assert total == pytest.approx(theirs.total_order, abs=1e-12)


def test_within_what_a_held_unknown_leaves() -> None:
    """f = 10·x1 + 2·x2 + x3: held x1 leaves 4 + 1 parts, of which x2 has 80 %, x3 20 %."""
    found = indices(*answers(lambda x: x @ [10.0, 2.0, 1.0], 3, DRAWS), held=0)
    assert found is not None
    assert found.within.value == pytest.approx([0.0, 0.8, 0.2], abs=0.02)
    assert found.first.value[0] == pytest.approx(100.0 / 105.0, abs=0.02)
    assert found.on_top[1] == 1.0


def test_nothing_moves_a_constant() -> None:
    assert indices(np.ones(8), np.ones(8), np.ones((2, 8))) is None
    assert indices(np.zeros(8), np.zeros(8), np.zeros((2, 8))) is None


def test_seeded() -> None:
    given = answers(ishigami, 3, 64)
    one, two = indices(*given), indices(*given)
    assert one is not None
    assert two is not None
    assert np.array_equal(one.total.low, two.total.low)


def test_effect_is_the_slope() -> None:
    """f = 3·x1 + wild x2: from the 10th to the 90th percentile of −π to π, 0.8·2π·3."""
    f_a, _, f_ab = answers(lambda x: 3.0 * x[:, 0] + 50.0 * np.sin(9.0 * x[:, 1]), 2, DRAWS)
    even = qmc.Sobol(4, scramble=True, seed=3).random(DRAWS)
    x = math.pi * (2.0 * even - 1.0)
    found = effect(x[:, 0], x[:, 2], f_a, f_ab[0])
    assert found == pytest.approx(3.0 * 0.8 * 2.0 * math.pi, rel=0.01)
